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

// recent is how long after an absence what moved is told by where things stand now.
const recent = 14 * 24 * time.Hour

// Recent says whether an absence is on, or ended only lately.
func (a Absence) Recent(at time.Time) bool {
	return !at.Before(a.From) && at.Before(a.Until.Add(recent))
}

// Drifted lists what moved in a tank since an absence began, the likeliest outside its
// band first; of one that is long over, what moved until it ended. Standings are those
// of at.
func Drifted(standings []standing.Quantity, a Absence, at time.Time) []Moved {
	var out []Moved
	for _, q := range standings {
		was, ok := levelAt(q.History, a.From)
		is, found := standing.Point{At: at, Mean: q.Level.Mean, SD: q.Level.SD}, true
		if !a.Recent(at) {
			is, found = levelAt(q.History, a.Until)
		}
		if !ok || !found {
			continue
		}
		moved := math.Abs(is.Mean-was.Mean) >= movedEnough*math.Hypot(is.SD, was.SD)
		if !moved && !(a.Recent(at) && q.Leaves.PNow >= 0.5) {
			continue
		}
		name := units.Quantity(q.Name)
		m := Moved{Tank: q.Tank, Quantity: q.Name, Says: fmt.Sprintf("%s was %s, then %s.", prose.Capital(q.Name),
			units.FormatPM(name, was.Mean, was.SD, q.Unit), units.FormatPM(name, is.Mean, is.SD, q.Unit))}
		if a.Recent(at) {
			m.Outside = q.Leaves.PNow
			m.Says += " Outside its band now: " + standing.ChanceWords(m.Outside) + "."
		}
		out = append(out, m)
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
