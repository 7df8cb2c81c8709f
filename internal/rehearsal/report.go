package rehearsal

import (
	"fmt"
	"io"
	"strings"
)

// Report is what a rehearsal found.
type Report struct {
	Options Options
	Cells   map[string]map[int]*Cell // by family and day
	Failed  []string                 // forecasts that could not be made
}

func newReport(o Options) Report {
	r := Report{Options: o, Cells: map[string]map[int]*Cell{}}
	for _, f := range Families {
		r.Cells[f] = map[int]*Cell{}
		for _, h := range Horizons {
			r.Cells[f][h] = &Cell{}
		}
	}
	return r
}

func (r *Report) add(s Sample) { r.Cells[s.Quantity][s.Day].add(s.Q, s.Base, s.Truth) }

// Family is all horizons of a family together.
func (r Report) Family(name string) Cell {
	var all Cell
	for _, h := range Horizons {
		all.merge(*r.Cells[name][h])
	}
	return all
}

// Ratio is the score over that of the baseline, the mean of the families'
// ratios: their units differ, so their scores cannot be added.
func (r Report) Ratio() float64 {
	sum := 0.0
	for _, f := range Families {
		sum += r.Family(f).Ratio()
	}
	return sum / float64(len(Families))
}

// Unmet lists the promises that do not hold: 80 % intervals between 75 and
// 85 %, 90 % intervals between 86 and 94 % for every family and horizon, each
// family no worse than the baseline, and 0.75 of it over all. slack widens the
// limits by so many standard errors of a share, for small rehearsals.
func (r Report) Unmet(slack float64) (out []string) {
	for _, f := range Families {
		for _, h := range Horizons {
			out = append(out, r.Cells[f][h].unmet(fmt.Sprintf("%s at %d days", f, h), slack)...)
		}
		if x := r.Family(f).Ratio(); !(x <= 1) {
			out = append(out, fmt.Sprintf("%s scores %.2f of the baseline, at most 1.00 is promised", f, x))
		}
	}
	if x := r.Ratio(); !(x <= 0.75) {
		out = append(out, fmt.Sprintf("over all %.2f of the baseline, at most 0.75 is promised", x))
	}
	return out
}

func (c Cell) unmet(where string, slack float64) (out []string) {
	if c.N == 0 {
		return []string{where + " was not rehearsed"}
	}
	in80, in90 := c.Held()
	if e := slack * standardError(0.8, c.N); in80 < 0.75-e || in80 > 0.85+e {
		out = append(out, fmt.Sprintf("%s: 80 %% intervals held %.1f %% of %d", where, 100*in80, c.N))
	}
	if e := slack * standardError(0.9, c.N); in90 < 0.86-e || in90 > 0.94+e {
		out = append(out, fmt.Sprintf("%s: 90 %% intervals held %.1f %% of %d", where, 100*in90, c.N))
	}
	return out
}

// Write prints the report as a table.
func (r Report) Write(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Rehearsal of %d tanks of the %s world, %d moments each, first seed %d\n\n", r.Options.Tanks, r.Options.World, r.Options.Moments, r.Options.Seed)
	fmt.Fprintf(&b, "%-11s %5s %6s | %7s %7s %8s %8s | %9s %9s %7s\n", "quantity", "days", "n", "in 80 %", "in 90 %", "under 80", "over 80", "score", "baseline", "ratio")
	for _, f := range Families {
		for _, h := range Horizons {
			writeCell(&b, f, fmt.Sprint(h), *r.Cells[f][h])
		}
		writeCell(&b, f, "all", r.Family(f))
	}
	fmt.Fprintf(&b, "\nScore over baseline, mean of the families: %.3f\n", r.Ratio())
	for _, s := range r.Unmet(0) {
		fmt.Fprintf(&b, "not met: %s\n", s)
	}
	for _, s := range r.Failed {
		fmt.Fprintf(&b, "failed: %s\n", s)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func writeCell(b *strings.Builder, family, days string, c Cell) {
	if c.N == 0 {
		fmt.Fprintf(b, "%-11s %5s %6d |\n", family, days, 0)
		return
	}
	in80, in90 := c.Held()
	n := float64(c.N)
	fmt.Fprintf(b, "%-11s %5s %6d | %7.1f %7.1f %8.1f %8.1f | %9.4g %9.4g %7.3f\n", family, days, c.N,
		100*in80, 100*in90, 100*float64(c.Below)/n, 100*float64(c.Above)/n, c.WIS/n, c.Base/n, c.Ratio())
}
