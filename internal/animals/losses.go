package animals

import (
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"driftline/stats"
)

// Route is a way by which animals came, with those who did and those who did not.
type Route struct {
	Name   string // "quarantined", "met the others in a box", "origin"
	Groups []Lived
	Test   *stats.LogRank // nil with fewer than two groups that can be compared
}

// Lived is how long the animals of a group lived.
type Lived struct {
	Name     string
	N, Died  int
	Survival stats.Survival
	At       []stats.SurvivalStep // at Milestones
	Cost     map[string]float64   // an animal-year, by currency
}

// Milestones are the days at which survival is told.
var Milestones = []float64{3, 30, 180, 365}

// life is one animal of a school.
type life struct {
	stats.Lifetime
	a     *Animal
	share float64 // of the school's price
}

// lives takes schools apart into single animals. Those that went elsewhere, and those
// nobody can find, are followed until then.
func lives(all []*Animal, at time.Time) []life {
	var out []life
	for _, a := range all {
		if a.Parent != "" || a.Group == "" {
			continue // it was not bought, or nobody has said what it is
		}
		first := 1.0
		if len(a.Counts) > 0 {
			first = a.Counts[0].N
			if len(a.Losses) > 0 && !a.Counts[0].At.Before(a.Losses[0].At) {
				first = a.Counts[0].N + a.Losses[0].N
			}
		}
		n := int(math.Min(math.Round(first), 500))
		var ends []stats.Lifetime
		for _, l := range a.Losses {
			for range int(math.Round(l.N)) {
				ends = append(ends, stats.Lifetime{Time: math.Max(l.At.Sub(a.Since).Hours()/24, 0), Event: l.What == "died"})
			}
		}
		for i := range n {
			x := life{Lifetime: stats.Lifetime{Time: math.Max(at.Sub(a.Since).Hours()/24, 0)}, a: a}
			if i < len(ends) {
				x.Lifetime = ends[i]
			}
			if first > 0 {
				x.share = a.Price / first
			}
			out = append(out, x)
		}
	}
	return out
}

// went says whether an animal went through a stage.
func went(a *Animal, stage string) bool {
	return slices.ContainsFunc(a.Stages, func(p Passed) bool { return p.Stage == stage })
}

// Losses compares how long animals lived by the way they came, of one group of
// animals or, with "", of all.
func Losses(all []*Animal, group string, at time.Time) []Route {
	list := lives(all, at)
	if group != "" {
		list = slices.DeleteFunc(list, func(x life) bool { return x.a.Group != group })
	}
	yesNo := func(name, yes, no, stage string) Route {
		return routeOf(name, list, func(a *Animal) string {
			if went(a, stage) {
				return yes
			}
			return no
		})
	}
	return []Route{
		routeOf("all", list, func(*Animal) string { return "all" }),
		yesNo("quarantine", "quarantined", "not quarantined", "quarantine"),
		yesNo("meeting", "met the others in a box", "let in at once", "meeting"),
		routeOf("origin", list, func(a *Animal) string { return strings.ToLower(a.Origin) }),
	}
}

func routeOf(name string, list []life, of func(*Animal) string) Route {
	r := Route{Name: name}
	groups := map[string][]life{}
	for _, x := range list {
		if key := of(x.a); key != "" {
			groups[key] = append(groups[key], x)
		}
	}
	var compared [][]stats.Lifetime
	for _, key := range slices.Sorted(maps.Keys(groups)) {
		g := Lived{Name: key, N: len(groups[key]), Cost: map[string]float64{}}
		var times []stats.Lifetime
		years := map[string]float64{}
		for _, x := range groups[key] {
			times = append(times, x.Lifetime)
			if x.Event {
				g.Died++
			}
			if x.share > 0 {
				g.Cost[x.a.Currency] += x.share
				years[x.a.Currency] += x.Time / 365.25
			}
		}
		for c, y := range years {
			if g.Cost[c] /= y; !(y > 0) {
				delete(g.Cost, c)
			}
		}
		s, err := stats.KaplanMeier(times)
		if err != nil {
			continue
		}
		g.Survival = s
		for _, day := range Milestones {
			g.At = append(g.At, s.At(day))
		}
		r.Groups, compared = append(r.Groups, g), append(compared, times)
	}
	if len(compared) > 1 {
		if test, err := stats.LogRankTest(compared); err == nil && test.DF > 0 {
			r.Test = &test
		}
	}
	return r
}

// Reached says whether a group was followed to a day.
func (l Lived) Reached(day float64) bool { return l.Survival.Last >= day }
