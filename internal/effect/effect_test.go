package effect_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"driftline/internal/effect"

	"pgregory.net/rapid"
)

// points are figures a week apart, the first of the list so many weeks from the
// start.
func points(first int, values ...float64) []effect.Point {
	out := make([]effect.Point, len(values))
	for i, v := range values {
		out[i] = effect.Point{At: atDay(7 * float64(first+i)), Value: v}
	}
	return out
}

// By hand: treated minus comparison is 0.1, -0.1, 0.1, -0.1, 0.1, -0.1 before and
// 2 more after; what both tanks do together, here a season, falls out.
func TestDifferenceToAnotherTank(t *testing.T) {
	season := []float64{5, 6, 8, 9, 8, 6, 5, 4, 3, 4, 5, 7}
	var treated, comparison []float64
	for i, s := range season {
		d := 0.1
		if i%2 == 1 {
			d = -0.1
		}
		if i >= 6 {
			d += 2
		}
		treated, comparison = append(treated, s+d), append(comparison, s)
	}
	a := effect.Ask{Treated: points(-6, treated...), Comparison: points(-6, comparison...), On: []effect.Span{{From: start}},
		Outcome: effect.Reading, Rise: true, Matters: 0.5}
	got, err := effect.Analyse(a)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got.Effect-2) > 1e-6 || got.Verdict != effect.Helped || got.PDirection < 0.99 {
		t.Errorf("effect %v, verdict %v, chance %v; want 2, helped, near 1", got.Effect, got.Verdict, got.PDirection)
	}
	a.Rise = false
	if got, err = effect.Analyse(a); err != nil || got.Verdict != effect.Hurt || got.PDirection > 0.01 {
		t.Errorf("with a fall hoped for: %v, %v, %v; want hurt", got.Verdict, got.PDirection, err)
	}
	for i := range a.Treated[6:] { // the same rise, known to come from doses
		a.Treated[6+i].Known = 2
	}
	a.Matters = 1
	if got, err = effect.Analyse(a); err != nil || got.Verdict != effect.NoDifference {
		t.Errorf("with the doses taken off: %v, %v; want no difference that matters", got.Verdict, err)
	}
}

// A misread of 50 among readings around 8 must neither carry the answer nor hide
// it.
func TestMisreadIsLeftOut(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	var values []float64
	for i := range 30 {
		v := 8 + 0.1*r.NormFloat64()
		if i >= 15 {
			v += 1
		}
		values = append(values, v)
	}
	values[20] = 50
	got, err := effect.Analyse(effect.Ask{Treated: points(-15, values...), On: []effect.Span{{From: start}}, Outcome: effect.Reading, Rise: true, NoTrend: true})
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(got.Used, func(u effect.Used) bool { return u.Value == 50 })
	if !got.Used[i].Dropped || got.Verdict != effect.Helped || math.Abs(got.Effect-1) > 0.2 {
		t.Errorf("effect %v, verdict %v, misread left out %v; want about 1, helped, true", got.Effect, got.Verdict, got.Used[i].Dropped)
	}
}

// Two changes on the same day are one change; a week apart with few readings they
// still are.
func TestTwoChangesTogether(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	var values []float64
	for i := range 24 {
		v := r.NormFloat64()
		if i >= 12 {
			v += 6
		}
		values = append(values, v)
	}
	a := effect.Ask{Treated: points(-12, values...), Comparison: points(-12, make([]float64, 24)...), On: []effect.Span{{From: start}}, Outcome: effect.Reading, Rise: true,
		Others: []effect.Other{{Name: "new food", On: []effect.Span{{From: start.AddDate(0, 0, 1)}}}}}
	got, err := effect.Analyse(a)
	if err != nil {
		t.Fatal(err)
	}
	if got.Verdict != effect.CantTell || !got.Others[0].Together || !strings.Contains(got.Why, "new food") {
		t.Errorf("verdict %v (%s), other %+v; want can't tell, for new food came along", got.Verdict, got.Why, got.Others[0])
	}
	a.Others[0].On[0].From = start.AddDate(0, 0, 42) // six weeks later: now they can be told apart
	if got, err = effect.Analyse(a); err != nil || got.Others[0].Together || got.Verdict != effect.Helped {
		t.Errorf("six weeks apart: %v, %+v, %v; want helped, told apart", got.Verdict, got.Others, err)
	}
}

// On, off and on again: a tank that follows the change is told from one that
// drifts.
func TestOnAndOff(t *testing.T) {
	var values []float64
	var on []effect.Span
	for block := range 4 {
		for i := range 4 {
			values = append(values, float64(2*(block%2))+0.1*float64(i%2))
		}
	}
	for _, w := range []int{4, 12} {
		on = append(on, effect.Span{From: atDay(7 * float64(w)), Until: atDay(7 * float64(w+4))})
	}
	got, err := effect.Analyse(effect.Ask{Treated: points(0, values...), On: on, Outcome: effect.Reading, Rise: true})
	if err != nil {
		t.Fatal(err)
	}
	if got.Verdict != effect.Helped || math.Abs(got.Effect-2) > 0.2 {
		t.Errorf("effect %v, verdict %v; want 2, helped", got.Effect, got.Verdict)
	}
}

