package drift

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"driftline/statespace"
)

// Chances of touching a limit against two million simulated paths and, for one
// case, the inverse Gaussian law: testdata/SOURCES.md. Ours is an announced
// approximation, held to 0.02.
func TestFirstPassage(t *testing.T) {
	raw, err := os.ReadFile("testdata/first_passage.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Cases []struct {
			Input struct {
				Name         string
				Mean         []float64
				Cov          [][]float64
				LevelRateVar float64 `json:"level_rate_var"`
				SlopeRateVar float64 `json:"slope_rate_var"`
				Low, High    *float64
				Horizons     []float64
				Changes      []struct{ Time, Fraction, Concentration float64 }
			}
			Expected struct {
				Prob []struct{ T, Either float64 }
			}
		} `json:"cases_mc"`
	}
	if err := json.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	for _, c := range file.Cases {
		t.Run(c.Input.Name, func(t *testing.T) {
			in := c.Input
			band := Band{math.NaN(), math.NaN()}
			if in.Low != nil {
				band.Low = *in.Low
			}
			if in.High != nil {
				band.High = *in.High
			}
			e := &engine{c: &Case{Band: band}, habit: Habit{WanderDays: math.Inf(1), Floor: math.Inf(-1), Restless: 1}}
			w := e.newWalker(spreads{}, false)
			w.flow = statespace.Flow{LevelVar: in.LevelRateVar, WanderVar: in.SlopeRateVar}
			w.f.Set(stateLevel, in.Mean[0], in.Cov[0][0])
			w.f.Set(stateWander, -in.Mean[1], in.Cov[1][1])
			w.f.P[1], w.f.P[w.f.N] = -in.Cov[0][1], -in.Cov[0][1]
			w.f.Set(w.l.mean, 0, 0)
			s := &State{e: e, points: []point{{weight: 1, w: w}}}
			var plan Plan
			for _, ch := range in.Changes {
				plan.Changes = append(plan.Changes, Change{T: ch.Time, Fraction: ch.Fraction, Value: ch.Concentration, Mix: -1})
			}
			out := s.Forecast(plan, int(in.Horizons[len(in.Horizons)-1]))
			for i, h := range in.Horizons {
				got, want := out.Days[int(h)].POutside, c.Expected.Prob[i].Either
				if math.Abs(got-want) > 0.02 {
					t.Errorf("chance of having left by day %g: %.3f, want %.3f", h, got, want)
				}
			}
		})
	}
}
