package cli

import (
	"fmt"

	"driftline/internal/book"
	"driftline/internal/book/sqlite"
	"driftline/internal/standing"
)

type checkCmd struct {
	bookFlag
	JSON bool `help:"Print the result as JSON."`
}

func (c *checkCmd) Help() string {
	return `Verifies the database, each line of the log, and that the pictures are what their names say. Nothing is changed.
The exit code is 4 when something is wrong. Lines that are sound but cannot be used, such as a dose of a substance nobody
declared, and pictures that did not come with imported lines are listed and leave the code at 0.

Example:

    driftline check --book bench`
}

// finding is what check has to say.
type finding struct {
	Book     string   `json:"book"`
	Lines    int      `json:"lines"`
	Tanks    int      `json:"tanks"`
	Damage   []string `json:"damage"`   // the book is not sound
	Missing  []string `json:"missing"`  // pictures that lines name and the folder lacks
	Unusable []string `json:"unusable"` // sound lines that nothing can be computed from
}

func (c *checkCmd) Run(j *job) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	s, err := j.openReading(dir)
	if err != nil {
		return err
	}
	defer s.Close()
	f, err := examine(j, dir, s)
	if err != nil {
		return err
	}
	if err := f.print(j, c.JSON); err != nil {
		return err
	}
	if n := len(f.Damage); n > 0 {
		return badBook("keep the folder as it is, and import the newest export into a new book",
			"the book in %s is damaged: %s", dir, countOf(n, "problem", "problems"))
	}
	return nil
}

func examine(j *job, dir string, s *sqlite.Store) (finding, error) {
	f := finding{Book: dir, Damage: []string{}, Missing: []string{}, Unusable: []string{}}
	damage, err := s.Check(j.ctx)
	if err != nil {
		return f, bookFault(dir, err)
	}
	f.Damage = append(f.Damage, damage...)
	lines, err := s.Lines(j.ctx)
	if err != nil && len(damage) > 0 {
		return f, nil // why it cannot be read is said already
	}
	if err != nil {
		return f, bookFault(dir, err)
	}
	facts := book.Replay(lines, farFuture)
	f.Lines, f.Tanks = len(lines), len(facts.Tanks)
	for _, p := range facts.Problems {
		f.Unusable = append(f.Unusable, fmt.Sprintf("line %s: %s", p.Line, p.Reason))
	}
	f.Missing = append(f.Missing, s.MissingPictures(lines)...)
	f.Unusable = append(f.Unusable, unaccounted(facts)...)
	return f, nil
}

// unaccounted says once for each tank and substance what cannot be counted.
func unaccounted(f *book.Facts) []string {
	var out []string
	for _, t := range f.Tanks {
		times := map[string]int{}
		var order []string
		for _, l := range t.Events {
			if why := standing.Unaccounted(f, l); why != "" {
				if times[why]++; times[why] == 1 {
					order = append(order, why)
				}
			}
		}
		for _, why := range order {
			out = append(out, fmt.Sprintf("%s, %s: %s", t.Tank.Name, countOf(times[why], "line", "lines"), why))
		}
	}
	return out
}

func (f finding) print(j *job, asJSON bool) error {
	if asJSON {
		return printJSON(j.out, f)
	}
	for _, d := range f.Damage {
		fmt.Fprintln(j.out, d)
	}
	for _, u := range append(f.Missing, f.Unusable...) {
		fmt.Fprintln(j.out, u)
	}
	if len(f.Damage) == 0 {
		fmt.Fprintf(j.out, "The book is sound: %s, %s.\n",
			countOf(f.Lines, "line", "lines"), countOf(f.Tanks, "tank", "tanks"))
	}
	return nil
}
