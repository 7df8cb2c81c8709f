package rehearsal

import (
	"fmt"
	"time"

	"driftline/internal/book"
)

// Tank is a simulated tank: the book its keeper wrote and what only the
// simulation knows.
type Tank struct {
	Name    string
	System  string
	Pattern string // how calcification and nutrients go through the months
	Lines   []book.Line
	From    time.Time
	To      time.Time

	seed   uint64
	world  World
	truths []moment
	tests  [nIons][]test
}

// Origin is when rehearsed logs begin.
var Origin = time.Date(2024, 3, 1, 0, 0, 0, 0, time.UTC)

// NewTank draws the tank of this seed in the usual world and lets its keeper
// keep it to the end of its log.
func NewTank(seed uint64) *Tank { return NewTankIn(Usual, seed) }

// NewTankIn draws a tank of another world.
func NewTankIn(w World, seed uint64) *Tank {
	d := draw(seed, w, Origin)
	d.live(float64(d.days))
	b := d.basin
	if d.served != nil {
		d.mealLines(stream(seed, 8))
	}
	return &Tank{Name: b.name, System: d.system.name, Pattern: patternNames[d.pattern[0]] + ", " + patternNames[d.pattern[1]],
		Lines: inOrder(b.lines), From: b.when(0), To: b.when(float64(d.days)), seed: seed, world: w, truths: b.truths, tests: b.tests}
}

// Level is the true level of a quantity at a moment of the log, in the unit Unit gives.
func (t *Tank) Level(quantity string, at time.Time) (float64, error) {
	q, ok := ionOf(quantity)
	if !ok {
		return 0, fmt.Errorf("%s is not simulated", quantity)
	}
	if at.Before(t.From) || at.After(t.To) {
		return 0, fmt.Errorf("%s lies outside the log of %s", at.Format(time.DateOnly), t.Name)
	}
	return level(t.truths, q, at.Sub(t.From).Hours()/24), nil
}

// Unit is the unit of every true level of a quantity.
func Unit(quantity string) string {
	if q, ok := ionOf(quantity); ok {
		return ionUnits[q]
	}
	return ""
}

// Course says what is done after a moment.
type Course int

const (
	// Declared: the machines run as set and hand routines are done to the day.
	Declared Course = iota
	// HandsOff: only the machines run.
	HandsOff
)

// Future are the true levels from as-of on, one a day.
type Future struct {
	AsOf time.Time
	days []levels
}

// After follows the tank from as-of for so many days (at most 90). What the
// keeper did later in the log does not count; the tank's own nature, pumps that
// fall behind included, goes on as it will.
func (t *Tank) After(asOf time.Time, days int, c Course) (Future, error) {
	if asOf.Before(t.From) || asOf.After(t.To) {
		return Future{}, fmt.Errorf("%s lies outside the log of %s", asOf.Format(time.DateOnly), t.Name)
	}
	d := draw(t.seed, t.world, Origin)
	d.basin.mute = true
	d.live(d.basin.days(asOf))
	return Future{asOf, d.basin.faithful(min(days, aheadDays-5), c == Declared)}, nil
}

// On is the true level so many days after as-of.
func (f Future) On(quantity string, day int) (float64, bool) {
	q, ok := ionOf(quantity)
	if !ok || day < 0 || day >= len(f.days) {
		return 0, false
	}
	return f.days[day][q], true
}

// Misread says whether the reading of this line was a test gone wrong.
func (t *Tank) Misread(line string) bool {
	for _, tests := range t.tests {
		for _, x := range tests {
			if x.line == line {
				return x.misread
			}
		}
	}
	return false
}
