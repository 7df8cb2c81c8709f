package standing

import (
	"math"

	"driftline/internal/drift"
)

// TestRule is what the next test day depends on besides the outlook. Days are
// the engine's.
type TestRule struct {
	Interval
	LastTest  float64 // day of the last test
	Tolerance float64 // accepted chance of an unseen excursion
	// PSeen is the chance, right after the last test, that the level was
	// outside already: what the keeper knows and need not find out anew.
	PSeen float64
	// Repeated says that the last test was itself a repeat, so that another
	// one soon would tell little more.
	Repeated bool
}

// Reason says what set the next test day.
type Reason int

// The reasons for a test day.
const (
	ByRisk     Reason = iota // the chance of an unseen excursion reaches the tolerance
	ByLongest                // the longest interval
	ByShortest               // the shortest interval: the risk would ask for it sooner
	ToConfirm                // the last test could not tell inside from outside
	ToFollow                 // outside: to see it come back
)

// Bounds between which a test could not tell inside from outside.
const (
	ambiguousLow  = 0.10
	ambiguousHigh = 0.90
)

// NextTestDay is the latest day of the outlook that keeps the chance of an
// unseen excursion at or under the tolerance. The chance counts from the last
// test, not from today: what may have left since that test and what may leave
// from now on. The day is never before the shortest interval nor after the
// longest, and never before the outlook begins. It returns the day and why.
func NextTestDay(o drift.Outlook, r TestRule) (day float64, why Reason) {
	earliest, latest := r.LastTest+r.ShortestDays, r.LastTest+r.LongestDays
	now := r.LastTest
	if len(o.Days) > 0 {
		now = o.Days[0].T
	}
	switch {
	case r.PSeen >= ambiguousHigh:
		return max(now, min(latest, r.LastTest+2*r.ShortestDays)), ToFollow
	case r.PSeen > ambiguousLow && !r.Repeated:
		return max(now, min(latest, earliest)), ToConfirm
	case r.PSeen > ambiguousLow: // repeated and still unclear: wait a little longer
		latest = min(latest, r.LastTest+3*r.ShortestDays)
	}
	day, why = latest, ByLongest
	for _, d := range o.Days {
		if r.unseen(o.PNow, d.PNew) <= r.Tolerance {
			continue
		}
		if before := max(d.T-1, now); before < latest {
			day, why = before, ByRisk
		}
		break
	}
	if day < earliest {
		day, why = earliest, ByShortest
	}
	return max(day, now), why
}

// unseen is the chance that the level has left its band since the last test:
// already by the start of the outlook, or from then on.
func (r TestRule) unseen(pNow, pNew float64) float64 {
	since := 0.0
	if r.PSeen < 1 {
		since = max(0, (pNow-r.PSeen)/(1-r.PSeen))
	}
	return min(1, since+(1-since)*pNew)
}

// outsideChance is the chance that a normal level lies outside the limits.
func outsideChance(mean, sd float64, l limits) float64 {
	p := 0.0
	if !math.IsNaN(l.low) {
		p += below(l.low, mean, sd)
	}
	if !math.IsNaN(l.high) {
		p += 1 - below(l.high, mean, sd)
	}
	return min(p, 1)
}

// below is the chance that a normal figure is under a limit.
func below(limit, mean, sd float64) float64 {
	if !(sd > 0) {
		if mean < limit {
			return 1
		}
		return 0
	}
	return 0.5 * math.Erfc((mean-limit)/sd/math.Sqrt2)
}
