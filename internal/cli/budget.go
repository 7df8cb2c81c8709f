package cli

import (
	"fmt"
	"math"
	"strings"
	"time"

	"driftline/internal/feeding"
	"driftline/internal/standing"
	"driftline/units"
)

type budgetCmd struct {
	bookFlag
	Tank string `placeholder:"NAME" help:"The tank. It may be left out when the book has one."`
	From string `placeholder:"MOMENT" help:"Beginning of the span. Without it, 30 days before its end."`
	To   string `placeholder:"MOMENT" help:"End of the span; later lines are ignored. Without it, now."`
	JSON bool   `help:"Print the result as JSON."`
}

func (c *budgetCmd) Help() string {
	return `How much nitrogen and phosphorus the food of a span brought in, by food, what fish keep, harvests and water changes took out, how
much more is in the water, what is not explained, and where nitrate and phosphate settle if all goes on like that. What goes in is
the sum of all the rest, exactly.

Example:

    driftline budget --book bench --tank "Harbour tank" --from 2026-02-01 --to 2026-03-01`
}

// budgetJSON is the public shape of a budget.
type budgetJSON struct {
	Tank string    `json:"tank"`
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
	In   struct {
		N      feeding.Mass        `json:"N_g"`
		P      feeding.Mass        `json:"P_g"`
		ByFood []feeding.Eaten     `json:"by_food"`
		Other  map[string]elements `json:"other"`
	} `json:"in"`
	Fates       map[string]elements      `json:"fates"` // of the food; they add up to it
	Out         map[string]elements      `json:"out"`
	Stored      elements                 `json:"stored"`
	Unexplained elements                 `json:"unexplained"`
	SettlesAt   map[string]*settlingJSON `json:"settles_at"`
	Days        *float64                 `json:"days_to_settle"` // of the slower one
	Notes       []string                 `json:"notes"`          // what is not known
	Alkalinity  standing.Estimate        `json:"alkalinity_dKH"` // what making nitrate, less taking it up, did to it
}

type elements struct {
	N feeding.Mass `json:"N_g"`
	P feeding.Mass `json:"P_g"`
}

// byName keys flows by their names: kept_by_fish, water_changes.
func byName(flows []feeding.Flow) map[string]elements {
	out := map[string]elements{}
	for _, f := range flows {
		out[strings.NewReplacer(" ", "_", ",", "").Replace(f.Name)] = elements{f.N, f.P}
	}
	return out
}

type settlingJSON struct {
	Mean float64 `json:"mean"`
	SD   float64 `json:"sd"`
	Unit string  `json:"unit"`
	Days float64 `json:"days"`
}

func (c *budgetCmd) Run(j *job) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	facts, to, err := j.factsAt(dir, c.Tank, "--to", c.To)
	if err != nil {
		return err
	}
	t, err := onlyTank(facts, c.Tank)
	if err != nil {
		return err
	}
	from := to.AddDate(0, 0, -30)
	if c.From != "" {
		if from, err = j.moment("--from", c.From, zoneOf(facts, t.Tank.Name)); err != nil {
			return err
		}
	}
	b, err := feeding.Work(standing.NewDesk(), facts, t.Tank.Name, from, to)
	if err != nil {
		return refused("", "%w", err)
	}
	if c.JSON {
		return printJSON(j.out, budgetOf(b))
	}
	return c.print(j, b)
}

func budgetOf(b feeding.Budget) budgetJSON {
	out := budgetJSON{Tank: b.Tank, From: b.From, To: b.To, Fates: byName(b.Fates), Alkalinity: b.Alkalinity, Notes: orEmpty(b.Notes), Out: byName(b.Out), Stored: elements{b.Stored.N, b.Stored.P}, Unexplained: elements{b.Unexplained.N, b.Unexplained.P}, SettlesAt: map[string]*settlingJSON{}}
	out.In.N, out.In.P, out.In.ByFood, out.In.Other = b.In.N, b.In.P, orEmpty(b.ByFood), byName(b.Other)
	for name, s := range map[string]*feeding.Settling{"nitrate": b.Nitrate, "phosphate": b.Phosphate} {
		out.SettlesAt[name] = nil
		if s != nil {
			out.SettlesAt[name] = &settlingJSON{s.Mean, s.SD, s.Unit, s.Days}
			if out.Days == nil || s.Days > *out.Days {
				out.Days = &s.Days
			}
		}
	}
	return out
}

func (c *budgetCmd) print(j *job, b feeding.Budget) error {
	fmt.Fprintf(j.out, "Nitrogen and phosphorus of %s, %s to %s\n\n", b.Tank, longDay(b.From), longDay(b.To))
	t := table{head: []string{"", "nitrogen, g", "phosphorus, g"}, right: map[int]bool{1: true, 2: true}}
	add := func(name string, n, p feeding.Mass) { t.add(name, grams(n), grams(p)) }
	for _, e := range b.ByFood {
		add(fmt.Sprintf("in: %s, %s g", e.Food, units.FormatAmount(math.Round(10*e.Grams)/10)), e.N, e.P)
	}
	for _, f := range b.Other {
		add("in: "+f.Name, f.N, f.P)
	}
	add("in, all", b.In.N, b.In.P)
	for _, f := range append(b.Out, b.Stored, b.Unexplained) {
		add(f.Name, f.N, f.P)
	}
	if err := t.print(j.out); err != nil {
		return err
	}
	fmt.Fprintln(j.out)
	for _, e := range b.ByFood {
		if e.Why != "" {
			fmt.Fprintf(j.out, "Not counted, or not all of it: %s; %s.\n", e.Food, e.Why)
		}
	}
	for _, note := range b.Notes {
		fmt.Fprintf(j.out, "Not known: %s.\n", note)
	}
	fmt.Fprintf(j.out, "Nitrate made in the tank, less what was taken up there, did %s ± %s dKH to alkalinity.\n", units.Number(b.Alkalinity.Mean, 2), units.Number(b.Alkalinity.SD, 2))
	settles := func(q units.Quantity, s *feeding.Settling) {
		if s != nil {
			fmt.Fprintf(j.out, "If all goes on like that %s settles at %s, nearly so in %.0f days.\n", q, units.FormatPM(q, s.Mean, s.SD, s.Unit), s.Days)
		}
	}
	settles(units.Nitrate, b.Nitrate)
	settles(units.Phosphate, b.Phosphate)
	return nil
}

// grams writes a mass with its doubt.
func grams(m feeding.Mass) string {
	d := 1
	if m.SD > 0 {
		d = min(max(1-int(math.Floor(math.Log10(m.SD))), 0), 4)
	}
	return units.Number(m.Mean, d) + " ± " + units.Number(m.SD, d)
}
