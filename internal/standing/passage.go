package standing

import "math"

// reach is the chance that a Brownian path with a drift a day and a variance a
// day has gone down by a distance at some time within so many days. Borodin &
// Salminen 2002, Handbook of Brownian Motion, part II formula 2.1.2.4 (from
// memory): Φ((−d−μt)/σ√t) + exp(−2μd/σ²)·Φ((−d+μt)/σ√t), written here for the
// way down.
func reach(distance, driftADay, varianceADay, days float64) float64 {
	switch {
	case distance <= 0:
		return 1
	case days <= 0:
		return 0
	case !(varianceADay > 0):
		if distance+driftADay*days <= 0 {
			return 1
		}
		return 0
	}
	spread := math.Sqrt(varianceADay * days)
	direct := phi((-distance - driftADay*days) / spread)
	// The exponent and the tail are joined, so that neither overflows.
	z := (distance - driftADay*days) / spread
	lift := -2 * driftADay * distance / varianceADay
	return min(1, max(0, direct+expPhi(lift, -z)))
}

func phi(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// expPhi is exp(a)·Φ(z) for a z that may be far below zero.
func expPhi(a, z float64) float64 {
	if z > -8 {
		return math.Exp(a) * phi(z)
	}
	return math.Exp(a-z*z/2) / (-z * math.Sqrt(2*math.Pi)) // first term of the asymptotic tail
}

// evenly returns standard normal figures of equal chance.
func evenly(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = math.Sqrt2 * math.Erfinv(2*(float64(i)+0.5)/float64(n)-1)
	}
	return out
}
