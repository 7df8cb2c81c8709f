package statespace_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"driftline/statespace"
)

// Sources and tolerances of the cases: testdata/SOURCES.md.

func load(t *testing.T, name string, into any) {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, into); err != nil {
		t.Fatal(err)
	}
}

// near holds got to want within 1e-7 relative or 1e-9 of the scale of the data.
func near(t *testing.T, what string, got, want, scale float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > 1e-7*math.Abs(want)+1e-9*scale {
		t.Errorf("%s = %.12g, want %.12g", what, got, want)
	}
}

type prior struct {
	Mean []float64
	Cov  [][]float64
}

func (p prior) filter(k int) *statespace.Filter {
	f := statespace.NewFilter(len(p.Mean), k)
	copy(f.X, p.Mean)
	for i, row := range p.Cov {
		copy(f.P[i*len(row):], row)
	}
	return f
}

func TestDiscreteModels(t *testing.T) {
	for _, name := range []string{"kalman_discrete.json", "kalman_discrete_more.json"} {
		checkDiscrete(t, name)
	}
}

func checkDiscrete(t *testing.T, name string) {
	t.Helper()
	var file struct {
		Cases []struct {
			Input struct {
				Name     string
				Prior    prior
				Y        []*float64
				ObsVar   float64 `json:"obs_var"`
				LevelVar float64 `json:"level_var"`
				SlopeVar float64 `json:"slope_var"`
				Horizon  int
			}
			Proper struct {
				Filtered  [][]float64   `json:"filtered_mean"`
				Smoothed  [][]float64   `json:"smoothed_mean"`
				SmoothCov [][][]float64 `json:"smoothed_cov"`
				Forecast  [][]float64   `json:"forecast_state_mean"`
				ObsVar    []float64     `json:"forecast_obs_var"`
				Log       float64       `json:"log_likelihood"`
			} `json:"expected_proper_prior"`
		}
	}
	load(t, name, &file)
	for _, c := range file.Cases {
		t.Run(c.Input.Name, func(t *testing.T) {
			in, want := c.Input, c.Proper
			f := in.Prior.filter(len(in.Prior.Mean))
			F, q := []float64{1}, []float64{in.LevelVar}
			if f.N == 2 {
				F, q = []float64{1, 1, 0, 1}, []float64{in.LevelVar, 0, 0, in.SlopeVar}
			}
			zero := make([]float64, f.N)
			tape := statespace.NewTape(f)
			h := []statespace.Term{{State: 0, Coef: 1}}
			log, scale := 0.0, math.Abs(in.Prior.Mean[0])
			for i, y := range in.Y {
				if i > 0 {
					tape.Move(F, zero, q)
				}
				if y != nil {
					v, s := tape.Observe(h, *y, in.ObsVar)
					log += statespace.LogDensity(v, s)
				}
				tape.Mark()
				near(t, "filtered level", f.X[0], want.Filtered[i][0], scale)
			}
			for i, s := range tape.Smooth() {
				for a := range f.N {
					near(t, "smoothed mean", s.X[a], want.Smoothed[i][a], scale)
					near(t, "smoothed variance", s.Var(a), want.SmoothCov[i][a][a], scale)
				}
			}
			for i := range in.Horizon {
				f.Move(F, zero, q)
				near(t, "forecast", f.X[0], want.Forecast[i][0], scale)
				near(t, "forecast variance", f.Var(0)+in.ObsVar, want.ObsVar[i], in.ObsVar)
			}
			if math.Abs(log-want.Log) > 1e-6 {
				t.Errorf("log-likelihood %.9f, want %.9f", log, want.Log)
			}
		})
	}
}

