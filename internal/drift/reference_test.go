package drift

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"driftline/statespace"
)

// Sources and tolerances of the cases: testdata/SOURCES.md.

type refCase struct {
	Input struct {
		Name  string
		T0    float64
		Prior struct {
			Mean []float64
			Cov  [][]float64
		}
		LevelRateVar float64 `json:"level_rate_var"`
		UseRateVar   float64 `json:"use_rate_var"`
		Times, Y     []float64
		ObsVar       []float64 `json:"obs_var"`
		Instrument   []string
		Instruments  map[string]struct {
			ObsVar  float64 `json:"obs_var"`
			BiasVar float64 `json:"bias_var"`
		}
		Events []struct {
			Time, Delta, Fraction, Concentration float64
			DeltaVar                             float64 `json:"delta_var"`
			Type                                 string
		}
		InputRate []struct{ From, To, Rate float64 } `json:"input_rate"`
		Grid      []float64
	}
	Expected struct {
		Filtered   []refBelief
		GridBefore []refBelief `json:"grid_before"`
		GridAfter  []refBelief `json:"grid_after"`
		Log        float64     `json:"log_likelihood"`
		Bias       map[string]struct{ Mean, Var float64 }
	}
}

type refBelief struct {
	Level, Use, Cov float64
	LevelVar        float64 `json:"level_var"`
	UseVar          float64 `json:"use_var"`
}

func loadReference(t *testing.T, name string) []refCase {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Cases []refCase }
	if err := json.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	return file.Cases
}

// engine builds the engine of the case: use is the wandering rate, a random walk.
func (rc refCase) engine() (*engine, []string) {
	in := rc.Input
	c := &Case{}
	var kits []string
	for k := range in.Instruments {
		kits = append(kits, k)
	}
	slices.Sort(kits)
	if len(kits) == 0 {
		kits = []string{""}
	}
	c.Kits = make([]Kit, len(kits))
	e := &engine{c: c, start: in.T0, asOf: 1e9, habit: Habit{WanderDays: math.Inf(1), Floor: math.Inf(-1)}, biasVar: make([]float64, len(kits))}
	for i, t := range in.Times {
		kit, variance := 0, 0.0
		if len(in.Instrument) > 0 {
			kit = slices.Index(kits, in.Instrument[i])
			variance = in.Instruments[kits[kit]].ObsVar
		} else {
			variance = in.ObsVar[i]
		}
		c.Readings = append(c.Readings, Reading{T: t, Value: in.Y[i], Kit: kit})
		e.readVar = append(e.readVar, variance)
		e.roundVar = append(e.roundVar, 0)
	}
	for i, k := range kits {
		e.biasVar[i] = in.Instruments[k].BiasVar
	}
	for _, ev := range in.Events {
		if ev.Type == "dose" {
			c.Inputs = append(c.Inputs, Input{T: ev.Time, Delta: ev.Delta, SD: math.Sqrt(ev.DeltaVar)})
		} else {
			c.Changes = append(c.Changes, Change{T: ev.Time, Fraction: ev.Fraction, Value: ev.Concentration, Mix: -1})
		}
	}
	for _, r := range in.InputRate {
		c.Feeds = append(c.Feeds, Feed{From: r.From, To: r.To, Rate: r.Rate})
	}
	return e, kits
}

func (rc refCase) walker(e *engine) *walker {
	w := e.newWalker(spreads{}, false)
	w.flow = statespace.Flow{LevelVar: rc.Input.LevelRateVar, WanderVar: rc.Input.UseRateVar}
	w.scatter = 1
	p := rc.Input.Prior
	w.f.Set(stateLevel, p.Mean[0], p.Cov[0][0])
	w.f.Set(stateWander, p.Mean[1], p.Cov[1][1])
	w.f.P[1], w.f.P[w.f.N] = p.Cov[0][1], p.Cov[0][1]
	w.f.Set(w.l.mean, 0, 0)
	return w
}

func close7(t *testing.T, what string, got, want, scale float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > 1e-7*math.Abs(want)+1e-9*scale {
		t.Errorf("%s = %.12g, want %.12g", what, got, want)
	}
}

func compare(t *testing.T, what string, f *statespace.Filter, want refBelief, scale float64) {
	t.Helper()
	close7(t, what+" level", f.X[stateLevel], want.Level, scale)
	close7(t, what+" use", f.X[stateWander], want.Use, scale)
	close7(t, what+" level variance", f.Var(stateLevel), want.LevelVar, scale)
	close7(t, what+" use variance", f.Var(stateWander), want.UseVar, scale)
	close7(t, what+" covariance", f.P[1], want.Cov, scale)
}

func TestKnownInputsAndBiases(t *testing.T) {
	for _, file := range []string{"kalman_inputs.json", "kalman_bias.json"} {
		for _, rc := range loadReference(t, file) {
			t.Run(rc.Input.Name, func(t *testing.T) { checkReference(t, rc) })
		}
	}
}

func checkReference(t *testing.T, rc refCase) {
	e, kits := rc.engine()
	scale := math.Abs(rc.Input.Y[0])
	w := rc.walker(e)
	e.biasVar = make([]float64, len(kits)) // the biases of these cases do not wander
	tape := statespace.NewTape(w.f)
	w.to = tape
	var marks []node
	for i, g := range rc.Input.Grid {
		marks = append(marks, node{t: g, kind: nodeMarkBefore, index: i}, node{t: g, kind: nodeMarkAfter, index: i})
	}
	log := 0.0
	var order []node
	seen := make([]int, 0, len(rc.Input.Times))
	for _, n := range newTimeline(e.c, e.start, e.asOf, marks).nodes {
		w.drift(n.t, e.c.Inputs[n.first:n.last], e.c.Feeds)
		switch n.kind {
		case nodeReading:
			log += w.read(n.index, &site{})
			compare(t, "filtered", w.f, rc.Expected.Filtered[n.index], scale)
			seen = append(seen, n.index)
		case nodeChange:
			w.change(&e.c.Changes[n.index])
		default:
			tape.Mark()
			order = append(order, n)
		}
	}
	if len(seen) != len(rc.Input.Times) {
		t.Fatalf("%d readings met, want %d", len(seen), len(rc.Input.Times))
	}
	if math.Abs(log-rc.Expected.Log) > 1e-6 {
		t.Errorf("log-likelihood %.9f, want %.9f", log, rc.Expected.Log)
	}
	var last *statespace.Filter
	for i, f := range tape.Smooth() {
		want := rc.Expected.GridBefore[order[i].index]
		if order[i].kind == nodeMarkAfter {
			want = rc.Expected.GridAfter[order[i].index]
		}
		compare(t, "smoothed", f, want, scale)
		last = f
	}
	for i, k := range kits {
		if b, ok := rc.Expected.Bias[k]; ok {
			close7(t, "bias of "+k, last.X[w.l.kits[i]], b.Mean, scale)
			close7(t, "variance of the bias of "+k, last.Var(w.l.kits[i]), b.Var, scale)
		}
	}
}
