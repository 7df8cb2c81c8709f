package drift

import (
	"math"
	"testing"
)

// fedCase is a nitrate tank at rest at a level, fed so much a day, and twice as much
// from a day on. The readings follow the balance dC/dt = yield·food − k·C exactly.
func fedCase(yield, k, food, changed, end float64) Case {
	c := Case{Habit: HabitOf("nitrate", "mixed", 1), Kits: []Kit{{SD: 0.1}}, Band: Band{math.NaN(), math.NaN()},
		Food: []Feed{{From: 0, To: changed, Rate: food}, {From: changed, To: end, Rate: 2 * food}}}
	for t := 0.0; t <= end; t += 3 {
		level := yield * food / k
		if t > changed {
			level *= 2 - math.Exp(-k*(t-changed))
		}
		c.Readings = append(c.Readings, Reading{T: t, Value: level})
	}
	return c
}

// First-order settling in closed form: fed F of which a share y ends in the water and
// removed at a rate k, a level settles at yF/k; twice the food, twice the level.
func TestLearnsTheYieldAndSettles(t *testing.T) {
	const yield, k, food = 0.6, 0.05, 1.0
	c := fedCase(yield, k, food, 120, 180)
	s, err := Analyse(c, 180)
	if err != nil {
		t.Fatal(err)
	}
	y, ok := s.Yield()
	if !ok || math.Abs(y.Mean-yield) > 2.5*y.SD || y.SD > 0.2 {
		t.Errorf("yield %.3f ± %.3f, want %.1f", y.Mean, y.SD, yield)
	}
	out := s.Forecast(Plan{Food: []Feed{{From: 180, To: 1000, Rate: 2 * food}}}, 120)
	if d := out.Days[120]; math.Abs(d.Mean-2*yield*food/k) > 2*d.SD || d.SD > 0.3*d.Mean {
		t.Errorf("twice fed: %.2f ± %.2f in 120 days, want %.2f", d.Mean, d.SD, 2*yield*food/k)
	}
	half := s.Forecast(Plan{Food: []Feed{{From: 180, To: 1000, Rate: food / 2}}}, 120)
	now := c.Readings[len(c.Readings)-1].Value
	want := yield*food/2/k + (now-yield*food/2/k)*math.Exp(-k*120)
	if d := half.Days[120]; math.Abs(d.Mean-want) > 2*d.SD {
		t.Errorf("half fed: %.2f ± %.2f in 120 days, want %.2f", d.Mean, d.SD, want)
	}
}

// A tank that is fed the same every day is judged as one whose food nobody wrote
// down, but for what the amount says of the removal.
func TestUnchangedFoodAddsNothing(t *testing.T) {
	c := fedCase(0.6, 0.05, 1, 1e9, 120)
	c.Food = []Feed{{From: 0, To: 120, Rate: 1}}
	s, err := Analyse(c, 120)
	if err != nil {
		t.Fatal(err)
	}
	none, same := s.Forecast(Plan{}, 60), s.Forecast(Plan{Food: []Feed{{From: 120, To: 400, Rate: 1}}}, 60)
	for d := range none.Days {
		if math.Abs(none.Days[d].Mean-same.Days[d].Mean) > 1e-9 || math.Abs(none.Days[d].SD-same.Days[d].SD) > 1e-9 {
			t.Fatalf("day %d: %v without a plan of food, %v with the same as ever", d, none.Days[d], same.Days[d])
		}
	}
}

func TestAccountOfFoodAddsUp(t *testing.T) {
	c := fedCase(0.6, 0.05, 1, 120, 180)
	s, err := Analyse(c, 180)
	if err != nil {
		t.Fatal(err)
	}
	a, err := s.Account(100, 160)
	if err != nil {
		t.Fatal(err)
	}
	y, _ := s.Yield()
	if a.Food == nil || math.Abs(a.Food.Mean-100*y.Mean) > 0.1*100*y.Mean { // 20 days of 1 and 40 of 2
		t.Errorf("food gave %+v, want about %.1f", a.Food, 100*y.Mean)
	}
	if sum := a.From.Mean + a.Food.Mean + a.Demand.Mean + a.Unexplained.Mean; math.Abs(sum-a.To.Mean) > 1e-9 {
		t.Errorf("parts come to %g, the level to %g", sum, a.To.Mean)
	}
}

func TestRefusesFoodOutOfOrder(t *testing.T) {
	c := fedCase(0.6, 0.05, 1, 120, 180)
	for _, bad := range [][]Feed{{{From: 5, To: 5, Rate: 1}}, {{From: 0, To: 9, Rate: 1}, {From: 8, To: 12, Rate: 1}}, {{From: 0, To: 9, Rate: -1}}, {{From: 0, To: math.NaN(), Rate: 1}}} {
		c.Food = bad
		if _, err := Analyse(c, 180); err == nil {
			t.Errorf("%v was accepted", bad)
		}
	}
}
