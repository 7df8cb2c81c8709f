package supply

import (
	"fmt"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
)

// State is how a thing on the shelf stands.
type State string

// The states, gravest first.
const (
	CountAgain State = "count again" // more was used than was there
	Empty      State = "used up"
	Low        State = "running low" // runs out within LowDays, or before a plan that uses it ends
	Lasting    State = "lasting"
	Unused     State = "not in use" // nothing declared or logged uses it
)

// LowDays is how soon a thing must run out to be called low; judgement.
const LowDays = 14

// Shelf is all that stands on it, what runs out first at the top. Amounts are in each item's
// Unit, g or mL.
type Shelf struct {
	AsOf    time.Time  `json:"as_of"`
	Until   *time.Time `json:"until,omitempty"` // the day asked about
	Items   []Item     `json:"items"`
	Missing []Item     `json:"missing"` // used, and never written on the shelf
	Costs   []Cost     `json:"costs"`   // by currency; they are never added
	Says    string     `json:"says"`

	work *worker
}

// Item is one thing on the shelf.
type Item struct {
	Name     string            `json:"name"`
	Unit     string            `json:"unit"` // g or mL
	State    State             `json:"state"`
	Left     standing.Estimate `json:"left"` // now; below 0 when more was used than was there
	Counted  *time.Time        `json:"counted,omitempty"`
	Count    float64           `json:"count"` // at the last count
	Added    float64           `json:"added"` // since then
	Used     float64           `json:"used"`  // since then
	Users    []User            `json:"users"`
	Daily    standing.Estimate `json:"daily"` // lasting use a day, plans that end left out
	RunsOut  *RunsOut          `json:"runs_out,omitempty"`
	Hold     *Hold             `json:"hold,omitempty"`
	Price    *Price            `json:"price,omitempty"`
	AMonth   float64           `json:"a_month,omitempty"` // cost of the lasting use at the newest price
	Lines    []string          `json:"lines,omitempty"`   // ids of its stock lines, oldest first
	Notes    []string          `json:"notes,omitempty"`
	Says     string            `json:"says"`
	Forecast []Day             `json:"-"` // what is left at the end of each day from today on

	ends  *time.Time // end of the last plan that uses it
	shown string
}

// User is what uses a thing: so much a week, or so much in all until an end.
type User struct {
	Tank     string     `json:"tank,omitempty"`
	What     string     `json:"what"` // routine, machine, correction, course, beside the routines, made up
	Name     string     `json:"name,omitempty"`
	Line     string     `json:"line,omitempty"`
	Quantity string     `json:"quantity,omitempty"` // of a correction
	AWeek    float64    `json:"a_week,omitempty"`
	Total    float64    `json:"total,omitempty"` // of a plan, still to come
	Ends     *time.Time `json:"ends,omitempty"`
	Says     string     `json:"says"`
}

// RunsOut is when it is used up: nine chances in ten that it is between Early
// and Late. Late is nil where it may last beyond two years.
type RunsOut struct {
	Early    time.Time  `json:"early"`
	Expected *time.Time `json:"expected,omitempty"` // nil beyond two years
	Late     *time.Time `json:"late,omitempty"`
}

// Hold is what is needed to hold out until a day, and what lacks of it.
type Hold struct {
	Need  standing.Estimate `json:"need"`
	Safe  float64           `json:"safe"`  // enough in nineteen cases of twenty
	Short float64           `json:"short"` // of Safe; 0 when there is enough
}

// Price is the newest price paid, for one Unit.
type Price struct {
	Per      float64   `json:"per"`
	Currency string    `json:"currency"`
	On       time.Time `json:"on"`
}

// Cost is what the lasting use of a month costs in one currency.
type Cost struct {
	Currency string  `json:"currency"`
	AMonth   float64 `json:"a_month"`
}

// Day is what is expected to be left at the end of a day.
type Day struct {
	At       time.Time
	Mean, SD float64
}

// Of reckons the shelf of a book at a moment. Until is a day to hold out to; zero
// asks for none.
func Of(f *book.Facts, asOf, until time.Time) (*Shelf, error) {
	w := newWorker(f, asOf)
	if !until.IsZero() && w.dayOf(until) < 0 {
		return nil, fmt.Errorf("the day to hold out to, %s, is past; expected today or later", until.In(w.loc).Format("2 January 2006"))
	}
	if !until.IsZero() && w.dayOf(until) > far {
		return nil, fmt.Errorf("the day to hold out to, %s, is too far off; expected one within two years", until.In(w.loc).Format("2 January 2006"))
	}
	w.stock()
	if err := w.plan(); err != nil {
		return nil, err
	}
	w.past()
	s := &Shelf{AsOf: asOf, Items: []Item{}, Missing: []Item{}, Costs: []Cost{}, work: w}
	if !until.IsZero() {
		s.Until = &until
	}
	for _, j := range w.jars {
		item := w.item(j, s.Until)
		if j.absent {
			s.Missing = append(s.Missing, item)
		} else {
			s.Items = append(s.Items, item)
		}
	}
	s.order()
	s.cost()
	s.say()
	return s, nil
}

// Find is the item that a substance is taken from, by any of its names.
func (s *Shelf) Find(name string) (Item, bool) {
	key := s.work.key(name)
	for _, i := range s.Items {
		if s.work.key(i.Name) == key {
			return i, true
		}
	}
	return Item{}, false
}
