package web

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"driftline/internal/animals"
	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/units"
)

// animalsView is the register: who is on the way in, who is here, what was lost.
type animalsView struct {
	frame
	Action string
	Coming []comingRow
	Homes  []animalTank
	Gone   []goneRow
	Routes []routeTold
	Kinds  []link // of animals, for how long they live
	Rules  []animals.Rule
	Own    []animals.Rule // the keeper's
	Over   string         // says that a rule holds no longer
	ToCome []plannedRow
	Bag    bagFields
	Waters []option
	Told   matchTold
}

// comingRow is one on its way in.
type comingRow struct {
	Name, Tank, Shape, Says, Basis, Restart string
	NotYet, Checks                          []string
	Look, GoOn, Outbreak                    string
	GoOnWords                               string
}

type animalTank struct {
	Name, Href, Add string
	Rows            []animalRow
}

type animalRow struct {
	Name, About, Was, Line, Href string
	Do                           []link
}

type goneRow struct{ Name, Words, Line string }

// routeTold compares ways in, in words and figures.
type routeTold struct {
	Name, Says string
	Days       []string
	Rows       []routeRow
}

type routeRow struct {
	Name, N string
	At      []string
	Cost    string
}

type bagFields struct{ Litres, PSU, C, Hours, PH, Tank, Group string }

// matchTold is how the waters are matched, the part of the page that is asked for anew.
type matchTold struct {
	Problem string
	Says    []string
}

var animalsScreen = screen[animalsView]{"animals.html"}

const animalsPath = "/animals"

func (s *Server) animals(w http.ResponseWriter, r *http.Request) error {
	f, ask := s.facts(), r.URL.Query()
	told, typed := s.matchBag(f, ask)
	if ask.Get("part") == partAsked {
		return animalsScreen.part(s, w, "findings", told)
	}
	v := animalsView{frame: s.frame(r, "Animals", "rounds"), Action: animalsPath, Rules: animals.Rules, Own: animals.OwnRules(f), Over: animals.OverRule, Told: told, Bag: typed}
	all := animals.Register(f, f.AsOf)
	v.ToCome = s.stocking(f, all)
	for i := range f.Tanks {
		name := f.Tanks[i].Tank.Name
		v.Waters = append(v.Waters, option{name, name, same(name, typed.Tank)})
		t := animalTank{Name: name, Href: tankPath(name), Add: writePath(name) + "/animal"}
		for _, a := range all {
			if same(a.Tank, name) && a.Here() {
				t.Rows = append(t.Rows, animalRowOf(a))
			}
		}
		v.Homes = append(v.Homes, t)
	}
	for _, a := range all {
		if c := s.coming(f, a, all); c != nil {
			v.Coming = append(v.Coming, *c)
		}
		for _, l := range a.Losses {
			v.Gone = append(v.Gone, goneRow{a.Name, strings.TrimSpace(fmt.Sprintf("%s %s on %s. %s", units.FormatAmount(l.N), l.What, longDay(l.At.In(zoneOf(f, a.Tank))), prose.Capital(l.Cause))), linePath(l.Line)})
		}
	}
	v.Kinds = kindLinks(all, ask.Get("kind"))
	for _, route := range animals.Losses(all, book.Key(ask.Get("kind")), f.AsOf) {
		if t, ok := routeWords(route); ok {
			v.Routes = append(v.Routes, t)
		}
	}
	return animalsScreen.show(s, w, http.StatusOK, v)
}

// kindLinks narrow how long animals live to one kind.
func kindLinks(all []*animals.Animal, chosen string) []link {
	out := []link{{"all", animalsPath + "#losses", chosen == ""}}
	for _, kind := range book.AnimalGroups {
		if slices.ContainsFunc(all, func(a *animals.Animal) bool { return a.Group == kind }) {
			out = append(out, link{kind, animalsPath + "?kind=" + urlQuery(kind) + "#losses", same(kind, chosen)})
		}
	}
	return out
}

// coming tells where one stands on its way in; nil for those that are not.
func (s *Server) coming(f *book.Facts, a *animals.Animal, all []*animals.Animal) *comingRow {
	warm, _ := s.tankWater(f, a.Tank)
	step := animals.WayIn(a, all, warm, f.AsOf)
	if step == nil || step.Stage == "planned" {
		return nil
	}
	zone := zoneOf(f, a.Tank)
	c := &comingRow{Name: a.Name, Tank: a.Tank, Shape: "test", NotYet: step.NotYet, Checks: step.Checks, Basis: prose.Capital(step.Basis), Look: animalWrite(a.Tank, a.Name, "observed"), Outbreak: animalWrite(a.Tank, a.Name, "outbreak")}
	c.Says = fmt.Sprintf("%s since %s", prose.Capital(step.Stage), longDay(step.Since.In(zone)))
	if !step.Earliest.IsZero() {
		c.Says += fmt.Sprintf("; until %s at the earliest", longDay(step.Earliest.In(zone)))
	}
	c.Says += "."
	if step.Restart != "" {
		c.Restart = "The days count anew since " + step.Restart + "."
	}
	switch {
	case step.Late:
		c.Shape = "edge"
	case step.Ready && step.Next != "":
		c.Shape, c.GoOn, c.GoOnWords = "steady", animalWrite(a.Tank, a.Name, "stage")+"&stage="+url.QueryEscape(step.Next), "It goes on to "+step.Next
	}
	if step.Stage == "settled" {
		c.Outbreak = ""
	}
	return c
}

