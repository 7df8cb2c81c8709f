package cli

import (
	"fmt"
	"io"
	"strings"
	"time"

	"driftline/internal/rounds"
	"driftline/internal/standing"
)

type roundsCmd struct {
	bookFlag
	On    string `placeholder:"MOMENT" help:"The day of the rounds; later lines are ignored. Without it, now."`
	First int    `placeholder:"N" help:"Show the first so many rows only."`
	JSON  bool   `help:"Print the result as JSON."`
}

func (c *roundsCmd) Help() string {
	return `The short list over all tanks, most consequential first: what is outside or about to leave its band, which tests are due,
which routines are due or were missed, which reading to repeat before acting on it.

Examples:

    driftline rounds --book bench
    driftline rounds --book bench --on 2026-03-14T08:00:00Z --json`
}

func (c *roundsCmd) Run(j *job) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	facts, on, err := j.factsAt(dir, "", "--on", c.On)
	if err != nil {
		return err
	}
	sheet, err := rounds.Make(standing.NewDesk(), facts, on)
	if err != nil {
		return fmt.Errorf("rounds: %w", err)
	}
	left := 0
	if c.First > 0 && len(sheet.Rows) > c.First {
		left = len(sheet.Rows) - c.First
		sheet.Rows = sheet.Rows[:c.First]
	}
	if c.JSON {
		sheet.Rows = orEmpty(sheet.Rows)
		return printJSON(j.out, sheet)
	}
	return printSheet(j.out, sheet, left, zoneOf(facts, ""))
}

func printSheet(w io.Writer, s *rounds.Sheet, left int, loc *time.Location) error {
	fmt.Fprintf(w, "Rounds for %s\n\n", longDay(s.On.In(loc)))
	for i, r := range s.Rows {
		fmt.Fprintf(w, "%2d  %s\n", i+1, r.Title)
		if r.Why != "" {
			fmt.Fprintf(w, "    %s\n", r.Why)
		}
		if len(r.Cautions) > 0 {
			fmt.Fprintf(w, "    Take care: %s\n", strings.Join(r.Cautions, " "))
		}
	}
	if left > 0 {
		fmt.Fprintf(w, "\n%s left out.\n", countOf(left, "row is", "rows are"))
		return nil
	}
	if s.Quiet != "" {
		if len(s.Rows) > 0 {
			fmt.Fprintln(w)
		}
		fmt.Fprintln(w, s.Quiet)
	}
	return printNext(w, s, loc)
}

// printNext lists what comes after today, a line each.
func printNext(w io.Writer, s *rounds.Sheet, loc *time.Location) error {
	if len(s.Next) == 0 {
		return nil
	}
	fmt.Fprintln(w, "\nComing up")
	for _, r := range s.Next[:min(len(s.Next), 5)] {
		day := "soon"
		if r.On != nil {
			day = shortDay(r.On.In(loc))
		}
		fmt.Fprintf(w, "    %-10s  %s\n", day, r.Title)
	}
	return nil
}
