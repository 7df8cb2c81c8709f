package cli

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"driftline/internal/animals"
	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/units"
)

type animalsCmd struct {
	bookFlag
	Group string `placeholder:"KIND" help:"Only fish, corals or another kind count for how long they live."`
	AsOf  string `placeholder:"MOMENT" help:"As it stood then; later lines are ignored. Without it, now."`
	JSON  bool   `help:"Print the result as JSON."`
}

func (c *animalsCmd) Help() string {
	return `The register of animals: who is here, who is on the way in and why not yet further, and how long animals live by the way they came,
with and without quarantine, behind a wall among the others first or not, and by where they came from.

Example:

    driftline animals --book bench --group fish`
}

// animalsJSON is the public shape of the register.
type animalsJSON struct {
	AsOf    time.Time    `json:"as_of"`
	Animals []animalJSON `json:"animals"`
	Routes  []routeJSON  `json:"routes"`
	ToCome  []toComeJSON `json:"to_come"` // planned, in order
}

type toComeJSON struct {
	Name    string    `json:"name"`
	Tank    string    `json:"tank"`
	Comes   time.Time `json:"into_quarantine"`
	Meets   time.Time `json:"among_the_others"`
	Enters  time.Time `json:"free"`
	Adds    *loadJSON `json:"adds"` // null when nobody has said what one weighs
	Against []string  `json:"against"`
}

type loadJSON struct {
	Feed     float64 `json:"dry_food_g_per_day"`
	Nitrogen float64 `json:"nitrogen_mg_per_day"`
	Nitrate  float64 `json:"nitrate_mg_per_L_per_week"`
	Oxygen   float64 `json:"oxygen_mg_per_hour"`
}

type animalJSON struct {
	Name    string      `json:"name"`
	Species string      `json:"species,omitempty"`
	Group   string      `json:"group,omitempty"`
	Tank    string      `json:"tank"`
	Since   time.Time   `json:"since"`
	Count   *float64    `json:"count"` // null while nobody has said
	Parent  string      `json:"parent,omitempty"`
	Origin  string      `json:"origin,omitempty"`
	WayIn   *wayInJSON  `json:"way_in"` // null when it is over, or was never told
	Losses  []lossJSON  `json:"losses"`
	Counts  []countJSON `json:"counts"`
}

type wayInJSON struct {
	Stage    string     `json:"stage"`
	Since    time.Time  `json:"since"`
	Counting time.Time  `json:"counting_since"`
	Restart  string     `json:"restart,omitempty"`
	Earliest *time.Time `json:"earliest_end"`
	Ready    bool       `json:"ready"`
	Next     string     `json:"next,omitempty"`
	NotYet   []string   `json:"not_yet"`
	Checks   []string   `json:"checks"`
	LookDue  bool       `json:"look_due"`
	Basis    string     `json:"basis,omitempty"`
}

type lossJSON struct {
	At    time.Time `json:"at"`
	N     float64   `json:"n"`
	What  string    `json:"what"`
	Cause string    `json:"cause,omitempty"`
}

type countJSON struct {
	At time.Time `json:"at"`
	N  float64   `json:"n"`
}

type routeJSON struct {
	Name   string      `json:"name"`
	Groups []livedJSON `json:"groups"`
	P      *float64    `json:"p"` // log-rank; null with nothing to compare
}

type livedJSON struct {
	Name string             `json:"name"`
	N    int                `json:"n"`
	Died int                `json:"died"`
	At   []aliveJSON        `json:"alive"`
	Cost map[string]float64 `json:"cost_per_animal_year"`
}

type aliveJSON struct {
	Day      float64  `json:"day"`
	Survival *float64 `json:"survival"` // null where nobody was followed so long
	Low      *float64 `json:"low"`
	High     *float64 `json:"high"`
}

func (c *animalsCmd) Run(j *job) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	facts, at, err := j.factsAt(dir, "", "--as-of", c.AsOf)
	if err != nil {
		return err
	}
	if c.Group != "" && !slices.Contains(book.AnimalGroups, book.Key(c.Group)) {
		return usage("", "--group: %q is not a kind of animal; expected one of %s", c.Group, strings.Join(book.AnimalGroups, ", "))
	}
	all := animals.Register(facts, at)
	out := animalsJSON{AsOf: at, Animals: []animalJSON{}, Routes: []routeJSON{}, ToCome: []toComeJSON{}}
	desk := standing.NewDesk()
	for _, a := range all {
		warm, _ := desk.Level(facts, a.Tank, units.Temperature, at)
		out.Animals = append(out.Animals, animalOf(a, animals.WayIn(a, all, warm.Mean, at)))
	}
	out.plan(desk, facts, all, at)
	for _, r := range animals.Losses(all, book.Key(c.Group), at) {
		if len(r.Groups) > 0 {
			out.Routes = append(out.Routes, routeOf(r))
		}
	}
	if c.JSON {
		return printJSON(j.out, out)
	}
	return out.print(j)
}