// tankWater is a tank's temperature in °C and salinity in PSU, NaN when never read.
func (s *Server) tankWater(f *book.Facts, tank string) (tempC, psu float64) {
	tempC, psu = math.NaN(), math.NaN()
	if l, ok := s.Desk.Level(f, tank, units.Temperature, f.AsOf); ok {
		tempC = l.Mean
	}
	if l, ok := s.Desk.Level(f, tank, units.Salinity, f.AsOf); ok {
		psu = l.Mean
	}
	return tempC, psu
}

func animalRowOf(a *animals.Animal) animalRow {
	row := animalRow{Name: a.Name, Line: linePath(a.Line), Href: animalPath(a.Name)}
	about := []string{}
	if a.Counted {
		about = append(about, units.FormatAmount(a.Count))
	}
	for _, part := range []string{a.Species, a.Group} {
		if part != "" {
			about = append(about, part)
		}
	}
	if a.Grams > 0 {
		about = append(about, units.FormatAmount(a.Grams)+" g each")
	}
	if a.Parent != "" {
		about = append(about, "from "+a.Parent)
	}
	row.About = strings.Join(about, ", ")
	row.Was = "since " + a.Since.Format("January 2006")
	if n := len(a.Counts); n > 1 && a.Counts[0].N != a.Counts[n-1].N {
		row.Was += ", when there were " + units.FormatAmount(a.Counts[0].N)
	}
	for _, do := range []string{"observed", "counted", "stage", "moved", "split", "given away", "treated", "died"} {
		row.Do = append(row.Do, link{Name: do, Href: animalWrite(a.Tank, a.Name, do)})
	}
	return row
}

// routeWords tells a comparison; false where nothing can be compared.
func routeWords(r animals.Route) (routeTold, bool) {
	titles := map[string]string{"all": "All that were bought", "quarantine": "With and without quarantine", "meeting": "Behind a wall among the others first, or not", "origin": "By where they came from"}
	t := routeTold{Name: titles[r.Name]}
	if len(r.Groups) == 0 || r.Name != "all" && len(r.Groups) < 2 {
		return t, false
	}
	for _, d := range animals.Milestones {
		t.Days = append(t.Days, fmt.Sprintf("%.0f days", d))
	}
	for _, g := range r.Groups {
		row := routeRow{Name: prose.Capital(g.Name), N: fmt.Sprintf("%d, %d died", g.N, g.Died)}
		for i, step := range g.At {
			text := "not yet"
			if g.Reached(animals.Milestones[i]) {
				text = units.Number(100*step.Survival, 0) + " %"
				if !math.IsNaN(step.Low) && step.Survival < 1 && step.Survival > 0 {
					text += fmt.Sprintf(" (%.0f to %.0f)", 100*step.Low, 100*step.High)
				}
			}
			row.At = append(row.At, text)
		}
		for currency, c := range g.Cost {
			row.Cost = strings.TrimSpace(join(row.Cost, units.Number(c, 0)+" "+currency))
		}
		t.Rows = append(t.Rows, row)
	}
	if r.Test != nil {
		fewest := r.Groups[0].N
		for _, g := range r.Groups {
			fewest = min(fewest, g.N)
		}
		t.Says = fmt.Sprintf("Chance alone would make a difference like this in %s of 100 cases (log-rank test); the smallest group is %d animals.", units.Number(100*r.Test.P, 0), fewest)
		if fewest < 10 {
			t.Says += " That is few: take it for a hint."
		}
		t.Says += " Nobody drew lots for the way in, so another cause may be behind it."
	}
	return t, true
}

// matchBag works out the arrival from what was typed.
func (s *Server) matchBag(f *book.Facts, ask url.Values) (matchTold, bagFields) {
	g := func(name string) string { return strings.TrimSpace(ask.Get(name)) }
	typed := bagFields{g("litres"), g("psu"), g("c"), g("hours"), g("ph"), g("tank"), g("group")}
	if typed.Litres == "" {
		return matchTold{}, typed
	}
	var figures [5]float64
	for i, x := range []struct{ name, text string }{{"the litres in the bag", typed.Litres}, {"the bag's salinity", typed.PSU}, {"the bag's temperature", typed.C}, {"the hours on the way", typed.Hours}, {"the bag's pH", typed.PH}} {
		if x.text == "" && i > 2 {
			continue
		}
		v, ok := typedFigure(x.text)
		if !ok {
			return matchTold{Problem: sentence(fmt.Sprintf("%s, %s, is not a figure; expected such as 1.5", x.name, shorten(x.text)))}, typed
		}
		figures[i] = v
	}
	tank := typed.Tank
	if t, ok := f.Tank(tank); ok {
		tank = t.Tank.Name
	} else if len(f.Tanks) > 0 {
		tank = f.Tanks[0].Tank.Name
	}
	tempC, psu := s.tankWater(f, tank)
	if math.IsNaN(tempC) || math.IsNaN(psu) {
		return matchTold{Problem: sentence("temperature and salinity of " + tank + " were never read; enter them first")}, typed
	}
	m, err := animals.MatchWaters(animals.Bag{Litres: figures[0], PSU: figures[1], TempC: figures[2], Hours: figures[3], PH: figures[4], Group: or(typed.Group, "fish")}, psu, tempC)
	if err != nil {
		return matchTold{Problem: sentence(err.Error())}, typed
	}
	return matchTold{Says: append([]string{fmt.Sprintf("%s is at %s PSU and %s °C by its readings.", prose.Capital(tank), units.Number(psu, 1), units.Number(tempC, 1))}, m.Says...)}, typed
}
