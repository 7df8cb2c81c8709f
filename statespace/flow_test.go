package statespace_test

import (
	"math"
	"testing"

	"driftline/statespace"
	"pgregory.net/rapid"
)

// The transition over a span is the transition over its two parts in turn
// (Chapman-Kolmogorov), whatever the rates: an exact property of the model.
func TestFlowComposes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(1e-6, 0.5))
		f := statespace.Flow{
			Relax: rate.Draw(t, "relax"), Revert: rate.Draw(t, "revert"),
			LevelVar: rapid.Float64Range(0, 2).Draw(t, "level"), WanderVar: rapid.Float64Range(0, 2).Draw(t, "wander"),
		}
		a, b := rapid.Float64Range(0, 60).Draw(t, "a"), rapid.Float64Range(0, 60).Draw(t, "b")
		p, q, r := f.Over(a), f.Over(b), f.Over(a+b)
		same := func(what string, got, want float64) {
			if math.IsNaN(got) || math.Abs(got-want) > 2e-3*math.Abs(want)+1e-9 {
				t.Fatalf("%s over %g+%g days: %g in two steps, %g in one", what, a, b, got, want)
			}
		}
		same("keep", p.Keep*q.Keep, r.Keep)
		same("mean", q.Keep*p.ByMean+q.ByMean, r.ByMean)
		same("wander", q.Keep*p.ByWander+p.Rho*q.ByWander, r.ByWander)
		same("rho", p.Rho*q.Rho, r.Rho)
		same("QCC", q.Keep*q.Keep*p.QCC-2*q.Keep*q.ByWander*p.QCw+q.ByWander*q.ByWander*p.Qww+q.QCC, r.QCC)
		same("QCw", q.Keep*q.Rho*p.QCw-q.ByWander*q.Rho*p.Qww+q.QCw, r.QCw)
		same("Qww", q.Rho*q.Rho*p.Qww+q.Qww, r.Qww)
	})
}

// Absorbing the moments that an ordinary reading would give is the same as observing it.
func TestAbsorbIsObserve(t *testing.T) {
	f := statespace.NewFilter(3, 2)
	f.Set(0, 5, 4)
	f.Set(1, 1, 2)
	f.Set(2, 0, 1)
	f.Move([]float64{1, -2, 0, 0, 0.9, 0.3}, []float64{0.5, 0}, []float64{0.2, 0.1, 0.1, 0.3})
	g := f.Clone()
	h := []statespace.Term{{State: 0, Coef: 1}, {State: 2, Coef: 1}}
	mean, variance := f.Combine(h)
	const y, r = 7.5, 0.8
	f.Observe(h, y, r)
	g.Absorb(h, mean+(y-mean)*variance/(variance+r), variance*r/(variance+r))
	for i := range f.X {
		if math.Abs(f.X[i]-g.X[i]) > 1e-12 {
			t.Errorf("mean %d: %g observed, %g absorbed", i, f.X[i], g.X[i])
		}
	}
	for i := range f.P {
		if math.Abs(f.P[i]-g.P[i]) > 1e-12 {
			t.Errorf("covariance %d: %g observed, %g absorbed", i, f.P[i], g.P[i])
		}
	}
}