// plan adds what is to come.
func (o *animalsJSON) plan(desk *standing.Desk, f *book.Facts, all []*animals.Animal, at time.Time) {
	for _, p := range animals.Planned(desk, f, all, at) {
		x := toComeJSON{Name: p.Name, Tank: p.Tank, Comes: p.Comes, Meets: p.Meets, Enters: p.Enters, Against: orEmpty(p.Notes)}
		if p.Adds != nil {
			l := loadJSON{p.Adds.FeedGrams, p.Adds.NitrogenMg, p.Adds.NitrateMgL, p.Adds.OxygenMgH}
			x.Adds = &l
		}
		o.ToCome = append(o.ToCome, x)
	}
}

func animalOf(a *animals.Animal, s *animals.Step) animalJSON {
	out := animalJSON{Name: a.Name, Species: a.Species, Group: a.Group, Tank: a.Tank, Since: a.Since, Parent: a.Parent, Origin: a.Origin, Losses: []lossJSON{}, Counts: []countJSON{}}
	if a.Counted {
		out.Count = &a.Count
	}
	for _, l := range a.Losses {
		out.Losses = append(out.Losses, lossJSON{l.At, l.N, l.What, l.Cause})
	}
	for _, n := range a.Counts {
		out.Counts = append(out.Counts, countJSON{n.At, n.N})
	}
	if s != nil {
		out.WayIn = &wayInJSON{Stage: s.Stage, Since: s.Since, Counting: s.Counting, Restart: s.Restart, Ready: s.Ready, Next: s.Next, NotYet: orEmpty(s.NotYet), Checks: orEmpty(s.Checks), LookDue: s.LookDue, Basis: s.Basis}
		if !s.Earliest.IsZero() {
			out.WayIn.Earliest = &s.Earliest
		}
	}
	return out
}

func routeOf(r animals.Route) routeJSON {
	out := routeJSON{Name: r.Name}
	for _, g := range r.Groups {
		l := livedJSON{Name: g.Name, N: g.N, Died: g.Died, Cost: g.Cost}
		for i, step := range g.At {
			a := aliveJSON{Day: animals.Milestones[i]}
			if g.Reached(a.Day) {
				a.Survival, a.Low, a.High = &step.Survival, finiteOrNil(step.Low), finiteOrNil(step.High)
			}
			l.At = append(l.At, a)
		}
		out.Groups = append(out.Groups, l)
	}
	if r.Test != nil {
		out.P = finiteOrNil(r.Test.P)
	}
	return out
}

func finiteOrNil(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

func (o animalsJSON) print(j *job) error {
	if len(o.Animals) == 0 {
		fmt.Fprintln(j.out, "No animal is in the book.")
		return nil
	}
	t := table{head: []string{"animal", "tank", "how many", "since", "on the way in"}, right: map[int]bool{2: true}}
	for _, a := range o.Animals {
		count, way := "not said", ""
		if a.Count != nil {
			count = units.FormatAmount(*a.Count)
		}
		if w := a.WayIn; w != nil {
			way = w.Stage
			switch {
			case w.Ready && w.Next != "":
				way += ", may go on to " + w.Next
			case len(w.NotYet) > 0:
				way += ": " + w.NotYet[0]
			}
		}
		t.add(a.Name, a.Tank, count, longDay(a.Since), way)
	}
	if err := t.print(j.out); err != nil {
		return err
	}
	for _, r := range o.Routes {
		fmt.Fprintf(j.out, "\n%s\n", prose.Capital(r.Name))
		t := table{head: []string{"", "animals", "died", "3 days", "30", "180", "365"}, right: map[int]bool{1: true, 2: true, 3: true, 4: true, 5: true, 6: true}}
		for _, g := range r.Groups {
			cells := []string{g.Name, fmt.Sprint(g.N), fmt.Sprint(g.Died)}
			for _, a := range g.At {
				text := "not yet"
				if a.Survival != nil {
					text = units.Number(100**a.Survival, 0) + " %"
				}
				cells = append(cells, text)
			}
			t.add(cells...)
		}
		if err := t.print(j.out); err != nil {
			return err
		}
		if r.P != nil {
			fmt.Fprintf(j.out, "Log-rank test: p = %s.\n", units.Number(*r.P, 2))
		}
	}
	return nil
}
