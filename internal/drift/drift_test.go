package drift

import (
	"math"
	"math/rand/v2"
	"testing"
)

// steady builds a tank whose demand is matched by daily doses and a pump.
func longCase(readings, inputs int) Case {
	rng := rand.New(rand.NewPCG(1, 2))
	c := Case{
		Habit: HabitOf("alkalinity", "mixed", 1),
		Kits:  []Kit{{SD: 0.2, Resolution: 0.1, BiasSD: 0.4}, {SD: 0.1, BiasSD: 0.2}},
		Mixes: []float64{0.3},
		Band:  Band{7.5, 9},
	}
	span := float64(readings) * 2
	level, at, in, ch := 8.2, 0.0, 0, 0.0
	for i := range readings {
		t := span * float64(i) / float64(readings)
		for ; float64(in)*span/float64(inputs) < t; in++ {
			c.Inputs = append(c.Inputs, Input{T: float64(in) * span / float64(inputs), Delta: 0.5 * span / float64(inputs), SD: 0.01})
			level += 0.5 * span / float64(inputs)
		}
		if t-ch > 7 {
			ch = t
			c.Changes = append(c.Changes, Change{T: t - 0.1, Fraction: 0.1, Value: 8.5, Mix: 0})
		}
		level -= 0.5 * (t - at)
		at = t
		v := level + 0.2*rng.NormFloat64()
		if i%37 == 36 {
			v += 2
		}
		c.Readings = append(c.Readings, Reading{T: t, Value: math.Round(v*10) / 10, Kit: i / (readings/2 + 1)})
	}
	return c
}

func TestFollowsASteadyTank(t *testing.T) {
	c := longCase(120, 240)
	end := c.Readings[len(c.Readings)-1].T
	s, err := Analyse(c, end)
	if err != nil {
		t.Fatal(err)
	}
	level, demand := s.Now()
	t.Logf("level %.2f ± %.2f, demand %.3f ± %.3f, spreads %.2f", level.Mean, level.SD, demand.Mean, demand.SD, s.mode)
	if math.Abs(demand.Mean-0.5) > 3*demand.SD || demand.SD > 0.15 {
		t.Errorf("demand %.3f ± %.3f, want 0.5", demand.Mean, demand.SD)
	}
	out := s.Forecast(Plan{}, 60)
	prev := 0.0
	for _, d := range out.Days {
		for i := 1; i < len(d.Q); i++ {
			if d.Q[i] < d.Q[i-1] {
				t.Fatalf("day %g: quantiles out of order: %v", d.T, d.Q)
			}
		}
		if d.POutside < prev-1e-12 || d.POutside > 1 {
			t.Fatalf("day %g: chance of having left %.3f after %.3f", d.T, d.POutside, prev)
		}
		prev = d.POutside
	}
	a, err := s.Account(end-60, end)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%+v", a)
}

func BenchmarkAnalyseAndForecast(b *testing.B) {
	c := longCase(500, 1000)
	end := c.Readings[len(c.Readings)-1].T
	b.ReportAllocs()
	for b.Loop() {
		s, err := Analyse(c, end)
		if err != nil {
			b.Fatal(err)
		}
		s.Forecast(Plan{}, 60)
	}
}
