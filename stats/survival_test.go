package stats_test

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"driftline/stats"
)

type curve struct {
	N, Events int
	Table     struct {
		Time        []float64
		AtRisk      []int `json:"at_risk"`
		Events      []int
		Survival    []float64
		SE          []*float64 `json:"greenwood_se"`
		LogLogLower []*float64 `json:"loglog_lower"`
		LogLogUpper []*float64 `json:"loglog_upper"`
	}
	Median *float64
}

func close(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Max(math.Abs(want), 1e-300)+1e-12) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func sameCurve(t *testing.T, what string, list []stats.Lifetime, want curve) {
	t.Helper()
	s, err := stats.KaplanMeier(list)
	if err != nil {
		t.Fatalf("%s: %v", what, err)
	}
	if s.N != want.N || s.Events != want.Events || len(s.Steps) != len(want.Table.Time) {
		t.Fatalf("%s: %d with %d events in %d steps, want %d, %d, %d", what, s.N, s.Events, len(s.Steps), want.N, want.Events, len(want.Table.Time))
	}
	orNaN := func(v *float64) float64 {
		if v == nil {
			return math.NaN()
		}
		return *v
	}
	for i, step := range s.Steps {
		w := want.Table
		if step.Time != w.Time[i] || step.AtRisk != w.AtRisk[i] || step.Events != w.Events[i] {
			t.Errorf("%s, step %d: %+v", what, i, step)
		}
		close(t, what+": survival", step.Survival, w.Survival[i], 1e-9)
		for _, c := range []struct {
			got  float64
			want *float64
		}{{step.SE, w.SE[i]}, {step.Low, w.LogLogLower[i]}, {step.High, w.LogLogUpper[i]}} {
			if math.IsNaN(orNaN(c.want)) != math.IsNaN(c.got) {
				t.Errorf("%s, step %d: %v, want %v", what, i, c.got, orNaN(c.want))
			} else if c.want != nil {
				close(t, what+": error or interval", c.got, *c.want, 1e-8)
			}
		}
	}
	if got, ok := s.Median(); ok != (want.Median != nil) || ok && math.Abs(got-*want.Median) > 1e-9 {
		t.Errorf("%s: median %v, %v, want %v", what, got, ok, want.Median)
	}
}

// Against R's survival; source and tolerance in testdata/SOURCES.md.
func TestSurvivalAgainstR(t *testing.T) {
	text, err := os.ReadFile("testdata/survival.json")
	if err != nil {
		t.Fatal(err)
	}
	var held struct {
		Cases []struct {
			Name  string
			Input struct {
				Time   []float64
				Status []int
				Group  []string
			}
			Expected struct {
				All     curve
				Groups  map[string]curve
				LogRank struct {
					Groups             []string
					Observed, Expected []float64
					Chisq, P           float64
					DF                 int
				}
			}
		}
	}
	if err := json.Unmarshal(text, &held); err != nil {
		t.Fatal(err)
	}
	for _, c := range held.Cases {
		var all []stats.Lifetime
		groups := map[string][]stats.Lifetime{}
		for i, at := range c.Input.Time {
			l := stats.Lifetime{Time: at, Event: c.Input.Status[i] == 1}
			all = append(all, l)
			groups[c.Input.Group[i]] = append(groups[c.Input.Group[i]], l)
		}
		sameCurve(t, c.Name, all, c.Expected.All)
		var lists [][]stats.Lifetime
		for _, name := range c.Expected.LogRank.Groups {
			sameCurve(t, c.Name+", "+name, groups[name], c.Expected.Groups[name])
			lists = append(lists, groups[name])
		}
		got, err := stats.LogRankTest(lists)
		if err != nil {
			t.Fatal(err)
		}
		want := c.Expected.LogRank
		close(t, c.Name+": chi-square", got.Chi2, want.Chisq, 1e-9)
		close(t, c.Name+": p", got.P, want.P, 1e-7)
		for g := range lists {
			close(t, c.Name+": observed", got.Observed[g], want.Observed[g], 0)
			close(t, c.Name+": expected", got.Expected[g], want.Expected[g], 1e-9)
		}
		if got.DF != want.DF {
			t.Errorf("%s: %d degrees of freedom", c.Name, got.DF)
		}
	}
}

