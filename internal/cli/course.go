package cli

import (
	"fmt"
	"strings"

	"driftline/internal/course"
	"driftline/internal/prose"
	"driftline/internal/stoprule"
	"driftline/internal/supply"
	"driftline/units"
)

type courseCmd struct {
	bookFlag
	Tank      string   `placeholder:"NAME" help:"The tank. It may be left out when the book has one."`
	Known     string   `placeholder:"NAME" help:"A course of the trade: peroxide, \"lights out\". Without it, one of your own."`
	Name      string   `placeholder:"TEXT" help:"What to call it."`
	Substance string   `placeholder:"NAME" help:"What is dosed."`
	Amount    string   `placeholder:"AMOUNT" help:"One dose, such as 5mL or 2g."`
	Chore     string   `placeholder:"TEXT" help:"What is done each time, for a course without doses."`
	Every     float64  `placeholder:"HOURS" help:"Hours between turns."`
	Days      float64  `placeholder:"DAYS" help:"How long it lasts."`
	Sign      []string `placeholder:"SIGN" help:"What to score before, during and after; may be given again."`
	Most      string   `placeholder:"AMOUNT" help:"The ceiling of one dose, such as 8mL."`
	HalfDays  *float64 `placeholder:"DAYS" help:"Days to begin with half the dose."`
	Stop      string   `placeholder:"TEXT" help:"The stop rule in words."`
	StopWhen  []string `sep:"none" placeholder:"RULE" help:"A stop rule that the book watches, such as \"polyp extension <= 1 twice running\"; may be given again."`
	From      string   `placeholder:"MOMENT" help:"When it begins. Without it, now."`
	AsOf      string   `placeholder:"MOMENT" help:"Look from this moment; later lines are ignored. Without it, now."`
	JSON      bool     `help:"Print the result as JSON."`
}

func (c *courseCmd) Help() string {
	return `A treatment or habit by schedule: the dose by net volume and its ceiling, the cautions, what to watch and when to stop. It writes
nothing; without a course named it says how the accepted ones stand.

Examples:

    driftline course --book bench --tank "Harbour tank" --known peroxide
    driftline course --book bench --tank "Harbour tank" --name "iodine, weekly" --substance "potassium iodide" --amount 0.01g --every 168 --days 56
    driftline course --book bench --tank "Harbour tank"`
}

func (c *courseCmd) Run(j *job) error {
	facts, asOf, t, err := c.tankAt(j, c.Tank, c.AsOf)
	if err != nil {
		return err
	}
	if c.Known == "" && c.Name == "" && c.Substance == "" && c.Chore == "" {
		all, err := course.Stand(facts, t.Tank.Name, asOf)
		if err != nil {
			return err
		}
		return c.standing(j, all)
	}
	ask := course.Ask{Tank: t.Tank.Name, Known: c.Known, Name: c.Name, Substance: c.Substance, Chore: c.Chore, EveryHours: c.Every,
		Days: c.Days, Signs: c.Sign, Stop: c.Stop, HalfDays: c.HalfDays}
	if c.Chore != "" && c.Substance == "" {
		ask.Action = "chore"
	}
	if c.From != "" {
		if ask.Start, err = j.moment("--from", c.From, zoneOf(facts, t.Tank.Name)); err != nil {
			return err
		}
	}
	if err := c.amounts(&ask); err != nil {
		return err
	}
	for _, text := range c.StopWhen {
		rule, err := stoprule.Parse(text)
		if err != nil {
			return usage("", "--stop-when: %v", err)
		}
		ask.StopWhen = append(ask.StopWhen, rule)
	}
	plan, err := course.Work(facts, ask, asOf)
	if err != nil {
		return usage("", "%v", err)
	}
	shelf, err := onShelf(facts, asOf, func(s *supply.Shelf) supply.Answer { return s.ForCourse(plan) })
	if err != nil {
		return err
	}
	return c.print(j, plan, shelf)
}

// amounts reads the dose and its ceiling, which are told in one unit.
func (c *courseCmd) amounts(ask *course.Ask) (err error) {
	if ask.Amount, ask.Unit, err = amountOf("--amount", c.Amount); err != nil {
		return err
	}
	most, unit, err := amountOf("--most", c.Most)
	if err != nil {
		return err
	}
	if ask.Unit == "" {
		ask.Unit = unit
	}
	if most > 0 && unit != ask.Unit {
		return usage("", "--most is in %s and --amount in %s; expected one unit for both", unit, ask.Unit)
	}
	ask.Most = most
	return nil
}

func amountOf(flag, text string) (float64, string, error) {
	if text == "" {
		return 0, "", nil
	}
	v, rest, ok := leadingFigure(strings.TrimSpace(text))
	if !ok || v <= 0 {
		return 0, "", usage("", "%s %q is not an amount above 0; expected such as 5mL or 2g", flag, text)
	}
	if unit, err := units.ParseVolumeUnit(rest); err == nil {
		return v, unit, nil
	}
	unit, err := units.ParseMassUnit(rest)
	if err != nil {
		return 0, "", usage("", "%s %q has no unit of mass or volume; expected such as 5mL or 2g", flag, text)
	}
	return v, unit, nil
}

func (c *courseCmd) print(j *job, p course.Plan, shelf *supply.Answer) error {
	if c.JSON {
		p.Signs, p.Watch, p.Cautions, p.Warnings = orEmpty(p.Signs), orEmpty(p.Watch), orEmpty(p.Cautions), orEmpty(p.Warnings)
		return printJSON(j.out, struct {
			course.Plan
			Shelf *supply.Answer `json:"shelf,omitempty"`
		}{p, shelf})
	}
	fmt.Fprintln(j.out, p.Says)
	if p.Refused != "" {
		return nil
	}
	if p.Most > 0 {
		fmt.Fprintf(j.out, "Never more than %s %s a dose.\n", units.FormatAmount(p.Most), p.Unit)
	}
	printList(j, "Stop when:", p.StopSays())
	printNeeds(j, shelf)
	printList(j, "Watch:", p.Watch)
	printList(j, "Score before, during and after:", p.Signs)
	printList(j, "Mind:", p.Warnings)
	printList(j, "Cautions:", p.Cautions)
	return nil
}

func (c *courseCmd) standing(j *job, all []course.Standing) error {
	if c.JSON {
		return printJSON(j.out, coursesJSON(all))
	}
	if len(all) == 0 {
		fmt.Fprintln(j.out, "No course was accepted. Name one with --known or --name.")
		return nil
	}
	for _, s := range all {
		fmt.Fprintf(j.out, "%s: %s\n", prose.Capital(s.Course.Name), s.Says)
		for _, sign := range s.Signs {
			fmt.Fprintf(j.out, "  %s\n", sign.Says)
		}
	}
	return nil
}

type courseJSON struct {
	Line   string        `json:"line"`
	Name   string        `json:"name"`
	Given  int           `json:"given"`
	Missed int           `json:"missed"`
	Over   bool          `json:"over"`
	Stop   string        `json:"stopped,omitempty"` // what fired
	Turns  []course.Turn `json:"turns"`
	Says   string        `json:"says"`
}

func coursesJSON(all []course.Standing) []courseJSON {
	out := []courseJSON{}
	for _, s := range all {
		row := courseJSON{Line: s.Line, Name: s.Course.Name, Given: s.Given, Missed: s.Missed, Over: s.Over, Turns: s.Turns, Says: s.Says}
		if s.Stopped != nil {
			row.Stop = s.Stopped.Rule.Says
		}
		out = append(out, row)
	}
	return out
}
