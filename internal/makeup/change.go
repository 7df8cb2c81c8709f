package makeup

import (
	"fmt"
	"math"
)

// AfterChange is a level after a share of the water was replaced by new water:
// C' = C + f (N - C).
func AfterChange(tank, fresh, share float64) float64 { return tank + share*(fresh-tank) }

// Step is a level after so many changes.
type Step struct {
	Changes int     `json:"changes"`
	Level   float64 `json:"level"`
}

// manyChanges is where a series is given up: nobody would carry so many.
const manyChanges = 100

// ChangesToReach is the series of changes of one share that brings a level from
// tank to target, the last at or past it: C_n = N + (C_0 - N)(1 - f)^n. It fails
// when the new water does not lie beyond the target.
func ChangesToReach(tank, fresh, target, share float64) ([]Step, error) {
	if !(share > 0) || share > 1 {
		return nil, fmt.Errorf("a change of %g %% of the water is not possible; expected above 0 and up to 100 %%", share*100)
	}
	rising := target > tank
	if target == tank {
		return []Step{{0, tank}}, nil
	}
	if rising != (fresh > tank) || rising && fresh <= target && share < 1 || !rising && fresh >= target && share < 1 {
		return nil, fmt.Errorf("water of %g cannot bring %g to %g, however often it is changed: it must lie beyond the target", fresh, tank, target)
	}
	out := []Step{{0, tank}}
	for n := 1; n <= manyChanges; n++ {
		level := fresh + (tank-fresh)*math.Pow(1-share, float64(n))
		out = append(out, Step{n, level})
		if rising && level >= target || !rising && level <= target {
			return out, nil
		}
	}
	return nil, fmt.Errorf("more than %d changes of %.3g %% would be needed to bring %g to %g with water of %g", manyChanges, share*100, tank, target, fresh)
}

// Routine is a change of a share of the water every so many days, with a demand
// (net loss a day) going on.
type Routine struct {
	Share, EveryDays, Fresh, Demand float64
}

// Settled is where a routine settles: the level just after a change, and just
// before the next. After: N - demand·T·(1 - f)/f.
func (r Routine) Settled() (after, before float64) {
	lost := r.Demand * r.EveryDays
	after = r.Fresh - lost*(1-r.Share)/r.Share
	return after, after - lost
}

// Path is the level on each day from 0 to days, a change at the end of each
// period counted on its day.
func (r Routine) Path(start float64, days int) []float64 {
	out := make([]float64, 0, days+1)
	level, next := start, r.EveryDays
	for d := range days + 1 {
		if d > 0 {
			level -= r.Demand
		}
		for next > 0 && float64(d) >= next {
			level = AfterChange(level, r.Fresh, r.Share)
			next += r.EveryDays
		}
		out = append(out, level)
	}
	return out
}