// Three groups by hand: at time 1 one of each of A and B is at risk with C, A has the
// event; at time 2 B; C is last seen at 3. Expected: A 1/3, B 1/3+1/2, C 1/3+1/2.
func TestThreeGroupsByHand(t *testing.T) {
	r, err := stats.LogRankTest([][]stats.Lifetime{{{Time: 1, Event: true}}, {{Time: 2, Event: true}}, {{Time: 3}}})
	if err != nil || r.DF != 2 {
		t.Fatalf("%+v, %v", r, err)
	}
	for g, want := range []float64{1.0 / 3, 5.0 / 6, 5.0 / 6} {
		close(t, "expected", r.Expected[g], want, 1e-12)
	}
	// Variances of A and B: 2/9 and 2/9+1/4, covariance -1/9; differences 2/3 and 1/6.
	a, b, ab := 2.0/9, 2.0/9+0.25, -1.0/9
	x, y := 2.0/3, 1.0/6
	close(t, "chi-square", r.Chi2, (x*x*b-2*x*y*ab+y*y*a)/(a*b-ab*ab), 1e-12)
}

func TestSurvivalAtTheEdges(t *testing.T) {
	life := func(times ...float64) []stats.Lifetime { // a negative time is one last seen
		var out []stats.Lifetime
		for _, v := range times {
			out = append(out, stats.Lifetime{Time: math.Abs(v), Event: v > 0})
		}
		return out
	}
	for name, c := range map[string]struct {
		list   []stats.Lifetime
		median float64 // NaN when not reached
		last   float64 // survival at the end
	}{
		"nobody died":         {life(-5, -9), math.NaN(), 1},
		"all at once":         {life(4, 4, 4), 4, 0},
		"one":                 {life(7), 7, 0},
		"half over a stretch": {life(2, -5, 5, 8), 6.5, 0}, // by hand: 3/4 at 2, 3/4*2/3 = 1/2 at 5, 0 at 8
		"half to the end":     {life(3, -9), 6, 0.5},
		"the dead come before those seen at the same time": {life(5, -5), 5, 0.5},
	} {
		s, err := stats.KaplanMeier(c.list)
		if err != nil {
			t.Fatal(err)
		}
		got, ok := s.Median()
		if ok == math.IsNaN(c.median) || ok && got != c.median || s.At(1e9).Survival != c.last || s.At(0).Survival != 1 {
			t.Errorf("%s: median %v, %v, at the end %v", name, got, ok, s.At(1e9).Survival)
		}
	}
	for want, list := range map[string][]stats.Lifetime{"nobody": nil, "lifetime 2 is -1": {{Time: 1}, {Time: -1}}, "lifetime 1 is NaN": {{Time: math.NaN()}}} {
		if _, err := stats.KaplanMeier(list); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
	for want, groups := range map[string][][]stats.Lifetime{"two or more": {life(1)}, "nothing to compare": {life(-1), life(-2)}, "nobody": {life(1), nil}} {
		if _, err := stats.LogRankTest(groups); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

func BenchmarkSurvival(b *testing.B) {
	var list, other []stats.Lifetime
	for i := range 5000 {
		list = append(list, stats.Lifetime{Time: float64((i * 7919) % 3001), Event: i%3 > 0})
		other = append(other, stats.Lifetime{Time: float64((i * 104729) % 2503), Event: i%4 > 0})
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := stats.KaplanMeier(list); err != nil {
			b.Fatal(err)
		}
		if _, err := stats.LogRankTest([][]stats.Lifetime{list, other}); err != nil {
			b.Fatal(err)
		}
	}
}
