package growth

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"pgregory.net/rapid"
)

var start = time.Date(2026, 1, 1, 12, 0, 0, 0, time.UTC)

func day(d float64) time.Time { return start.Add(time.Duration(d * 24 * float64(time.Hour))) }

type refCase struct {
	Name  string
	Input struct {
		Model string
		T, Y  []float64
	}
	Expected struct {
		Coef, SE map[string]float64
		RSS      float64
		Predict  struct{ T, Mean, SE []float64 }
		Log      *struct {
			Rate  float64
			SE    float64 `json:"rate_se"`
			Lower float64 `json:"rate_lower"`
			Upper float64 `json:"rate_upper"`
		} `json:"loglinear"`
	}
}

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Max(math.Abs(want), 1e-12)) {
		t.Errorf("%s: %.10g, want %.10g", what, got, want)
	}
}

// R's nls and lm; see testdata/SOURCES.md.
func TestLawsAgreeWithR(t *testing.T) {
	raw, err := os.ReadFile("testdata/growth.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Cases []refCase }
	if err := json.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	laws := map[string]struct {
		c     curve
		names []string
	}{"logistic": {logistic, []string{"a", "m", "s"}}, "exponential": {exponential, []string{"a", "k"}}}
	done := 0
	for _, c := range file.Cases {
		law, ok := laws[c.Input.Model]
		if !ok {
			continue
		}
		done++
		f, err := fit(law.c, c.Input.T, c.Input.Y, false)
		if err != nil {
			t.Errorf("%s: %v", c.Name, err)
			continue
		}
		for i, n := range law.names {
			near(t, c.Name+" "+n, f.p[i], c.Expected.Coef[n], 1e-6)
			near(t, c.Name+" se of "+n, math.Sqrt(f.cov.At(i, i)), c.Expected.SE[n], 1e-4)
		}
		near(t, c.Name+" rss", f.rss, c.Expected.RSS, 1e-6)
		for i, at := range c.Expected.Predict.T {
			y, se := f.at(at)
			near(t, c.Name+" predicted", y, c.Expected.Predict.Mean[i], 1e-6)
			near(t, c.Name+" se of predicted", se, c.Expected.Predict.SE[i], 1e-4)
		}
		if l := c.Expected.Log; l != nil {
			var all []Measure
			for i, v := range c.Input.T {
				all = append(all, Measure{day(v), []float64{c.Input.Y[i]}})
			}
			g, err := Of(all)
			if err != nil {
				t.Fatal(err)
			}
			near(t, c.Name+" rate", g.Rate.Mean, l.Rate, 1e-9)
			near(t, c.Name+" rate, lower", g.Rate.Low, l.Lower, 1e-9)
			near(t, c.Name+" rate, upper", g.Rate.High, l.Upper, 1e-9)
		}
	}
	if done < 4 {
		t.Errorf("%d cases", done)
	}
}

// Areas that double in 60 days: 41.4 % in 30 (√2), whatever their unit.
func TestDoubling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.Float64Range(0.001, 1e6).Draw(t, "unit")
		var all []Measure
		for _, d := range []float64{0, 28, 61, 95, 120} {
			all = append(all, Measure{day(d), []float64{unit * math.Exp2(d/60)}})
		}
		g, err := Of(all)
		if err != nil || math.Abs(g.Percent.Mean-41.42135623) > 1e-5 || math.Abs(g.Double.Mean-60) > 1e-6 || g.Curve != "exponential" {
			t.Fatalf("%+v, %v", g, err)
		}
	})
}

// Of made-up colonies with outlines 2 % off and growth that is uneven from month to month,
// 95 % intervals hold the true rate in about 95 of 100.
func TestIntervalsHold(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	const colonies = 600
	held := 0
	for range colonies {
		rate := 0.004 * rng.Float64()
		var all []Measure
		for m := range 8 {
			d := 30*float64(m) + 4*rng.NormFloat64()
			area := 20 * math.Exp(rate*d+0.03*rng.NormFloat64())
			all = append(all, Measure{day(d), []float64{area * math.Exp(0.02*rng.NormFloat64()), area * math.Exp(0.02*rng.NormFloat64())}})
		}
		g, err := Of(all)
		if err != nil {
			t.Fatal(err)
		}
		if g.Rate.Low <= rate && rate <= g.Rate.High {
			held++
		}
	}
	// Four standard errors of 600 draws around 95 %: 91.4 to 98.6.
	if share := float64(held) / colonies; share < 0.914 || share > 0.986 {
		t.Errorf("held %.3f", share)
	}
}

