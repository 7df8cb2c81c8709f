package stats_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"driftline/stats"
)

// series draws figures at odd times whose errors have correlation phi across a
// unit of time, with a step at half.
func series(r *rand.Rand, n int, phi, step float64) stats.Design {
	var d stats.Design
	at, e := 0.0, r.NormFloat64()
	for i := range n {
		if i > 0 {
			gap := 0.5 + r.Float64()
			q := 0.0
			if phi > 0 {
				q = math.Pow(phi, gap)
			}
			e = q*e + math.Sqrt(1-q*q)*r.NormFloat64()
			at += gap
		}
		after := 0.0
		if i >= n/2 {
			after = 1
		}
		d.T, d.Y, d.X = append(d.T, at), append(d.Y, e+step*after), append(d.X, []float64{1, after})
	}
	return d
}

// By the definition of a test of size 5 % and an interval of 95 %, over
// correlations from 0 to 0.7: short series cannot tell a weak correlation from a
// strong one, so that some cells must be cautious for others not to be bold.
func TestAverageHoldsItsSize(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	const runs = 200
	rejected, covered, all := 0, 0, 0
	for _, n := range []int{8, 16, 30, 60} {
		for _, phi := range []float64{0, 0.3, 0.5, 0.7} {
			cell := 0
			for range runs {
				a, err := stats.AverageOver(series(r, n, phi, 1), 1)
				if err != nil {
					t.Fatal(err)
				}
				if a.P(1) < 0.05 {
					cell++
				}
				if low, high := a.Interval(0.95); low <= 1 && 1 <= high {
					covered++
				}
			}
			rejected += cell
			all += runs
			if share := float64(cell) / runs; share > 0.05+3*math.Sqrt(0.05*0.95/runs) {
				t.Errorf("%d figures with correlation %v: %.1f %% of true nulls rejected, want about 5 or fewer", n, phi, 100*share)
			}
		}
	}
	if share := float64(rejected) / float64(all); share > 0.05 || share < 0.02 {
		t.Errorf("%.2f %% of true nulls rejected over all, want 2 to 5", 100*share)
	}
	if share := float64(covered) / float64(all); share < 0.945 || share > 0.985 {
		t.Errorf("intervals of 95 %% hold the truth in %.1f %%", 100*share)
	}
}

func TestIntervalAgreesWithP(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 50 {
		a, err := stats.AverageOver(series(r, 20, 0.4, 0.5), 1)
		if err != nil {
			t.Fatal(err)
		}
		low, high := a.Interval(0.9)
		for _, edge := range []float64{low, high} {
			if p := a.P(edge); math.Abs(p-0.1) > 1e-6 {
				t.Errorf("p at the edge %v of the 90 %% interval is %v, want 0.1", edge, p)
			}
		}
	}
}

func TestDesignsThatCannotBe(t *testing.T) {
	ones := [][]float64{{1, 1}, {1, 1}, {1, 1}}
	for name, d := range map[string]stats.Design{
		"no figures":        {},
		"fewer rows":        {T: []float64{1, 2}, Y: []float64{1, 2}, X: [][]float64{{1}}},
		"as many columns":   {T: []float64{1, 2}, Y: []float64{1, 2}, X: [][]float64{{1, 0}, {1, 1}}},
		"out of order":      {T: []float64{2, 1, 3}, Y: []float64{1, 2, 3}, X: [][]float64{{1}, {1}, {1}}},
		"not a number":      {T: []float64{1, 2, 3}, Y: []float64{1, math.NaN(), 3}, X: [][]float64{{1}, {1}, {1}}},
		"one column twice":  {T: []float64{1, 2, 3}, Y: []float64{1, 2, 3}, X: ones},
		"rows of odd width": {T: []float64{1, 2, 3}, Y: []float64{1, 2, 3}, X: [][]float64{{1}, {1, 2}, {1}}},
	} {
		if _, err := stats.FitGLS(d, stats.ContinuousTime, stats.REML); err == nil {
			t.Errorf("%s: no error", name)
		}
		if _, err := stats.AverageOver(d, 0); err == nil {
			t.Errorf("%s: no error from the average", name)
		}
	}
}

func BenchmarkAverageOver(b *testing.B) {
	d := series(rand.New(rand.NewPCG(1, 2)), 40, 0.4, 1)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := stats.AverageOver(d, 1); err != nil {
			b.Fatal(err)
		}
	}
}

// The prepared design is AverageOver without the work done twice, and its table of
// Student's law the law itself.
func TestAveragerIsAverageOver(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	d := stats.Design{}
	for i := range 24 {
		d.T = append(d.T, float64(i*7)+3*r.Float64())
		step := 0.0
		if i > 12 {
			step = 1
		}
		d.X = append(d.X, []float64{1, step, d.T[i] / 100})
		d.Y = append(d.Y, 400+2*step+r.NormFloat64())
	}
	a, err := stats.NewAverager(d, 1)
	if err != nil {
		t.Fatal(err)
	}
	for range 20 {
		for i := range d.Y {
			d.Y[i] += r.NormFloat64()
		}
		want, err := stats.AverageOver(d, 1)
		if err != nil {
			t.Fatal(err)
		}
		got := a.Of(d.Y)
		for _, v := range []float64{-3, 0, 1, 2, 40} {
			if math.Abs(got.Below(v)-want.Below(v)) > 1e-7 {
				t.Errorf("below %v: %v, expected %v", v, got.Below(v), want.Below(v))
			}
		}
		for _, q := range []float64{1e-4, 0.025, 0.5, 0.975} {
			g, w := got.Quantile(q), want.Quantile(q)
			if math.Abs(g-w) > 1e-5*(1+math.Abs(w)) || math.Abs(want.Below(w)-q) > 1e-9 {
				t.Errorf("quantile %v: %v, expected %v, below which it lies with %v", q, g, w, want.Below(w))
			}
		}
	}
	if _, err := stats.NewAverager(stats.Design{T: d.T, X: d.X[:3]}, 1); err == nil {
		t.Error("3 rows for 24 times pass")
	}
}
