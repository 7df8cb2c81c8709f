package waterbench

import (
	"math"
	"testing"
	"time"

	"driftline/internal/standing"
	"driftline/units"
)

// Alkalinity on two days 16 apart, repetition 0.3 and bias 0.4, wander 0.25 in a
// day. By hand: within the window of a day, the reading itself with what 0.5 days
// add, √(0.3² + 0.4² + 0.25² · 0.5) = 0.5303. Halfway, a Brownian bridge has
// 0.25 · √(8 · 8 / 16) = 0.5, the mean of two 0.3/√2, the bias as it is:
// √(0.045 + 0.16 + 0.25) = 0.6745. Thirty days after the last, 0.25 · √30 = 1.369.
func TestTrackByHand(t *testing.T) {
	day := func(d float64) time.Time {
		return time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(d * 24 * float64(time.Hour)))
	}
	k := track{habits[units.Alkalinity], []standing.Measured{
		{At: day(0), Value: 8, SD: 0.3, Bias: 0.4}, {At: day(16), Value: 9, SD: 0.3, Bias: 0.4}}}
	for _, c := range []struct{ at, value, sd float64 }{
		{0, 8, 0.5}, {0.5, 8, 0.5303}, {-0.5, 8, 0.5303}, {8, 8.5, 0.6745}, {4, 8.25, math.Sqrt(0.09*(0.5625+0.0625) + 0.16 + 0.0625*3)},
		{46, 9, math.Sqrt(0.25 + 0.0625*30)},
	} {
		f, ok := k.at(day(c.at))
		if !ok || math.Abs(f.v-c.value) > 1e-9 || math.Abs(f.sd-c.sd) > 1e-4 {
			t.Errorf("day %g: %+v (%v), want %g ± %g", c.at, f, ok, c.value, c.sd)
		}
	}
	if _, ok := k.at(day(16 + 61)); ok {
		t.Error("a reading two months old still stands")
	}
	if _, ok := (&track{}).at(day(0)); ok {
		t.Error("no readings, but a level")
	}
}

// Points 0, 1, 2, 5 on days 0 to 3: slope 8/5, residuals 0.4, -0.2, -0.8, 0.6, so
// 1.2 over 2 degrees of freedom and 5 days²: √0.12 a day; over 3 days.
func TestRiseByHand(t *testing.T) {
	var points []Point
	for i, v := range []float64{0, 1, 2, 5} {
		points = append(points, Point{At: time.Unix(int64(i)*86400, 0), Mean: v})
	}
	f := rise(points)
	if math.Abs(f.v-4.8) > 1e-9 || math.Abs(f.sd-3*math.Sqrt(0.12)) > 1e-9 {
		t.Errorf("%+v", f)
	}
}

// A limit of 0.1 that was not reached: 0.05, and anywhere below is 0.1/√12.
func TestBelowTheLimit(t *testing.T) {
	got := usable(units.TotalAmmonia, []standing.Measured{{Value: 0.1, Below: true}})
	if len(got) != 1 || got[0].Value != 0.05 || math.Abs(got[0].SD-0.1/math.Sqrt(12)) > 1e-12 {
		t.Errorf("%+v", got)
	}
	if got := usable(units.Alkalinity, []standing.Measured{{Value: 1, Below: true}, {Value: 8}}); len(got) != 1 || got[0].Value != 8 {
		t.Errorf("%+v", got)
	}
}

// 9,000 readings, twice a day: 4,000 stay, the newest 1,000 all of them, the order
// kept, and of the older ones mornings and evenings alike.
func TestThinning(t *testing.T) {
	list := make([]standing.Measured, 9000)
	for i := range list {
		list[i] = standing.Measured{At: time.Unix(int64(i)*43200, 0), Value: float64(i)}
	}
	got := thinned(list)
	if len(got) != pointsMost || got[pointsMost-pointsNewest].Value != 8000 || len(thinned(list[:4000])) != 4000 {
		t.Fatalf("%d points", len(got))
	}
	evenings := 0
	for i, m := range got[:3000] {
		if i > 0 && !(m.Value > got[i-1].Value) {
			t.Fatal("out of order")
		}
		evenings += int(m.Value) % 2
	}
	if evenings < 1350 || evenings > 1650 {
		t.Errorf("%d of 3,000 are evenings", evenings)
	}
}
