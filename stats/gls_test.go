package stats_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"driftline/stats"
)

type glsCase struct {
	Name  string `json:"name"`
	Input struct {
		T      []float64   `json:"t"`
		Y      []float64   `json:"y"`
		XNames []string    `json:"x_names"`
		X      [][]float64 `json:"x"`
	} `json:"input"`
	Expected struct {
		Fits []struct {
			Errors        string             `json:"errors"`
			Method        string             `json:"method"`
			Coef          map[string]float64 `json:"coef"`
			SE            map[string]float64 `json:"se"`
			P             map[string]float64 `json:"p"`
			DF            int                `json:"df"`
			Sigma         float64            `json:"sigma"`
			Phi           float64            `json:"phi"`
			LogLikelihood float64            `json:"log_likelihood"`
		} `json:"fits"`
	} `json:"expected"`
}

func glsCases(t *testing.T) []glsCase {
	t.Helper()
	var all []glsCase
	for _, file := range []string{"testdata/before_after.json", "testdata/before_after_more.json"} {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var held struct {
			Cases []glsCase `json:"cases"`
		}
		if err := json.Unmarshal(text, &held); err != nil {
			t.Fatal(err)
		}
		all = append(all, held.Cases...)
	}
	return all
}

// Against R's gls; tolerances and sources in testdata/SOURCES.md.
func TestFitGLS(t *testing.T) {
	kinds := map[string]stats.Correlation{"iid": stats.Independent, "ar1": stats.Autoregressive, "car1": stats.ContinuousTime}
	likelihoods := map[string]stats.Likelihood{"REML": stats.REML, "ML": stats.ML}
	checked := 0
	for _, c := range glsCases(t) {
		d := stats.Design{T: c.Input.T, Y: c.Input.Y, X: c.Input.X}
		for _, want := range c.Expected.Fits {
			got, err := stats.FitGLS(d, kinds[want.Errors], likelihoods[want.Method])
			if err != nil {
				t.Errorf("%s %s %s: %v", c.Name, want.Errors, want.Method, err)
				continue
			}
			checked++
			tolerance, of := 1e-8, func(name string) float64 { return math.Abs(want.Coef[name]) + want.SE[name] }
			if want.Errors != "iid" {
				tolerance, of = 2e-4, func(name string) float64 { return want.SE[name] }
			}
			for j, name := range c.Input.XNames {
				if d := math.Abs(got.Coef[j] - want.Coef[name]); d > tolerance*of(name) {
					t.Errorf("%s %s %s: coefficient of %s is %v, want %v", c.Name, want.Errors, want.Method, name, got.Coef[j], want.Coef[name])
				}
				if d := math.Abs(got.SE[j] - want.SE[name]); d > tolerance*want.SE[name] {
					t.Errorf("%s %s %s: standard error of %s is %v, want %v", c.Name, want.Errors, want.Method, name, got.SE[j], want.SE[name])
				}
				if p := got.P(j); want.P[name] > 1e-12 && math.Abs(p-want.P[name]) > 1e-3*want.P[name] {
					t.Errorf("%s %s %s: p of %s is %v, want %v", c.Name, want.Errors, want.Method, name, p, want.P[name])
				}
			}
			if math.Abs(got.Phi-want.Phi) > 2e-4 || math.Abs(got.LogLikelihood-want.LogLikelihood) > 1e-5 || got.DF != want.DF ||
				math.Abs(got.Sigma-want.Sigma) > 2e-4*want.Sigma {
				t.Errorf("%s %s %s: phi %v, log-likelihood %v, sigma %v on %d, want %v, %v, %v on %d", c.Name, want.Errors, want.Method,
					got.Phi, got.LogLikelihood, got.Sigma, got.DF, want.Phi, want.LogLikelihood, want.Sigma, want.DF)
			}
		}
	}
	if checked < 30 {
		t.Errorf("only %d fits were checked", checked)
	}
}
