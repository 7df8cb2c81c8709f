package effect_test

import (
	"encoding/json"
	"math"
	"os"
	"slices"
	"testing"
	"time"

	"driftline/internal/effect"
)

func read(t *testing.T, file string, into any) {
	t.Helper()
	text, err := os.ReadFile("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, into); err != nil {
		t.Fatal(err)
	}
}

func atDay(day float64) time.Time {
	return start.Add(time.Duration(math.Round(day * 24 * float64(time.Hour))))
}

// Against R's gls with corCAR1; source and tolerance in testdata/SOURCES.md.
func TestEffectAgainstR(t *testing.T) {
	var held struct {
		Cases []struct {
			Name  string
			Input struct {
				T, Y   []float64
				XNames []string `json:"x_names"`
				X      [][]float64
				Effect string
			}
			Expected struct {
				Fits []struct {
					Errors, Method string
					Coef, SE       map[string]float64
					Phi            float64
				}
			}
		}
	}
	read(t, "before_after.json", &held)
	for _, c := range held.Cases {
		after := slices.Index(c.Input.XNames, "after")
		first := slices.IndexFunc(c.Input.X, func(row []float64) bool { return row[after] == 1 })
		a := effect.Ask{Outcome: effect.Reading, Rise: true, Slope: slices.Contains(c.Input.XNames, "after_trend")}
		begun := c.Input.T[first]
		if a.Slope { // R's trend after the change counts from the change, in years or in hundreds of days
			row := c.Input.X[first]
			begun -= row[3] * (c.Input.T[first] - c.Input.T[0]) / (row[1] - c.Input.X[0][1])
		}
		a.On = []effect.Span{{From: atDay(begun)}}
		for i, day := range c.Input.T {
			a.Treated = append(a.Treated, effect.Point{At: atDay(day), Value: c.Input.Y[i]})
			if !slices.Contains(c.Input.XNames, "trend") {
				a.Comparison = append(a.Comparison, effect.Point{At: atDay(day)})
			}
		}
		got, err := effect.Analyse(a)
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range c.Expected.Fits {
			if want.Errors != "car1" || want.Method != "REML" {
				continue
			}
			// R keeps the stream's ten readings of a tenth of their neighbours, which are
			// left out here as misreads: there only the interval is compared.
			leftOut := slices.ContainsFunc(got.Used, func(u effect.Used) bool { return u.Dropped })
			if d := math.Abs(got.Effect - want.Coef["after"]); !leftOut && d > 2e-4*want.SE["after"] {
				t.Errorf("%s: effect %v, want %v ± %v", c.Name, got.Effect, want.Coef["after"], want.SE["after"])
			}
			if got.Low > want.Coef["after"] || got.High < want.Coef["after"] {
				t.Errorf("%s: interval %v to %v without %v", c.Name, got.Low, got.High, want.Coef["after"])
			}
		}
	}
}

// Against all starts enumerated; source in testdata/SOURCES.md. The reference's
// statistic is the difference of means, which the step is without a trend.
func TestStartByLot(t *testing.T) {
	var held struct {
		StartDate []struct {
			Input struct {
				Name      string
				Y         []float64
				Start     int
				MinBefore int `json:"min_before"`
				MinAfter  int `json:"min_after"`
			}
			Expected struct {
				PTwoSided float64 `json:"p_two_sided"`
			}
		} `json:"start_date"`
	}
	read(t, "start_date.json", &held)
	checked := 0
	for _, c := range held.StartDate {
		in := c.Input
		a := effect.Ask{On: []effect.Span{{From: atDay(float64(in.Start))}}, Outcome: effect.Reading, NoTrend: true}
		for i, y := range in.Y {
			a.Treated = append(a.Treated, effect.Point{At: atDay(float64(i)), Value: y})
		}
		for s := in.MinBefore; s <= len(in.Y)-in.MinAfter; s++ {
			a.Starts = append(a.Starts, atDay(float64(s)))
		}
		got, err := effect.Analyse(a)
		if err != nil {
			t.Logf("%s: %v", in.Name, err)
			continue
		}
		if got.Exact != got.P || math.Abs(got.Exact-c.Expected.PTwoSided) > 1e-12 {
			t.Errorf("%s: p %v, want %v", in.Name, got.Exact, c.Expected.PTwoSided)
		}
		checked++
	}
	if checked < 2 {
		t.Errorf("only %d starts by lot were checked", checked)
	}
}

