package cli

import (
	"fmt"
	"time"

	"driftline/internal/away"
	"driftline/internal/prose"
	"driftline/internal/standing"
)

type awayCmd struct {
	bookFlag
	From  string  `required:"" placeholder:"MOMENT" help:"When you leave."`
	Until string  `required:"" placeholder:"MOMENT" help:"When you are back."`
	Every float64 `placeholder:"DAYS" help:"Somebody comes every so many days; without it, nobody."`
	AsOf  string  `placeholder:"MOMENT" help:"As it stood then; later lines are ignored. Without it, now."`
	JSON  bool    `help:"Print the result as JSON."`
}

func (c *awayCmd) Help() string {
	return `What an absence means for each tank: what to fill and portion, what to do before, what a visitor does, and what may leave its band
meanwhile. It writes nothing.

Example:

    driftline away --book bench --from 2026-07-01 --until 2026-07-20 --every 4`
}

// awayJSON is the public shape of an absence.
type awayJSON struct {
	From   time.Time      `json:"from"`
	Until  time.Time      `json:"until"`
	Days   int            `json:"days"`
	Visits []time.Time    `json:"visits"`
	Tanks  []awayTankJSON `json:"tanks"`
}

type awayTankJSON struct {
	Tank    string     `json:"tank"`
	Prepare []string   `json:"prepare"`
	Before  []string   `json:"before"`
	Visit   []string   `json:"visit"`
	Risks   []riskJSON `json:"risks"`
	Assumed []string   `json:"assumed"`
}

type riskJSON struct {
	Quantity string  `json:"quantity"`
	PLeave   float64 `json:"p_leave"`
	GoingOn  float64 `json:"p_leave_going_on"`
}

func (c *awayCmd) Run(j *job) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	facts, at, err := j.factsAt(dir, "", "--as-of", c.AsOf)
	if err != nil {
		return err
	}
	zone := zoneOf(facts, "")
	if len(facts.Tanks) > 0 {
		zone = zoneOf(facts, facts.Tanks[0].Tank.Name)
	}
	ask := away.Ask{Every: c.Every}
	if ask.From, err = j.moment("--from", c.From, zone); err != nil {
		return err
	}
	if ask.Until, err = j.moment("--until", c.Until, zone); err != nil {
		return err
	}
	p, err := away.Work(standing.NewDesk(), facts, ask, at)
	if err != nil {
		return refused("", "%w", err)
	}
	if c.JSON {
		return printJSON(j.out, awayOf(p))
	}
	return printAway(j, p)
}

func awayOf(p away.Plan) awayJSON {
	out := awayJSON{From: p.From, Until: p.Until, Days: p.Days, Visits: orEmpty(p.Visits), Tanks: []awayTankJSON{}}
	for _, t := range p.Tanks {
		x := awayTankJSON{Tank: t.Name, Prepare: orEmpty(t.Prepare), Before: orEmpty(t.Before), Visit: orEmpty(t.Visit), Assumed: orEmpty(t.Assumed), Risks: []riskJSON{}}
		for _, r := range t.Risks {
			x.Risks = append(x.Risks, riskJSON{r.Quantity, r.Chance, r.GoingOn})
		}
		out.Tanks = append(out.Tanks, x)
	}
	return out
}

func printAway(j *job, p away.Plan) error {
	fmt.Fprintf(j.out, "Away %s to %s, %d days, %d visits\n", longDay(p.From), longDay(p.Until), p.Days, len(p.Visits))
	for _, t := range p.Tanks {
		fmt.Fprintf(j.out, "\n%s\n", prose.Capital(t.Name))
		for _, r := range t.Risks {
			fmt.Fprintf(j.out, "  May happen: %s\n", r.Says)
		}
		for _, part := range []struct {
			name string
			all  []string
		}{{"Before", t.Before}, {"Prepare", t.Prepare}, {"At each visit", t.Visit}} {
			for _, text := range part.all {
				fmt.Fprintf(j.out, "  %s: %s\n", part.name, text)
			}
		}
	}
	fmt.Fprintln(j.out)
	for _, n := range away.Needs {
		fmt.Fprintf(j.out, "%s: %s\n", n.When, n.Do)
	}
	return nil
}
