package cli

import (
	"fmt"
	"strings"
	"time"

	"driftline/internal/prose"
	"driftline/internal/supply"
)

type shelfCmd struct {
	bookFlag
	AsOf  string `placeholder:"MOMENT" help:"Look from this moment; later lines are ignored. Without it, now."`
	Until string `placeholder:"DAY" help:"A day to hold out to: how much it takes, and what lacks."`
	JSON  bool   `help:"Print the result as JSON."`
}

func (c *shelfCmd) Help() string {
	return `What is left of each substance and salt by the last count and the log, who uses how much of it, the day it runs out with its doubt,
and what a month of it costs. Write what is there with driftline log shelf; nothing is written here.

Examples:

    driftline shelf --book bench
    driftline shelf --book bench --until 2026-06-30 --json
    driftline log --book bench shelf 2 kg magnesium chloride hexahydrate`
}

func (c *shelfCmd) Run(j *job) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	facts, asOf, err := j.factsAt(dir, "", "--as-of", c.AsOf)
	if err != nil {
		return err
	}
	var until time.Time
	if c.Until != "" {
		if until, err = j.moment("--until", c.Until, zoneOf(facts, "")); err != nil {
			return err
		}
	}
	s, err := supply.Of(facts, asOf, until)
	if err != nil {
		return usage("", "--until: %v", err)
	}
	if c.JSON {
		return printJSON(j.out, s)
	}
	return printShelf(j, s, zoneOf(facts, ""))
}

func printShelf(j *job, s *supply.Shelf, loc *time.Location) error {
	fmt.Fprintln(j.out, s.Says)
	if len(s.Items) > 0 {
		t := table{head: []string{"on the shelf", "left", "a day", "runs out", "between", "a month"}, right: map[int]bool{1: true, 2: true, 5: true}}
		for _, i := range s.Items {
			t.add(shelfCells(i, loc)...)
		}
		fmt.Fprintln(j.out)
		if err := t.print(j.out); err != nil {
			return err
		}
	}
	for _, i := range append(s.Items[:len(s.Items):len(s.Items)], s.Missing...) {
		fmt.Fprintf(j.out, "\n%s: %s\n", prose.Capital(i.Name), i.Says)
		for _, u := range i.Users {
			fmt.Fprintf(j.out, "  %s\n", u.Says)
		}
		for _, n := range i.Notes {
			fmt.Fprintf(j.out, "  %s\n", n)
		}
	}
	var costs []string
	for _, c := range s.Costs {
		costs = append(costs, strings.TrimSpace(fmt.Sprintf("%.2f %s", c.AMonth, c.Currency))+" a month at the newest prices")
	}
	printList(j, "What lasting use costs:", costs)
	return nil
}

func shelfCells(i supply.Item, loc *time.Location) []string {
	cells := []string{i.Name, i.LeftWords(), "", string(i.State), "", ""}
	if i.Daily.Mean > 0 {
		cells[2] = i.DailyWords()
	}
	if r := i.RunsOut; r != nil {
		late := "later than two years"
		if r.Late != nil {
			late = r.Late.In(loc).Format("2 Jan 2006")
		}
		cells[4] = r.Early.In(loc).Format("2 Jan 2006") + " and " + late
		if r.Expected != nil {
			cells[3] = r.Expected.In(loc).Format("Mon 2 Jan 2006")
		}
	}
	if i.AMonth > 0 {
		cells[5] = strings.TrimSpace(fmt.Sprintf("%.2f %s", i.AMonth, i.Price.Currency))
	}
	return cells
}