// A prior so wide that it says nothing gives the diffuse log-likelihood of Durbin &
// Koopman (2012, section 7.2.2) once its own spread is taken out.
func TestNileDiffuse(t *testing.T) {
	var file struct {
		Cases []struct {
			Input struct {
				Y        []*float64
				ObsVar   float64 `json:"obs_var"`
				LevelVar float64 `json:"level_var"`
			}
			Diffuse struct {
				Log float64 `json:"log_likelihood_diffuse"`
			} `json:"expected_diffuse"`
		}
	}
	load(t, "kalman_discrete.json", &file)
	c := file.Cases[0]
	const wide = 1e12
	f := statespace.NewFilter(1, 1)
	f.Set(0, 0, wide)
	h := []statespace.Term{{State: 0, Coef: 1}}
	log := 0.5 * math.Log(wide)
	for i, y := range c.Input.Y {
		if i > 0 {
			f.Move([]float64{1}, []float64{0}, []float64{c.Input.LevelVar})
		}
		v, s := f.Observe(h, *y, c.Input.ObsVar)
		log += statespace.LogDensity(v, s)
	}
	if math.Abs(log-c.Diffuse.Log) > 1e-4 {
		t.Errorf("diffuse log-likelihood %.6f, want %.6f", log, c.Diffuse.Log)
	}
}

func TestIrregularTrend(t *testing.T) {
	var file struct {
		Cases []struct {
			Input struct {
				Name         string
				T0           float64
				Prior        prior
				LevelRateVar float64 `json:"level_rate_var"`
				SlopeRateVar float64 `json:"slope_rate_var"`
				Times, Y     []float64
				ObsVar       []float64 `json:"obs_var"`
				Grid         []float64
			}
			Expected struct {
				Filtered, Smoothed []struct {
					Level, Slope float64
					LevelVar     float64 `json:"level_var"`
					SlopeVar     float64 `json:"slope_var"`
					Cov          float64
				}
				Log float64 `json:"log_likelihood"`
			}
		}
	}
	load(t, "kalman_irregular.json", &file)
	for _, c := range file.Cases {
		t.Run(c.Input.Name, func(t *testing.T) {
			in, want := c.Input, c.Expected
			f := in.Prior.filter(2)
			tape := statespace.NewTape(f)
			flow := statespace.Flow{LevelVar: in.LevelRateVar, WanderVar: in.SlopeRateVar}
			at, log := in.T0, 0.0
			to := func(time float64) {
				p := flow.Over(time - at)
				// The slope is a gain here, a use in Flow: its signs turn.
				tape.Move([]float64{1, p.ByWander, 0, 1}, []float64{0, 0}, []float64{p.QCC, -p.QCw, -p.QCw, p.Qww})
				at = time
			}
			h := []statespace.Term{{State: 0, Coef: 1}}
			g := 0
			scale := math.Abs(in.Y[0])
			for i, time := range in.Times {
				for ; g < len(in.Grid) && in.Grid[g] < time; g++ {
					to(in.Grid[g])
					tape.Mark()
				}
				to(time)
				v, s := tape.Observe(h, in.Y[i], in.ObsVar[i])
				log += statespace.LogDensity(v, s)
				near(t, "filtered level", f.X[0], want.Filtered[i].Level, scale)
				near(t, "filtered slope", f.X[1], want.Filtered[i].Slope, scale)
				near(t, "filtered covariance", f.P[1], want.Filtered[i].Cov, scale)
			}
			for ; g < len(in.Grid); g++ {
				to(in.Grid[g])
				tape.Mark()
			}
			for i, s := range tape.Smooth() {
				near(t, "smoothed level", s.X[0], want.Smoothed[i].Level, scale)
				near(t, "smoothed slope", s.X[1], want.Smoothed[i].Slope, scale)
				near(t, "smoothed level variance", s.Var(0), want.Smoothed[i].LevelVar, scale)
				near(t, "smoothed slope variance", s.Var(1), want.Smoothed[i].SlopeVar, scale)
			}
			if math.Abs(log-want.Log) > 1e-6 {
				t.Errorf("log-likelihood %.9f, want %.9f", log, want.Log)
			}
		})
	}
}
