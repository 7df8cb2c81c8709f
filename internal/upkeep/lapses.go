package upkeep

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/units"
)

// Lapse is a habit that used to be kept.
type Lapse struct {
	Tank, Chore string
	Usual       float64   // days
	Last        time.Time // when it was last done
	Days        float64   // since then
	Times       int       // it was done before
	Quantity    string    // of a test; "" for a chore
	Risk        float64   // of a test: the chance that the level is outside its band now, unseen
}

// Says tells a lapse: "glass cleaned every 6 days until 3 May, now 41 days ago".
func (l Lapse) Says(zone *time.Location) string {
	return fmt.Sprintf("%s: every %s until %s, now %.0f days ago", l.Chore, days(l.Usual), l.Last.In(zone).Format("2 January"), l.Days)
}

func days(v float64) string {
	if r := math.Round(v); r != 1 {
		return fmt.Sprintf("%.0f days", r)
	}
	return "day"
}

// When a habit counts as one, and as lapsed.
const (
	habitTurns  = 5
	lapsedAfter = 2.5 // of its intervals
	lapsedLeast = 5.0 // days past due
)

// TestLapses lists the tests of a tank that used to be done and no longer are, by what
// may be going wrong unseen: the likeliest outside its band first. Standings are those
// of the tank's quantities.
func TestLapses(t *book.TankFacts, standings []standing.Quantity, at time.Time) []Lapse {
	turns := map[string][]turn{}
	for i := range t.Events {
		if b, ok := t.Events[i].Body.(*book.Reading); ok && !t.Events[i].At.After(at) {
			if q, err := units.ParseQuantity(b.Quantity); err == nil {
				turns[string(q)] = append(turns[string(q)], turn{at: t.Events[i].At})
			}
		}
	}
	var out []Lapse
	for _, q := range standings {
		l := Lapse{Tank: t.Tank.Name, Chore: q.Name + " tested", Quantity: q.Name, Risk: q.Leaves.PNow}
		if l.since(turns[q.Name], at) {
			out = append(out, l)
		}
	}
	slices.SortStableFunc(out, func(a, b Lapse) int { return cmp.Compare(b.Risk, a.Risk) })
	return out
}

// since works out how long ago a habit was last kept; false while it has not lapsed.
func (l *Lapse) since(turns []turn, at time.Time) bool {
	if len(turns) < habitTurns {
		return false
	}
	l.Times, l.Last, l.Usual = len(turns), turns[len(turns)-1].at, median(gaps(turns))
	l.Days = at.Sub(l.Last).Hours() / 24
	return l.Usual > 0 && l.Days > lapsedAfter*l.Usual && l.Days > l.Usual+lapsedLeast
}

// Lapses lists the habits of a tank that are no longer kept, the longest past first.
func Lapses(t *book.TankFacts, at time.Time) []Lapse {
	var out []Lapse
	for i := range t.Events {
		b, ok := t.Events[i].Body.(*book.Chore)
		if !ok || slices.ContainsFunc(out, func(l Lapse) bool { return book.Key(l.Chore) == book.Key(b.Name) }) {
			continue
		}
		out = append(out, Lapse{Tank: t.Tank.Name, Chore: b.Name})
	}
	chores := done(t, at)
	kept := out[:0]
	for _, l := range out {
		if l.since(chores[book.Key(l.Chore)], at) {
			kept = append(kept, l)
		}
	}
	slices.SortStableFunc(kept, func(a, b Lapse) int { return cmp.Compare(b.Days/b.Usual, a.Days/a.Usual) })
	return kept
}
