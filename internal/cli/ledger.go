package cli

import (
	"fmt"
	"io"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/units"
)

type ledgerCmd struct {
	bookFlag
	Tank     string `placeholder:"NAME" help:"The tank. It may be left out when the book has one."`
	Quantity string `required:"" placeholder:"NAME" help:"The quantity, such as magnesium."`
	From     string `placeholder:"MOMENT" help:"Beginning of the span. Without it, 30 days before its end."`
	To       string `placeholder:"MOMENT" help:"End of the span; later lines are ignored. Without it, now."`
	JSON     bool   `help:"Print the result as JSON."`
}

func (c *ledgerCmd) Help() string {
	return `How much came by dose, by water change, by top-off and by routine, how much demand took, and what remains unexplained.
The lines add up to the change of the level exactly.

Examples:

    driftline ledger --book bench --tank "Harbour tank" --quantity magnesium
    driftline ledger --book bench --tank "Harbour tank" --quantity alkalinity --from 2026-02-01 --to 2026-03-01 --json`
}

func (c *ledgerCmd) Run(j *job) error {
	led, loc, err := c.account(j)
	if err != nil {
		return err
	}
	if c.JSON {
		led.Entries = orEmpty(led.Entries)
		return printJSON(j.out, led)
	}
	return printLedger(j.out, led, loc)
}

func (c *ledgerCmd) account(j *job) (standing.Ledger, *time.Location, error) {
	var none standing.Ledger
	q, err := quantity(c.Quantity)
	if err != nil {
		return none, nil, err
	}
	dir, err := c.dir(j)
	if err != nil {
		return none, nil, err
	}
	facts, to, err := j.factsAt(dir, c.Tank, "--to", c.To)
	if err != nil {
		return none, nil, err
	}
	t, err := onlyTank(facts, c.Tank)
	if err != nil {
		return none, nil, err
	}
	from, err := c.start(j, to, t.Location)
	if err != nil {
		return none, nil, err
	}
	if err := everRead(t, q, to); err != nil {
		return none, nil, err
	}
	led, err := standing.NewDesk().Ledger(facts, t.Tank.Name, string(q), from, to)
	if err != nil {
		return none, nil, err // it names the quantity and the tank
	}
	return led, t.Location, nil
}

// everRead refuses a ledger of what was not read, and names what was.
func everRead(t *book.TankFacts, q units.Quantity, to time.Time) error {
	seen := map[units.Quantity]bool{}
	for _, l := range t.Events {
		if r, ok := l.Body.(*book.Reading); ok {
			if have, err := units.ParseQuantity(r.Quantity); err == nil {
				seen[have] = true
			}
		}
	}
	if seen[q] {
		return nil
	}
	var names []string
	for _, have := range units.Quantities() {
		if seen[have] {
			names = append(names, string(have))
		}
	}
	hint := ""
	if len(names) > 0 {
		hint = "it has readings of " + strings.Join(names, ", ")
	}
	return usage(hint, "%s has no reading of %s up to %s, so there is no ledger of it", t.Tank.Name, q, longMoment(to.In(t.Location)))
}

func (c *ledgerCmd) start(j *job, to time.Time, loc *time.Location) (time.Time, error) {
	if c.From == "" {
		return to.AddDate(0, 0, -30), nil
	}
	from, err := j.moment("--from", c.From, loc)
	if err != nil {
		return time.Time{}, err
	}
	if !from.Before(to) {
		return time.Time{}, usage("", "the span ends (%s) before it begins (%s)", longMoment(to), longMoment(from))
	}
	return from, nil
}

func printLedger(w io.Writer, l standing.Ledger, loc *time.Location) error {
	fmt.Fprintf(w, "%s of %s, in %s, %s to %s\n\n", prose.Capital(l.Quantity), l.Tank, l.Unit,
		longMoment(l.Start.In(loc)), longMoment(l.End.In(loc)))
	rows := table{
		head:  []string{"", "times", "change", "in the tank"},
		right: map[int]bool{1: true, 2: true, 3: true},
	}
	rows.add("level at the start", "", plusMinus(l.Quantity, l.Unit, l.From), "")
	for _, e := range l.Entries {
		rows.add(entryName(e), timesOf(e), changeOf(l.Quantity, l.Unit, e.Change), gramsOf(e))
	}
	rows.add("level at the end", "", plusMinus(l.Quantity, l.Unit, l.To), "")
	if err := rows.print(w); err != nil {
		return err
	}
	if l.Sentence != "" {
		fmt.Fprintf(w, "\n%s\n", l.Sentence)
	}
	return nil
}

func entryName(e standing.Entry) string {
	if e.Detail == "" {
		return e.Name
	}
	return e.Name + ", " + e.Detail
}

func timesOf(e standing.Entry) string {
	if e.Count == 0 {
		return ""
	}
	return grouped(e.Count)
}

func gramsOf(e standing.Entry) string {
	if e.Grams == nil {
		return ""
	}
	return withSign(*e.Grams, placesFor(*e.Grams)) + " g"
}
