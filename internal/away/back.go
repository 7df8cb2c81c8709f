package away

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/units"
)

// Moved is a quantity that is not where it was when the absence began.
type Moved struct {
	Tank, Quantity string
	Outside        float64 // chance that it is outside its band now
	Says           string
}

// movedEnough is from how many standard deviations of the difference a change is told.
const movedEnough = 2

// Drifted lists what moved in a tank since an absence began, the likeliest outside its
// band first. Standings are those of now.
func Drifted(standings []standing.Quantity, a Absence) []Moved {
	var out []Moved
	for _, q := range standings {
		was, ok := levelAt(q.History, a.From)
		if !ok {
			continue
		}
		by, doubt := q.Level.Mean-was.Mean, math.Hypot(q.Level.SD, was.SD)
		if math.Abs(by) < movedEnough*doubt && q.Leaves.PNow < 0.5 {
			continue
		}
		name := units.Quantity(q.Name)
		out = append(out, Moved{q.Tank, q.Name, q.Leaves.PNow, fmt.Sprintf("%s was %s, now %s. Outside its band now: %s.", prose.Capital(q.Name),
			units.FormatPM(name, was.Mean, was.SD, q.Unit), units.FormatPM(name, q.Level.Mean, q.Level.SD, q.Unit), standing.ChanceWords(q.Leaves.PNow))})
	}
	slices.SortStableFunc(out, func(x, y Moved) int { return cmp.Compare(y.Outside, x.Outside) })
	return out
}

// levelAt is the point of a history nearest to a moment, within a fortnight.
func levelAt(history []standing.Point, at time.Time) (standing.Point, bool) {
	best, found := standing.Point{}, false
	for _, p := range history {
		if away := p.At.Sub(at).Abs(); away < 14*24*time.Hour && (!found || away < best.At.Sub(at).Abs()) {
			best, found = p, true
		}
	}
	return best, found
}

// DoneBy lists what was written down in a tank from the beginning of an absence until
// a moment, or a grace after its end, by whoever minded it.
func DoneBy(t *book.TankFacts, a Absence, at time.Time) []book.Line {
	var out []book.Line
	end := a.Until.Add(grace)
	for _, l := range t.Events {
		if !l.At.Before(a.From) && !l.At.After(at) && l.At.Before(end) && book.Key(l.By) == book.Key(a.Who()) {
			out = append(out, l)
		}
	}
	return out
}
