package cli

import (
	"fmt"
	"time"

	"driftline/internal/standing"
	"driftline/internal/whatif"
	"driftline/units"
)

type whatifCmd struct {
	bookFlag
	Tank  string   `placeholder:"NAME" help:"The tank. It may be left out when the book has one."`
	Days  int      `default:"60" placeholder:"N" help:"How far to look, 1 to 365 days."`
	Plan  []string `sep:"none" placeholder:"PLAN" help:"A plan to compare with going on as declared; up to four in all."`
	AsOf  string   `placeholder:"MOMENT" help:"Set out from this moment; later lines are ignored. Without it, now."`
	Draws int      `default:"2000" placeholder:"N" help:"How many tanks the log leaves possible are followed."`
	Seed  uint64   `default:"1" placeholder:"N" help:"The same seed comes to the same figures."`
	JSON  bool     `help:"Print the result as JSON, with every day."`
}

func (c *whatifCmd) Help() string {
	return `What the water will be under each plan, with the doubt of the whole log, and what each takes: hands, water, grams, cost. Going on as
declared is the first plan unless four others are given or it is named itself. It writes nothing.

Plans: ` + whatif.PlanForms + `.

Examples:

    driftline whatif --book bench --tank "Harbour tank" --days 60 --plan "away 24" --plan "change 10% every 7"
    driftline whatif --book bench --tank "Harbour tank" --plan "stop dosing" --json`
}

// compared is what whatif prints as JSON.
type compared struct {
	Tank     string           `json:"tank"`
	AsOf     time.Time        `json:"as_of"`
	Days     int              `json:"days"`
	Draws    int              `json:"draws"`
	Seed     uint64           `json:"seed"`
	Outcomes []whatif.Outcome `json:"outcomes"`
}

func (c *whatifCmd) Run(j *job) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	facts, asOf, err := j.factsAt(dir, c.Tank, "--as-of", c.AsOf)
	if err != nil {
		return err
	}
	t, err := onlyTank(facts, c.Tank)
	if err != nil {
		return err
	}
	ask := whatif.Ask{Tank: t.Tank.Name, Days: c.Days, Draws: c.Draws, Seed: c.Seed}
	if ask.Plans, err = c.plans(j, asOf); err != nil {
		return err
	}
	out, err := whatif.Work(standing.NewDesk(), facts, ask, asOf)
	if err != nil {
		return usage("", "%v", err)
	}
	if c.JSON {
		return printJSON(j.out, compared{ask.Tank, asOf, c.Days, c.Draws, c.Seed, out})
	}
	return printOutcomes(j, out)
}

func (c *whatifCmd) plans(j *job, asOf time.Time) ([]whatif.Plan, error) {
	var plans []whatif.Plan
	named := false
	for _, text := range c.Plan {
		p, err := whatif.ParsePlan(text, asOf)
		if err != nil {
			return nil, usage("", "--plan: %v", err)
		}
		named = named || p.Name == whatif.GoOn().Name
		plans = append(plans, p)
	}
	if !named && len(plans) < 4 {
		plans = append([]whatif.Plan{whatif.GoOn()}, plans...)
	}
	return plans, nil
}

func printOutcomes(j *job, all []whatif.Outcome) error {
	for i, o := range all {
		if i > 0 {
			fmt.Fprintln(j.out)
		}
		fmt.Fprintln(j.out, o.Says)
		t := table{head: []string{"quantity", "at the end", "outside then", "leaves its band"}}
		if i > 0 {
			t.head = append(t.head, "above "+all[0].Name+", 9 in 10 between")
		}
		for _, c := range o.Courses {
			t.add(courseRow(c)...)
		}
		fmt.Fprintln(j.out)
		if err := t.print(j.out); err != nil {
			return err
		}
		var used []string
		for _, u := range o.Used {
			used = append(used, units.FormatAmount(u.Amount)+" "+u.Unit+" of "+u.Substance)
		}
		printList(j, "Uses:", used)
		printList(j, "Taken for granted:", o.Assumed)
	}
	return nil
}

func courseRow(c whatif.Course) []string {
	q, last := units.Quantity(c.Quantity), c.Days[len(c.Days)-1]
	row := []string{c.Quantity, units.FormatPM(q, last.P50, (last.P95-last.P05)/(2*1.645), c.Unit), "no band", "no band"}
	if c.Low != nil || c.High != nil {
		row[2], row[3] = standing.ChanceFigure(c.POutAtEnd), standing.ChanceFigure(c.PLeave)
	}
	if c.Against != nil {
		row = append(row, units.Format(q, c.Against.P05, c.Unit)+" and "+units.Format(q, c.Against.P95, c.Unit))
	}
	return row
}
