package cli

import (
	"fmt"
	"math"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/correction"
	"driftline/internal/standing"
	"driftline/internal/supply"
	"driftline/units"
)

type correctCmd struct {
	bookFlag
	Tank     string `placeholder:"NAME" help:"The tank. It may be left out when the book has one."`
	Quantity string `required:"" placeholder:"NAME" help:"The quantity to raise, such as magnesium."`
	To       string `placeholder:"VALUE" help:"The level to reach, with its unit or with --unit. Without it, the aim of its band."`
	Unit     string `placeholder:"UNIT" help:"Unit of --to and of the result. Without it, the one the quantity is shown in."`
	With     string `placeholder:"SUBSTANCE" help:"What to dose. Without it, the usual one."`
	Most     string `placeholder:"VALUE" help:"Largest rise a day. Without it, the keeper's preference or the careful one of the trade."`
	Anew     bool   `help:"Work the rest of a plan under way out again, from today's level."`
	AsOf     string `placeholder:"MOMENT" help:"Work it out from this moment; later lines are ignored. Without it, now."`
	JSON     bool   `help:"Print the result as JSON."`
}

func (c *correctCmd) Help() string {
	return `What to weigh, when, at a safe pace, what to expect after each dose and what a test on the way should read. It starts from where
the whole log says the level is. It writes nothing: accept a plan on the page of the quantity.

Examples:

    driftline correct --book bench --tank "Harbour tank" --quantity magnesium --to 1400
    driftline correct --book bench --tank "Harbour tank" --quantity alkalinity --to 8.2 --unit dKH --with "sodium bicarbonate" --json`
}

func (c *correctCmd) Run(j *job) error {
	ask, err := c.ask()
	if err != nil {
		return err
	}
	facts, asOf, t, err := c.tankAt(j, c.Tank, c.AsOf)
	if err != nil {
		return err
	}
	ask.Tank, ask.Anew = t.Tank.Name, c.Anew
	plan, err := correction.Work(standing.NewDesk(), facts, ask, asOf)
	if err != nil {
		return usage("", "%v", err)
	}
	shelf, err := onShelf(facts, asOf, func(s *supply.Shelf) supply.Answer { return s.ForCorrection(plan) })
	if err != nil {
		return err
	}
	if c.JSON {
		plan.Steps, plan.Checks, plan.Cautions = orEmpty(plan.Steps), orEmpty(plan.Checks), orEmpty(plan.Cautions)
		plan.Warnings, plan.SideEffects = orEmpty(plan.Warnings), orEmpty(plan.SideEffects)
		return printJSON(j.out, struct {
			correction.Plan
			Shelf *supply.Answer `json:"shelf,omitempty"` // the total held against the shelf
		}{plan, shelf})
	}
	return printCorrection(j, plan, shelf)
}

// onShelf holds a plan against the shelf; nil where it takes nothing.
func onShelf(f *book.Facts, asOf time.Time, ask func(*supply.Shelf) supply.Answer) (*supply.Answer, error) {
	s, err := supply.Of(f, asOf, time.Time{})
	if err != nil {
		return nil, fmt.Errorf("shelf: %w", err)
	}
	if a := ask(s); len(a.Needs) > 0 {
		return &a, nil
	}
	return nil, nil
}

func printNeeds(j *job, a *supply.Answer) {
	if a != nil {
		fmt.Fprintf(j.out, "\n%s\n", a.Says)
	}
}

func (c *correctCmd) ask() (a correction.Ask, err error) {
	if a.Quantity, err = quantity(c.Quantity); err != nil {
		return a, err
	}
	a.Substance = c.With
	if c.Unit != "" {
		if a.Unit, err = units.ParseUnit(a.Quantity, c.Unit); err != nil {
			return a, usage("", "--unit: %v", err)
		}
	}
	if c.Most != "" {
		if a.MostADay, _, err = bareFigure("--most", a.Quantity, c.Most, ""); err != nil {
			return a, err
		}
		if a.MostADay <= 0 {
			return a, usage("", "--most %q is not above 0; expected a rise a day in the unit of --to, such as 50", c.Most)
		}
	}
	if c.To == "" {
		return a, nil
	}
	v, unit, err := bareFigure("--to", a.Quantity, c.To, a.Unit)
	if err != nil {
		return a, err
	}
	a.To, a.Unit = &v, unit
	return a, nil
}

// bareFigure reads a figure that may carry its unit, which must be the one given
// beside it where there is one.
func bareFigure(flag string, q units.Quantity, text, unit string) (float64, string, error) {
	v, rest, ok := leadingFigure(strings.TrimSpace(strings.ReplaceAll(text, "−", "-")))
	if !ok || math.IsInf(v, 0) {
		return 0, "", usage("", "%s %q is not a number", flag, strings.ReplaceAll(text, "−", "-"))
	}
	if rest == "" {
		return v, unit, nil
	}
	said, err := units.ParseUnit(q, rest)
	if err != nil {
		return 0, "", usage("", "%s %q: %v", flag, text, err)
	}
	if unit != "" && unit != said {
		return 0, "", usage("", "%s %q and --unit %s say two units; say one", flag, text, unit)
	}
	return v, said, nil
}

func printCorrection(j *job, p correction.Plan, shelf *supply.Answer) error {
	fmt.Fprintln(j.out, p.Says)
	if len(p.Steps) == 0 {
		printList(j, "Mind:", p.Warnings)
		return nil
	}
	q := units.Quantity(p.Quantity)
	fmt.Fprintf(j.out, "\nAt most %s a day; demand %s a day.\n\n", units.Format(q, p.MostADay, p.Unit), units.FormatPM(q, p.Demand.Mean, p.Demand.SD, p.Unit))
	t := table{head: []string{"when", "dose", "then expected"}, right: map[int]bool{1: true}}
	for _, s := range p.Steps {
		t.add(s.At.Format("Mon 2 Jan 15:04"), units.FormatAmount(s.Amount)+" "+s.Unit, units.FormatPM(q, s.Expected.Mean, s.Expected.SD, p.Unit))
	}
	if err := t.print(j.out); err != nil {
		return err
	}
	printNeeds(j, shelf)
	fmt.Fprintln(j.out, "\nTest on the way:")
	for _, c := range p.Checks {
		fmt.Fprintf(j.out, "  %s: should read %s. %s\n", c.At.Format("Mon 2 Jan 15:04"), units.FormatPM(q, c.Expected.Mean, c.Expected.SD, c.Unit), c.IfNot)
	}
	var along, lasting []string
	for _, e := range p.SideEffects {
		if e.Lasting() {
			lasting = append(lasting, e.Says)
		} else {
			along = append(along, e.Says)
		}
	}
	printList(j, "What comes along:", along)
	if p.Year != "" {
		fmt.Fprintf(j.out, "\n%s\n", p.Year)
	}
	for _, says := range lasting {
		fmt.Fprintf(j.out, "  %s\n", says)
	}
	printList(j, "Mind:", p.Warnings)
	printList(j, "Cautions:", p.Cautions)
	return nil
}
