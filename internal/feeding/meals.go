package feeding

import (
	"slices"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/food"
	"driftline/internal/standing"
)

// Mass is grams with one standard deviation.
type Mass struct {
	Mean float64 `json:"mean"`
	SD   float64 `json:"sd"`
}

// Eaten is what a span had of one food.
type Eaten struct {
	Food   string  `json:"food"`
	Kind   string  `json:"kind,omitempty"` // what it is taken for; empty when nobody has said
	Meals  float64 `json:"meals"`
	Grams  float64 `json:"grams"` // as fed
	N      Mass    `json:"N_g"`
	P      Mass    `json:"P_g"`
	Source string  `json:"source,omitempty"`
	Why    string  `json:"not_counted,omitempty"` // why some of it, or all, is not in the sums
}

// weighedTo is by what share a fed amount is known: scales, spoons and cubes; a
// judgement.
const weighedTo = 0.1

// Meals adds up what was fed between two moments: hand meals as logged, and what
// machines give by their routines.
func Meals(f *book.Facts, t *book.TankFacts, from, to time.Time) []Eaten {
	var out []Eaten
	add := func(name string, amount book.Number, unit string, meals float64) {
		i := slices.IndexFunc(out, func(e Eaten) bool { return book.Key(e.Food) == book.Key(name) })
		if i < 0 {
			i, out = len(out), append(out, Eaten{Food: name})
		}
		e := &out[i]
		e.Meals += meals
		grams, ok := food.GramsOf(f, name, amount, unit, to)
		if !ok {
			e.Why = strings.TrimSpace("nobody has said what a " + or(unit, "meal") + " of it weighs")
			return
		}
		e.Grams += meals * grams
	}
	for i := range t.Events {
		l := &t.Events[i]
		if b, ok := l.Body.(*book.Feeding); ok && !l.At.Before(from) && l.At.Before(to) {
			add(b.Food, b.Amount, b.Unit, 1)
		}
	}
	for _, r := range standing.HeldRoutines(t) {
		if !r.Routine.Automatic || book.Key(r.Routine.Action) != "feeding" {
			continue
		}
		start, end := r.Start, r.End
		if start.Before(from) {
			start = from
		}
		if end.IsZero() || end.After(to) {
			end = to
		}
		if end.After(start) {
			add(r.Routine.Food, r.Routine.Amount, r.Routine.Unit, end.Sub(start).Hours()/24/r.EveryDays)
		}
	}
	for i := range out {
		out[i].compose(f, to)
	}
	return out
}

// compose works out what the grams hold.
func (e *Eaten) compose(f *book.Facts, at time.Time) {
	kind, ok := food.Find(f, e.Food, at)
	if !ok {
		e.Why = "nobody has said what it holds"
		return
	}
	e.Kind, e.Source = kind.Name, kind.Source
	of := func(s food.Share) Mass {
		return Mass{e.Grams * s.Mean, e.Grams * hypot(s.SD(), weighedTo*s.Mean)}
	}
	e.N, e.P = of(kind.N()), of(kind.P)
}

func or(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}
