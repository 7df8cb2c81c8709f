package trial

import (
	"time"

	"driftline/internal/book"
)

// Measuring is how one outcome's plan of looking is kept.
type Measuring struct {
	Label     string
	Outcome   book.Outcome
	Tank      string
	EveryDays float64
	Last      time.Time // zero when never
	Next      time.Time // when the next look falls due
	Planned   int       // looks that should have been made since the trial was written
	Missed    int       // of them, how many were not
}

// Where names the outcome, and the tank where that is not the treated one.
func (m Measuring) Where(t Trial) string {
	if m.Tank == t.Tank {
		return m.Label
	}
	return m.Label + " in " + m.Tank
}

// slack is how late a look may be, as a share of its interval, and still be the
// one planned.
const slack = 0.5

// Score tells whether the look is a judgement by eye rather than a test.
func (m Measuring) Score() bool { return book.Key(m.Outcome.What) == "score" }

// Measure says of each outcome with a plan of looking, in the treated and the
// comparison tanks, what was missed and what is due.
func Measure(f *book.Facts, t Trial, asOf time.Time) []Measuring {
	var out []Measuring
	tanks := append(append([]string{t.Tank}, t.Plan.AlsoIn...), t.Plan.Comparison...)
	for _, o := range t.Plan.Outcomes {
		every, ok := o.EveryDays.Float()
		if !ok || every <= 0 || kindOf(o).Ratio() {
			continue // intervals and counts log themselves
		}
		for _, name := range tanks {
			tank, ok := f.Tank(name)
			if !ok {
				continue
			}
			out = append(out, looks(tank, t, o, every, asOf))
		}
	}
	return out
}

func looks(tank *book.TankFacts, t Trial, o book.Outcome, every float64, asOf time.Time) Measuring {
	m := Measuring{Label: Label(o), Outcome: o, Tank: tank.Tank.Name, EveryDays: every}
	gap := time.Duration(every * 24 * float64(time.Hour))
	begun := t.Written
	if begun.After(t.Start) {
		begun = t.Start
	}
	until := t.Until(asOf)
	at := begun
	for i := range tank.Events {
		l := &tank.Events[i]
		if !watches(o, l.Body) || l.At.After(asOf) {
			continue
		}
		m.Last = l.At
		if l.At.Before(begun) || l.At.After(until) {
			continue
		}
		m.Missed += missed(l.At.Sub(at), gap)
		at = l.At
	}
	m.Planned = int(until.Sub(begun)/gap) + 1
	m.Missed = min(m.Missed+missed(until.Sub(at), gap), m.Planned)
	m.Next = at.Add(gap)
	if m.Last.Before(begun) { // none since: at once, or when the look before it is old enough
		m.Next = begun
		if next := m.Last.Add(gap); next.After(begun) {
			m.Next = next
		}
	}
	return m
}

// missed is how many looks fit into a silence beyond the one that ended it.
func missed(silence, gap time.Duration) int {
	return max(0, int((silence-time.Duration(slack*float64(gap)))/gap))
}

// watches tells whether a line is a look at an outcome.
func watches(o book.Outcome, body book.Body) bool {
	switch b := body.(type) {
	case *book.Reading:
		return (book.Key(o.What) == "reading" || book.Key(o.What) == "peak") && sameQuantity(b.Quantity, o.Of)
	case *book.Score:
		return book.Key(o.What) == "score" && book.Key(b.Sign) == book.Key(o.Of)
	}
	return false
}
