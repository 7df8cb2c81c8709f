package cli

import (
	"fmt"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
)

type driftCmd struct {
	bookFlag
	Tank string `placeholder:"NAME" help:"One tank. Without it, all tanks."`
	AsOf string `placeholder:"MOMENT" help:"Look from this moment; later lines are ignored. Without it, now."`
	Days int    `default:"60" help:"How many days to look ahead, up to 365."`
	JSON bool   `help:"Print the result as JSON: one object for the tank named, a list for all."`
}

func (c *driftCmd) Help() string {
	return `For each quantity: the level with its doubt, the demand (net loss a day), the band, when it is likely to leave it, and the
day by which it should be tested again. The doubt after ± is one standard deviation.

Examples:

    driftline drift --book bench --tank "Harbour tank"
    driftline drift --book bench --tank "Harbour tank" --as-of 2026-03-14T08:00:00Z --days 60 --json`
}

// tankStanding is how all quantities of a tank stand.
type tankStanding struct {
	tank       *book.TankFacts
	asOf       time.Time
	quantities []standing.Quantity
}

func (c *driftCmd) Run(j *job) error {
	if c.Days < 0 || c.Days > 365 {
		return usage("", "--days %d is not between 0 and 365", c.Days)
	}
	all, err := c.look(j)
	if err != nil {
		return err
	}
	if c.JSON {
		return c.printJSON(j, all)
	}
	for i, t := range all {
		if i > 0 {
			fmt.Fprintln(j.out)
		}
		if err := printStanding(j.out, t); err != nil {
			return err
		}
	}
	return nil
}

// look asks the desk about the tank that is named, or about each.
func (c *driftCmd) look(j *job) ([]tankStanding, error) {
	dir, err := c.dir(j)
	if err != nil {
		return nil, err
	}
	facts, asOf, err := j.factsAt(dir, c.Tank, "--as-of", c.AsOf)
	if err != nil {
		return nil, err
	}
	tanks, err := c.chosen(facts)
	if err != nil {
		return nil, err
	}
	desk := standing.NewDesk()
	var out []tankStanding
	for _, t := range tanks {
		qs, err := desk.Tank(facts, t.Tank.Name, asOf, c.Days)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", t.Tank.Name, err)
		}
		out = append(out, tankStanding{t, asOf, qs})
	}
	return out, nil
}

func (c *driftCmd) chosen(f *book.Facts) ([]*book.TankFacts, error) {
	if c.Tank != "" || len(f.Tanks) == 0 {
		t, err := tank(f, c.Tank)
		return []*book.TankFacts{t}, err
	}
	var out []*book.TankFacts
	for i := range f.Tanks {
		out = append(out, &f.Tanks[i])
	}
	return out, nil
}

func (c *driftCmd) printJSON(j *job, all []tankStanding) error {
	docs := make([]standingJSON, len(all))
	for i, t := range all {
		docs[i] = toJSON(t)
	}
	if c.Tank != "" {
		return printJSON(j.out, docs[0])
	}
	return printJSON(j.out, docs)
}
