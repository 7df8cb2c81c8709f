package effect_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"driftline/internal/effect"
)

var long = flag.Bool("long", false, "simulate many more trials, and print the tables of docs/trials.md")

// start is when the simulated changes come.
var start = time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)

// world is a kind of simulated trial whose truth is known: readings of a level
// that wanders (errors correlated phi a week apart), and a step when the change
// comes.
type world struct {
	n        int     // readings of the treated tank
	phi      float64 // correlation of readings a week apart
	compared bool
	misreads float64 // share of readings eight standard deviations off
	step     float64 // in standard deviations
}

func (w world) String() string {
	return fmt.Sprintf("%d readings, correlation %.1f, comparison %v, misreads %.0f %%", w.n, w.phi, w.compared, 100*w.misreads)
}

func (w world) tank(r *rand.Rand, days []float64, step float64) []effect.Point {
	out := make([]effect.Point, len(days))
	e := r.NormFloat64()
	for i, day := range days {
		if i > 0 {
			q := 0.0
			if w.phi > 0 {
				q = math.Pow(w.phi, (day-days[i-1])/7)
			}
			e = q*e + math.Sqrt(1-q*q)*r.NormFloat64()
		}
		v := e
		if day >= 0 {
			v += step
		}
		if r.Float64() < w.misreads {
			v += 8 * (float64(r.IntN(2))*2 - 1)
		}
		out[i] = effect.Point{At: start.Add(time.Duration(day * 24 * float64(time.Hour))), Value: v}
	}
	return out
}

// dates draws readings a week or so apart, half of them before day 0.
func dates(r *rand.Rand, n int) []float64 {
	days := make([]float64, n)
	for i := 1; i < n; i++ {
		days[i] = days[i-1] + 7*(0.5+r.Float64())
	}
	middle := (days[(n-1)/2] + days[(n-1)/2+1]) / 2
	for i := range days {
		days[i] -= middle
	}
	return days
}

func (w world) ask(r *rand.Rand) effect.Ask {
	days := dates(r, w.n)
	a := effect.Ask{On: []effect.Span{{From: start}}, Outcome: effect.Reading, Rise: true}
	a.Treated = w.tank(r, days, w.step)
	if w.compared {
		a.Comparison = w.tank(r, days, 0)
	}
	return a
}

// tally counts what came of trials.
type tally struct{ runs, helped, hurt, covered int }

func (t *tally) take(r effect.Result, truth float64) {
	t.runs++
	switch r.Verdict {
	case effect.Helped:
		t.helped++
	case effect.Hurt:
		t.hurt++
	}
	if r.Low <= truth && truth <= r.High {
		t.covered++
	}
}

func (t *tally) add(o tally) {
	t.runs, t.helped, t.hurt, t.covered = t.runs+o.runs, t.helped+o.helped, t.hurt+o.hurt, t.covered+o.covered
}

func (t tally) share(n int) float64 { return float64(n) / float64(t.runs) }

// over is by how much a share may be above a limit by the chance of simulation:
// three standard errors.
func (t tally) over(limit float64) float64 { return 3 * math.Sqrt(limit*(1-limit)/float64(t.runs)) }

func (w world) run(t *testing.T, r *rand.Rand, runs int) tally {
	t.Helper()
	var out tally
	for range runs {
		got, err := effect.Analyse(w.ask(r))
		if err != nil {
			t.Fatalf("%v: %v", w, err)
		}
		out.take(got, w.step)
	}
	return out
}

// By what a verdict promises: with no effect at most 5 % are helped or hurt, and
// intervals of 95 % hold the truth in 93 to 97 %, over correlations from 0 to
// 0.7, 8 to 60 readings on irregular dates, with misreads and without.
func TestTrueNulls(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	runs := 12
	if *long {
		runs = 1000
	}
	var all tally
	for _, misreads := range []float64{0, 0.05} {
		for _, compared := range []bool{true, false} {
			for _, n := range []int{8, 16, 30, 60} {
				for _, phi := range []float64{0, 0.3, 0.5, 0.7} {
					w := world{n: n, phi: phi, compared: compared, misreads: misreads}
					cell := w.run(t, r, runs)
					all.add(cell)
					if *long {
						t.Logf("%v: helped or hurt in %.1f %%, intervals hold in %.1f %%", w, 100*cell.share(cell.helped+cell.hurt), 100*cell.share(cell.covered))
					}
					if share := cell.share(cell.helped + cell.hurt); *long && share > 0.05+cell.over(0.05) {
						t.Errorf("%v: %.1f %% of true nulls helped or hurt, want at most 5", w, 100*share)
					}
				}
			}
		}
	}
	if share := all.share(all.helped + all.hurt); share > 0.05+all.over(0.05) {
		t.Errorf("%.1f %% of true nulls helped or hurt, want at most 5", 100*share)
	}
	if share := all.share(all.covered); share < 0.93-all.over(0.93) || share > 0.97+all.over(0.97) {
		t.Errorf("intervals of 95 %% hold the truth in %.1f %%, want 93 to 97", 100*share)
	}
	t.Logf("over all %d: helped or hurt in %.2f %%, intervals hold in %.2f %%", all.runs, 100*all.share(all.helped+all.hurt), 100*all.share(all.covered))
}

// By the definition of power: what the plan says is what its trials come to.
func TestPowerIsKept(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	runs := 150
	if *long {
		runs = 3000
	}
	for _, c := range []struct {
		n    int
		phi  float64
		step float64
	}{{12, 0.3, 2.5}, {24, 0, 1.5}, {24, 0.5, 2}, {48, 0.5, 1.5}} {
		days := dates(r, c.n)
		d := effect.Design{Days: days, On: [][2]float64{{0, math.Inf(1)}}}
		strength, err := d.Simulate(effect.Noise{SD: math.Sqrt2, Phi: math.Pow(c.phi, 1.0/7)}, r)
		if err != nil {
			t.Fatal(err)
		}
		said := strength.Power(c.step)
		w := world{n: c.n, phi: c.phi, compared: true, step: c.step}
		var kept tally
		for range runs {
			a := effect.Ask{On: []effect.Span{{From: start}}, Outcome: effect.Reading, Rise: true,
				Treated: w.tank(r, days, c.step), Comparison: w.tank(r, days, 0)}
			got, err := effect.Analyse(a)
			if err != nil {
				t.Fatal(err)
			}
			kept.take(got, c.step)
		}
		got := kept.share(kept.helped)
		t.Logf("%v, step %g: said %.1f %%, kept %.1f %%", w, c.step, 100*said, 100*got)
		if math.Abs(got-said) > 0.05+kept.over(said) {
			t.Errorf("%v, step %g: a power of %.1f %% was said, %.1f %% were kept", w, c.step, 100*said, 100*got)
		}
	}
}