// An interval that is not over yet says how long it has been at least.
func TestOpenInterval(t *testing.T) {
	values := []float64{3, 4, 3, 4, 3, 4, 6, 7, 6}
	a := effect.Ask{Treated: points(-6, values...), On: []effect.Span{{From: start}}, Outcome: effect.Interval, Rise: true}
	closed, err := effect.Analyse(a)
	if err != nil {
		t.Fatal(err)
	}
	a.Treated = append(a.Treated, effect.Point{At: atDay(40), Value: 30, Open: true})
	open, err := effect.Analyse(a)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(closed.Effect-(19.0/3)/3.5) > 1e-9 || open.Effect <= closed.Effect {
		t.Errorf("ratios %v and, with 30 days that go on, %v; want 19/3 over 3.5 days, and more", closed.Effect, open.Effect)
	}
}

func TestNothingCountedAfter(t *testing.T) {
	got, err := effect.Analyse(effect.Ask{Treated: points(-6, 3, 4, 2, 5, 3, 4, 0, 0, 0, 0, 0, 0), On: []effect.Span{{From: start}}, Outcome: effect.Count})
	if err != nil {
		t.Fatal(err)
	}
	if got.Verdict != effect.Helped || !(got.Effect > 0 && got.High < 1) {
		t.Errorf("21 before, none after: ratio %v, up to %v, %v; want below 1, helped", got.Effect, got.High, got.Verdict)
	}
}

func TestAsksThatCannotBe(t *testing.T) {
	fine := points(-3, 1, 2, 1, 2, 1, 2)
	for name, a := range map[string]effect.Ask{
		"no start":            {Treated: fine},
		"too few after":       {Treated: fine[:4], On: []effect.Span{{From: start}}},
		"all settling":        {Treated: fine, On: []effect.Span{{From: start}}, Settle: 100 * 24 * time.Hour},
		"interval of nothing": {Treated: points(-3, 1, 2, 1, 2, 0, 2), On: []effect.Span{{From: start}}, Outcome: effect.Interval},
		"ratio below 1":       {Treated: fine, On: []effect.Span{{From: start}}, Outcome: effect.Count, Matters: 0.5},
		"other tank apart":    {Treated: fine, Comparison: points(900, 1, 2, 1, 2, 1, 2), On: []effect.Span{{From: start}}, Outcome: effect.Reading},
		"not a number":        {Treated: points(-3, 1, 2, math.NaN(), 2, 1, 2), On: []effect.Span{{From: start}}, Outcome: effect.Reading},
	} {
		if got, err := effect.Analyse(a); err == nil {
			t.Errorf("%s: no error but %v", name, got.Verdict)
		}
	}
}

// Figures in another unit give the same verdict and an effect in that unit, and
// what is hoped for decides only its name.
func TestUnitsAndSigns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		w := world{n: rapid.IntRange(8, 40).Draw(t, "n"), phi: rapid.Float64Range(0, 0.9).Draw(t, "phi"),
			compared: rapid.Bool().Draw(t, "compared"), step: rapid.Float64Range(-4, 4).Draw(t, "step")}
		a := w.ask(r)
		one, err := effect.Analyse(a)
		if err != nil {
			t.Fatal(err)
		}
		scale := rapid.Float64Range(0.01, 1000).Draw(t, "scale")
		for _, list := range [][]effect.Point{a.Treated, a.Comparison} {
			for i := range list {
				list[i].Value = scale*list[i].Value + 7
			}
		}
		other, err := effect.Analyse(a)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(other.Effect-scale*one.Effect) > 1e-4*scale*(one.High-one.Low) || other.Verdict != one.Verdict {
			t.Fatalf("in another unit: %v, %v; want %v, %v", other.Effect, other.Verdict, scale*one.Effect, one.Verdict)
		}
		a.Rise = false
		swapped := map[effect.Verdict]effect.Verdict{effect.Helped: effect.Hurt, effect.Hurt: effect.Helped}
		turned, err := effect.Analyse(a)
		if err != nil {
			t.Fatal(err)
		}
		if want, ok := swapped[one.Verdict]; ok && turned.Verdict != want || !ok && turned.Verdict != one.Verdict {
			t.Fatalf("hoping for the opposite: %v after %v", turned.Verdict, one.Verdict)
		}
		if !(one.Low < one.High && one.P >= 0 && one.P <= 1 && one.PDirection >= 0 && one.PDirection <= 1) {
			t.Fatalf("interval %v to %v, p %v, chance %v", one.Low, one.High, one.P, one.PDirection)
		}
	})
}

func BenchmarkAnalyse(b *testing.B) {
	a := world{n: 40, phi: 0.5, compared: true}.ask(rand.New(rand.NewPCG(1, 2)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := effect.Analyse(a); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPower(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 2))
	d := effect.Design{Days: dates(r, 40), On: [][2]float64{{0, math.Inf(1)}}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := d.Simulate(effect.Noise{SD: 1, Phi: 0.9}, r); err != nil {
			b.Fatal(err)
		}
	}
}

// Figures that never move say that nothing was done, not that nothing is known.
func TestFiguresThatNeverMove(t *testing.T) {
	a := effect.Ask{On: []effect.Span{{From: start}}, Outcome: effect.Reading, Rise: true, Matters: 1}
	for day := -30; day < 30; day += 3 {
		at := start.AddDate(0, 0, day)
		a.Treated, a.Comparison = append(a.Treated, effect.Point{At: at, Value: 5}), append(a.Comparison, effect.Point{At: at, Value: 5})
	}
	got, err := effect.Analyse(a)
	if err != nil || got.Effect != 0 || got.P < 0.999 || got.Verdict != effect.NoDifference {
		t.Errorf("%v, p %v, %q, %v", got.Effect, got.P, got.Verdict, err)
	}
}
