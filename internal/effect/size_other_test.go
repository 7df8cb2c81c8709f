package effect_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"driftline/internal/effect"
)

// scored turns readings into an eye's scores of 0 to 4.
func scored(points []effect.Point) []effect.Point {
	for i := range points {
		points[i].Value = min(max(math.Round(2+1.2*points[i].Value), 0), 4)
	}
	return points
}

// turns draws intervals of a gamma law of the given shape, mean 4 days, and a
// share longer once the change is on.
func turns(r *rand.Rand, shape, n int, longer float64) []effect.Point {
	var out []effect.Point
	draw := func(mean float64) float64 {
		sum := 0.0
		for range shape {
			sum += r.ExpFloat64()
		}
		return max(mean*sum/float64(shape), 0.01)
	}
	day := 0.0
	for i := range n {
		mean := 4.0
		if i >= n/2 {
			mean *= longer
		}
		v := draw(mean)
		day += v
		out = append(out, effect.Point{At: atDay(day), Value: v})
	}
	shift := out[n/2-1].At.Sub(start) + time.Minute
	for i := range out {
		out[i].At = out[i].At.Add(-shift)
	}
	return out
}

// counted draws counts of mean 6 a week, spread more than Poisson's when extra is
// above 0.
func counted(r *rand.Rand, n int, extra float64) []effect.Point {
	values := make([]float64, n)
	for i := range values {
		mean := 6 * math.Exp(extra*r.NormFloat64())
		for left := r.ExpFloat64(); left < mean; left += r.ExpFloat64() {
			values[i]++
		}
	}
	return points(-n/2, values...)
}

// By what a verdict promises, as for readings: scores of an eye that remembers,
// intervals from quite irregular (exponential) to regular, counts.
func TestTrueNullsOfOtherOutcomes(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	runs := 60
	if *long {
		runs = 2000
	}
	cells := map[string]func() effect.Ask{}
	for _, phi := range []float64{0, 0.7} {
		for _, n := range []int{10, 40} {
			w := world{n: n, phi: phi, compared: n == 40}
			cells["scores, "+w.String()] = func() effect.Ask {
				a := w.ask(r)
				a.Outcome, a.Treated, a.Comparison = effect.Score, scored(a.Treated), scored(a.Comparison)
				return a
			}
		}
	}
	for name, shape := range map[string]int{"exponential intervals": 1, "intervals of shape 4": 4, "intervals of shape 9": 9} {
		for _, n := range []int{10, 30} {
			cells[name+map[int]string{10: ", 10", 30: ", 30"}[n]] = func() effect.Ask {
				return effect.Ask{Treated: turns(r, shape, n, 1), On: []effect.Span{{From: start}}, Outcome: effect.Interval}
			}
		}
	}
	for name, extra := range map[string]float64{"counts of Poisson": 0, "counts with more spread": 0.5} {
		cells[name] = func() effect.Ask {
			return effect.Ask{Treated: counted(r, 16, extra), On: []effect.Span{{From: start}}, Outcome: effect.Count}
		}
	}
	var all tally
	for name, ask := range cells {
		var cell tally
		for range runs {
			a := ask()
			got, err := effect.Analyse(a)
			if err != nil {
				continue // scores that never move have nothing to tell
			}
			truth := 0.0
			if a.Outcome.Ratio() {
				truth = 1
			}
			cell.take(got, truth)
		}
		all.add(cell)
		if *long {
			t.Logf("%s: helped or hurt in %.1f %%, intervals hold in %.1f %%", name, 100*cell.share(cell.helped+cell.hurt), 100*cell.share(cell.covered))
		}
	}
	if share := all.share(all.helped + all.hurt); share > 0.05+all.over(0.05) {
		t.Errorf("%.1f %% of true nulls helped or hurt, want at most 5", 100*share)
	}
}

// Looking after every figure: the interval made for it leaves the truth in one of
// twenty trials at most, the plain one far more often.
func TestPeeking(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	runs := 60
	if *long {
		runs = 1000
	}
	w := world{n: 40, phi: 0.3, compared: true}
	plain, peeked := 0, 0
	for range runs {
		a := w.ask(r)
		a.Matters = 1
		var sawPlain, sawPeek bool
		for n := 24; n <= 40; n += 2 {
			b := a
			b.Treated, b.Comparison = a.Treated[:n], a.Comparison[:n]
			got, err := effect.Analyse(b)
			if err != nil {
				t.Fatal(err)
			}
			low, high := b.Peek(got)
			sawPlain = sawPlain || got.Low > 0 || got.High < 0
			sawPeek = sawPeek || low > 0 || high < 0
		}
		if sawPlain {
			plain++
		}
		if sawPeek {
			peeked++
		}
	}
	share := float64(peeked) / float64(runs)
	t.Logf("left the truth at some look: plain intervals %.1f %%, those for peeking %.1f %%", 100*float64(plain)/float64(runs), 100*share)
	if limit := 0.05 + 3*math.Sqrt(0.05*0.95/float64(runs)); share > limit {
		t.Errorf("%.1f %% of intervals made for peeking left the truth at some look, want at most 5", 100*share)
	}
}
