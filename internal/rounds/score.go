package rounds

import (
	"math"

	"driftline/internal/standing"
)

// Shares of consequence beside the chance of harm itself.
const (
	misreadShare   = 0.35 // a likely misread harms only through what is done upon it
	testShare      = 0.5  // a due test, times its chance of an excursion
	latenessShare  = 0.2  // what a test overdue by its whole longest interval adds
	dueShare       = 0.12 // hand work due today
	missedShare    = 0.25 // hand work missed, growing up to three times with lateness
	habitShare     = 0.08 // a forecast that leaves out what is done all the time
	lapseShare     = 0.15 // hand work lapsed long ago
	farthestCounts = 2.0  // half bands beyond the edge that still count
)

// stateScore is the consequence of being outside or about to be.
func stateScore(q standing.Quantity) float64 {
	chance, at := q.Leaves.P14, levelIn(q, 14)
	if q.State == standing.Outside {
		chance, at = q.Leaves.PNow, q.Level.Mean
	}
	return chance * seriousness(q.Name, q.Leaves.Side) * (1 + beyond(q.Band, at))
}

func levelIn(q standing.Quantity, days int) float64 {
	if len(q.Forecast) == 0 {
		return q.Level.Mean
	}
	return q.Forecast[min(days, len(q.Forecast)-1)].Mean
}

// beyond is how far a level lies outside the band, in half bands; 0 inside.
func beyond(b standing.Band, level float64) float64 {
	over := 0.0
	if b.Low != nil {
		over = max(over, *b.Low-level)
	}
	if b.High != nil {
		over = max(over, level-*b.High)
	}
	half := math.Inf(1)
	switch {
	case b.Low != nil && b.High != nil:
		half = (*b.High - *b.Low) / 2
	case b.Low != nil:
		half = math.Abs(*b.Low) / 3
	case b.High != nil:
		half = math.Abs(*b.High) / 2
	}
	if over == 0 || !(half > 0) {
		return 0
	}
	return min(farthestCounts, over/half)
}

// testScore is the consequence of leaving a test undone.
func testScore(q standing.Quantity, lateDays, longestDays float64) float64 {
	return seriousness(q.Name, q.Leaves.Side) *
		(testShare*max(q.Leaves.P14, 0.05) + latenessShare*min(1, lateDays/longestDays))
}

// workScore is the consequence of hand work being late.
func workScore(kind Kind, lateDays, everyDays float64) float64 {
	switch kind {
	case RoutineMissed:
		return missedShare * (1 + min(2, lateDays/everyDays/2))
	case Lapse:
		return lapseShare
	}
	return dueShare * (1 + min(0.5, max(0, lateDays/everyDays)))
}
