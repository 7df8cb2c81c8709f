package standing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"driftline/units"
)

// The chance that a driftless path reaches a distance is twice that of ending
// beyond it: the reflection principle (Feller 1968, An Introduction to
// Probability Theory and Its Applications I, chapter III). Ever reaching it
// against a drift has chance exp(−2μd/σ²).
func TestReach(t *testing.T) {
	near(t, "reflection", reach(1, 0, 1, 4), 2*(1-phi(0.5)), 1e-12)
	near(t, "reflection, other scale", reach(30, 0, 9, 25), 2*(1-phi(2)), 1e-12)
	near(t, "against the drift, for ever", reach(1, 0.5, 1, 1e6), math.Exp(-1), 1e-9)
	near(t, "with the drift, for ever", reach(1, -0.5, 1, 1e6), 1, 1e-9)
	near(t, "no noise, too far", reach(10, -1, 0, 5), 0, 0)
	near(t, "no noise, far enough", reach(10, -2, 0, 5), 1, 0)
	for _, d := range []float64{1e-6, 1, 1e3, 1e9} {
		for _, mu := range []float64{-1e6, -1, 0, 1, 1e6} {
			if p := reach(d, mu, 1e-3, 30); !(p >= 0 && p <= 1) {
				t.Errorf("reach(%g, %g) = %g", d, mu, p)
			}
		}
	}
}

func probe(day, value float64) string {
	return reading(day, "temperature", fmt.Sprintf("%.2f", value), "°C", "probe")
}

func TestSwingOfADay(t *testing.T) {
	// Readings every three hours of 25.6 °C with a wave of 0.4 °C up and down.
	rng := rand.New(rand.NewPCG(1, 2))
	var lines []string
	for h := 0.0; h < 24*20; h += 3 {
		lines = append(lines, probe(h/24, 25.6+0.4*math.Sin(2*math.Pi*h/24)+0.05*rng.NormFloat64()))
	}
	q := surveyOf(t, onDay(20), lines...).newMatter(units.Temperature).quantity(30)
	near(t, "level", q.Level.Mean, 25.6, 0.1)
	near(t, "swing", q.DailySwing.Mean, 0.8, 0.08)
	if !q.Simple || len(q.Forecast) != 31 || q.Demand != (Estimate{}) {
		t.Errorf("simple %v, %d days, demand %+v", q.Simple, len(q.Forecast), q.Demand)
	}
	contains(t, q.Why, "within a day")
}

func TestPlainReadings(t *testing.T) {
	steady := func(n int) []string {
		var out []string
		for i := range n {
			out = append(out, probe(float64(3*i), 25.5+0.1*float64(i%3-1)))
		}
		return out
	}
	t.Run("one wild reading is named, not believed", func(t *testing.T) {
		q := surveyOf(t, onDay(31), append(steady(10), probe(30, 35))...).newMatter(units.Temperature).quantity(30)
		near(t, "level", q.Level.Mean, 25.5, 0.2)
		if last := q.Readings[10]; last.Misread < 0.9 {
			t.Errorf("misread %.2f", last.Misread)
		}
	})
	t.Run("two that agree are believed", func(t *testing.T) {
		q := surveyOf(t, onDay(31), append(steady(10), probe(29, 29.4), probe(30, 29.5))...).newMatter(units.Temperature).quantity(30)
		near(t, "level", q.Level.Mean, 29.4, 0.5)
		if q.State != Outside || q.Leaves.Side != "high" {
			t.Errorf("%s %s", q.State, q.Leaves.Side)
		}
	})
	t.Run("doubt widens with time and quantiles are in order", func(t *testing.T) {
		q := surveyOf(t, onDay(30), steady(10)...).newMatter(units.Temperature).quantity(60)
		for i, d := range q.Forecast {
			if i > 0 && d.SD < q.Forecast[i-1].SD || !(d.P05 < d.P10 && d.P10 < d.P25 && d.P25 < d.P50 && d.P50 < d.P75 && d.P75 < d.P90 && d.P90 < d.P95) {
				t.Fatalf("day %d: %+v", i, d)
			}
		}
	})
	t.Run("a fall is told", func(t *testing.T) {
		var lines []string
		for i := range 20 {
			lines = append(lines, reading(float64(2*i), "pH", fmt.Sprintf("%.2f", 8.3-0.01*float64(2*i)), "NBS", ""))
		}
		q := surveyOf(t, onDay(40), lines...).newMatter(units.PH).quantity(30)
		contains(t, q.Why, "Falling")
		if q.Leaves.Side != "low" {
			t.Errorf("side %q", q.Leaves.Side)
		}
	})
}

// Two readings that disagree leave the level between them, in doubt by their
// difference; a third settles which to believe.
func TestTwoThatDisagree(t *testing.T) {
	two := surveyOf(t, onDay(2), probe(0, 24), probe(1, 28)).newMatter(units.Temperature).quantity(30)
	near(t, "level", two.Level.Mean, 26, 0.8)
	if sd := two.Level.SD; sd < 1 || sd > 5 {
		t.Errorf("level in doubt by %g", sd)
	}
	three := surveyOf(t, onDay(3), probe(0, 24), probe(1, 28), probe(2, 24.1)).newMatter(units.Temperature).quantity(30)
	near(t, "level after a third", three.Level.Mean, 24.1, 0.5)
}

// However wide the doubt, nothing is said of less than nothing, and quantiles
// stand in their order.
func TestForecastsStayPossible(t *testing.T) {
	s := surveyOf(t, onDay(9), at(0, `"kind":"band","tank":"quay","quantity":"phosphate","unit":"mg/L","low":0.03,"high":0.1`),
		at(0, `"kind":"instrument","name":"blunt","quantity":"oxygen","unit":"mg/L","sd":30`), reading(1, "oxygen", "6", "mg/L", "blunt"),
		reading(1, "nitrite", "0", "mg/L", ""), reading(2, "nitrite", "0", "mg/L", ""))
	for _, name := range []units.Quantity{units.Phosphate, units.Oxygen, units.Nitrite} {
		for _, d := range s.newMatter(name).quantity(60).Forecast {
			q := []float64{0, d.P05, d.P10, d.P25, d.P50, d.P75, d.P90, d.P95}
			for i := 1; i < len(q); i++ {
				if q[i] < q[i-1] {
					t.Errorf("%s at %s: %v", name, d.At, q)
				}
			}
		}
	}
}
