package rehearsal

import (
	"math"
	"math/rand/v2"
)

// pattern is how a rate goes through the months.
type pattern int

const (
	constant pattern = iota
	growing
	walking
	wandering
	seasonal
	stepping
	nPatterns
)

var patternNames = [nPatterns]string{"constant", "growing", "walking", "wandering", "seasonal", "stepping"}

// path draws a multiplier near 1 for every step of so many days, with a little
// day-to-day unrest of relative size fast on top.
func (p pattern) path(r *rand.Rand, days int, fast float64) []float64 {
	n := days*stepsPerDay + 1
	out := make([]float64, n)
	slow := p.slow(r, n)
	tau := between(r, 0.7, 3)
	unrest := wander(r, n, fast, tau)
	for i := range out {
		out[i] = math.Max(0, slow[i]*math.Exp(unrest[i]-fast*fast/2))
	}
	return out
}

func (p pattern) slow(r *rand.Rand, n int) []float64 {
	switch p {
	case growing:
		rate := between(r, 0.15, 1.2) / 365
		return trace(n, func(t float64) float64 { return math.Exp(rate * t) })
	case walking:
		return exponents(bounded(r, n, between(r, 0.008, 0.03), 0.9))
	case wandering:
		return exponents(wander(r, n, between(r, 0.08, 0.3), between(r, 12, 60)))
	case seasonal:
		a, phase := between(r, 0.1, 0.35), between(r, 0, 2*math.Pi)
		return trace(n, func(t float64) float64 { return 1 + a*math.Sin(2*math.Pi*t/365.25+phase) })
	case stepping:
		return stairs(r, n)
	}
	return trace(n, func(float64) float64 { return 1 })
}

func trace(n int, f func(t float64) float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = f(float64(i) / stepsPerDay)
	}
	return out
}

func exponents(x []float64) []float64 {
	for i := range x {
		x[i] = math.Exp(x[i])
	}
	return x
}

// wander is a mean-reverting path of standard deviation sd and memory tau days.
func wander(r *rand.Rand, n int, sd, tau float64) []float64 {
	out := make([]float64, n)
	keep := math.Exp(-1 / (tau * stepsPerDay))
	kick := sd * math.Sqrt(1-keep*keep)
	x := sd * r.NormFloat64()
	for i := range out {
		out[i] = x
		x = keep*x + kick*r.NormFloat64()
	}
	return out
}

// bounded is a random walk of sd per square root of a day, turned back at the limit.
func bounded(r *rand.Rand, n int, sd, limit float64) []float64 {
	out := make([]float64, n)
	x, kick := 0.0, sd/math.Sqrt(stepsPerDay)
	for i := range out {
		out[i] = x
		x += kick * r.NormFloat64()
		if math.Abs(x) > limit {
			x = math.Copysign(2*limit, x) - x
		}
	}
	return out
}

// stairs is 1 with up to three lasting changes, each taking some days: new
// corals, a die-off, a filter cleaned too well.
func stairs(r *rand.Rand, n int) []float64 {
	out := trace(n, func(float64) float64 { return 1 })
	days := float64(n-1) / stepsPerDay
	for range 1 + r.IntN(3) {
		from, takes := between(r, 0.1, 0.95)*days, between(r, 1, 9)
		size := math.Log(pick(r, between(r, 0.45, 0.85), between(r, 1.15, 1.8)))
		for i := range out {
			done := math.Min(1, math.Max(0, (float64(i)/stepsPerDay-from)/takes))
			out[i] *= math.Exp(size * done)
		}
	}
	return out
}

func between(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

// spread is a positive draw with the given median whose logarithm has sd s.
func spread(r *rand.Rand, median, s float64) float64 { return median * math.Exp(s*r.NormFloat64()) }

func pick[T any](r *rand.Rand, of ...T) T { return of[r.IntN(len(of))] }

func chance(r *rand.Rand, p float64) bool { return r.Float64() < p }

func scaled(path []float64, by float64) []float64 {
	for i := range path {
		path[i] *= by
	}
	return path
}
