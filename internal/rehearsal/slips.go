package rehearsal

import (
	"context"
	"fmt"
	"io"
	"math"
	"strings"

	"driftline/internal/book"
	"driftline/internal/standing"
)

// Slips counts how misreads were told from good readings, at the end of each log.
type Slips struct {
	Readings int
	Wrong    int // readings that really went wrong
	Gross    int // of these, off by more than five times the scatter of the kit
	Found    int // gross ones that were named
	Named    int // readings named as likely misreads
	Right    int // of these, really wrong
}

// FindSlips lets the program judge the readings of many tanks.
func FindSlips(ctx context.Context, o Options) (map[string]Slips, error) {
	o = o.filled()
	out := map[string]Slips{}
	for i := range o.Tanks {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err := o.slips(o.Seed+uint64(i), out); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func (o Options) slips(seed uint64, out map[string]Slips) error {
	tank := NewTankIn(o.World, seed)
	facts := book.Replay(tank.Lines, tank.To)
	desk := standing.NewDesk()
	for _, name := range Families {
		q, err := desk.Quantity(facts, tank.Name, name, tank.To, 0)
		if err != nil {
			return fmt.Errorf("%s, %s: %w", tank.Name, name, err)
		}
		times, ok := toSimulated(mustIon(name), q.Unit)
		if !ok {
			continue // never read: nothing to judge
		}
		s := out[name]
		for _, r := range q.Readings {
			truth, err := tank.Level(name, r.At)
			if err != nil {
				return err
			}
			s.count(tank.Misread(r.Line), r.Misread >= 0.5, math.Abs(r.Value-truth/times) > 5*r.SD)
		}
		out[name] = s
	}
	return nil
}

func (s *Slips) count(wrong, named, far bool) {
	s.Readings++
	if named {
		s.Named++
	}
	if wrong {
		s.Wrong++
	}
	if wrong && named {
		s.Right++
	}
	if wrong && far {
		s.Gross++
	}
	if wrong && far && named {
		s.Found++
	}
}

func mustIon(name string) ion {
	q, _ := ionOf(name)
	return q
}

// writeSlips prints the counts as a table.
func writeSlips(w io.Writer, all map[string]Slips) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Misreads at the end of each log\n\n%-11s %9s %6s %6s | %6s %12s | %12s\n",
		"quantity", "readings", "wrong", "gross", "named", "truly wrong", "gross named")
	for _, f := range Families {
		s := all[f]
		fmt.Fprintf(&b, "%-11s %9d %6d %6d | %6d %12d | %12d\n", f, s.Readings, s.Wrong, s.Gross, s.Named, s.Right, s.Found)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