// Against R: the ratio of means is that of exponential intervals. Their exact
// limits take the law for known; regular intervals must come out surer, and all
// must hold the ratio.
func TestIntervalsAgainstR(t *testing.T) {
	var held struct {
		Gaps []struct {
			Name  string
			Input struct{ A, B []float64 }
			Want  struct {
				Ratio        float64 `json:"rate_a_over_rate_b"`
				Lower, Upper float64
			} `json:"expected"`
		}
	}
	read(t, "gaps.json", &held)
	for _, c := range held.Gaps {
		a := effect.Ask{On: []effect.Span{{From: atDay(0)}}, Outcome: effect.Interval, Rise: true}
		day := 0.0
		for i := len(c.Input.A) - 1; i >= 0; i-- {
			a.Treated = append(a.Treated, effect.Point{At: atDay(day - 0.01), Value: c.Input.A[i]})
			day -= c.Input.A[i]
		}
		day = 0
		for _, gap := range c.Input.B {
			day += gap
			a.Treated = append(a.Treated, effect.Point{At: atDay(day), Value: gap})
		}
		got, err := effect.Analyse(a)
		if err != nil {
			t.Fatal(err)
		}
		if got.Phi < 1e-6 && math.Abs(got.Effect-c.Want.Ratio) > 1e-6*c.Want.Ratio {
			t.Errorf("%s: ratio %v, want %v", c.Name, got.Effect, c.Want.Ratio)
		}
		if got.Low > c.Want.Ratio || got.High < c.Want.Ratio {
			t.Errorf("%s: interval %v to %v without %v", c.Name, got.Low, got.High, c.Want.Ratio)
		}
	}
}

// Against R's glm with a log link: where neighbours are not alike the ratio is its
// own; where they are, it may differ by a part of the quasi-likelihood's standard
// error. Source in testdata/SOURCES.md.
func TestCountsAgainstR(t *testing.T) {
	var held struct {
		Regressions []struct {
			Name  string
			Input struct {
				Y      []float64
				X      [][]float64
				Effect string
			}
			Expected struct {
				Poisson, Quasi struct{ Coef, SE map[string]float64 }
			}
		}
	}
	read(t, "counts.json", &held)
	for _, c := range held.Regressions {
		first := slices.IndexFunc(c.Input.X, func(row []float64) bool { return row[1] == 1 })
		a := effect.Ask{On: []effect.Span{{From: atDay(float64(7*first) - 1)}}, Outcome: effect.Count}
		for i, y := range c.Input.Y {
			a.Treated = append(a.Treated, effect.Point{At: atDay(float64(7 * i)), Value: y})
		}
		got, err := effect.Analyse(a)
		if err != nil {
			t.Fatal(err)
		}
		want, se := c.Expected.Quasi.Coef[c.Input.Effect], c.Expected.Quasi.SE[c.Input.Effect]
		off := math.Abs(math.Log(got.Effect) - want)
		t.Logf("%s: ratio %.5f at correlation %.3f, R %.5f; 95 %% %.3f to %.3f", c.Name, got.Effect, got.Phi, math.Exp(want), got.Low, got.High)
		if got.Phi < 1e-6 && off > 1e-6 || off > 0.25*se {
			t.Errorf("%s: ratio %v at correlation %v, want %v", c.Name, got.Effect, got.Phi, math.Exp(want))
		}
		if low, high := math.Exp(want-1.96*se), math.Exp(want+1.96*se); got.High-got.Low < 0.8*(high-low) || got.Low > math.Exp(want) || got.High < math.Exp(want) {
			t.Errorf("%s: interval %v to %v, R's %v to %v", c.Name, got.Low, got.High, low, high)
		}
	}
}