// Two dates have a rate; an interval only where outlines were repeated.
func TestTwoDates(t *testing.T) {
	g, err := Of([]Measure{{day(0), []float64{10}}, {day(30), []float64{11}}})
	if err != nil || math.Abs(g.Percent.Mean-10) > 1e-9 || !math.IsNaN(g.Rate.Low) || g.Curve != "" {
		t.Errorf("%+v, %v", g, err)
	}
	g, err = Of([]Measure{{day(0), []float64{9.9, 10.1, 10}}, {day(30), []float64{10.9, 11.1, 11}}})
	if err != nil || math.IsNaN(g.Rate.Low) || !(g.Percent.Low > 5 && g.Percent.High < 15) {
		t.Errorf("%+v, %v", g, err)
	}
	for name, all := range map[string][]Measure{"nothing": nil, "one": {{day(0), []float64{1}}}, "no area": {{day(0), []float64{0}}, {day(9), []float64{1}}}, "one day": {{day(0), []float64{1}}, {day(0.5), []float64{2}}}} {
		if _, err := Of(all); err == nil {
			t.Errorf("%s is taken", name)
		}
	}
}

// A colony that grew 3 % a month and then 9 %: the change is told, and none where none was.
func TestChanged(t *testing.T) {
	for _, c := range []struct{ after, low, high float64 }{{0.003, 4.5, 7.5}, {0.001, -1, 1}} {
		var all []Measure
		rng := rand.New(rand.NewPCG(2, 2))
		for m := range 12 {
			d := 30 * float64(m)
			l := 0.001*d + (c.after-0.001)*math.Max(d-180, 0) + 0.004*rng.NormFloat64()
			all = append(all, Measure{day(d), []float64{math.Exp(l)}})
		}
		i, err := Changed(all, day(180))
		if err != nil || i.Mean < c.low || i.Mean > c.high || i.Low > 100*30*(c.after-0.001) || i.High < 100*30*(c.after-0.001) {
			t.Errorf("%+v, %v", i, err)
		}
	}
	if _, err := Changed([]Measure{{day(0), []float64{1}}, {day(30), []float64{1}}}, day(10)); err == nil {
		t.Error("two dates tell of a change")
	}
}

// Counts of 5 and 8 a year apart (five anemones became eight): log(8/5)/365 a day is 3.9 %
// in 30 days, and by a Poisson law its standard error is √(1/5+1/8)/365.
func TestCounts(t *testing.T) {
	i, err := OfCounts([]Count{{day(0), 5}, {day(365), 8}})
	rate, se := math.Log(8.0/5)/365, math.Sqrt(1.0/5+1.0/8)/365
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rate", i.Mean, 100*math.Expm1(30*rate), 1e-6)
	near(t, "upper", i.High, 100*math.Expm1(30*(rate+1.959964*se)), 1e-6)
	if i.Low > 0 {
		t.Error("five that became eight in a year are no proof")
	}
}

// Two colonies, one twice as fast.
func TestApart(t *testing.T) {
	made := func(rate float64, seed uint64) Growth {
		rng := rand.New(rand.NewPCG(seed, 1))
		var all []Measure
		for m := range 9 {
			d := 30 * float64(m)
			all = append(all, Measure{day(d), []float64{math.Exp(rate*d + 0.01*rng.NormFloat64())}})
		}
		g, err := Of(all)
		if err != nil {
			t.Fatal(err)
		}
		return g
	}
	if i := Apart(made(0.004, 1), made(0.002, 2)); !(i.Low > 0) || i.Low > 6 || i.High < 6 {
		t.Errorf("%+v", i)
	}
	if i := Apart(made(0.002, 3), made(0.002, 4)); i.Low > 0 || i.High < 0 {
		t.Errorf("%+v", i)
	}
}
