package cli

import (
	"fmt"
	"math"
	"strconv"

	"driftline/internal/makeup"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/internal/supply"
	"driftline/units"
)

// mixChange are the flags of the water change that follows a batch.
type mixChange struct {
	Tank   string  `placeholder:"NAME" help:"The tank whose water is changed with the batch."`
	Change string  `placeholder:"VOLUME" help:"Size of one change: 40L. Without it, a tenth of the tank."`
	Every  float64 `default:"7" placeholder:"DAYS" help:"The routine: a change every so many days."`
	Weeks  int     `default:"8" placeholder:"N" help:"How far the routine is followed."`
	Reach  string  `placeholder:"LIST" help:"Targets of the series of changes, such as \"magnesium=1350mg/L\". For the rest, the aims of the tank."`
	AsOf   string  `placeholder:"MOMENT" help:"From where the tank stands at this moment; later lines are ignored. Without it, now."`
}

// mixed is what mix prints as JSON.
type mixed struct {
	makeup.Batch
	Change *makeup.Change `json:"change,omitempty"`
	Shelf  *supply.Answer `json:"shelf,omitempty"`
}

// follow works out the change; nil where no tank is named.
func (c *mixChange) follow(j *job, dir string, b makeup.Batch) (*makeup.Change, error) {
	if c.Tank == "" {
		if c.Change != "" || c.Reach != "" || c.AsOf != "" {
			return nil, usage("add --tank NAME", "--change, --reach and --as-of speak of a tank, and none is named")
		}
		return nil, nil
	}
	facts, asOf, t, err := bookFlag{dir}.tankAt(j, c.Tank, c.AsOf)
	if err != nil {
		return nil, err
	}
	ask := makeup.Following{Tank: t.Tank.Name, EveryDays: c.Every, Weeks: c.Weeks}
	if !(c.Every > 0) || c.Weeks == 0 {
		return nil, usage("", "--every and --weeks are above 0; --every 7 --weeks 8 follows a weekly change for two months")
	}
	if c.Change != "" {
		if ask.Litres, err = parseVolume("--change", c.Change); err != nil {
			return nil, err
		}
	}
	if ask.Reach, err = makeup.ParseFigures(c.Reach); err != nil {
		return nil, usage("", "--reach: %v", err)
	}
	change, err := makeup.Follow(standing.NewDesk(), facts, b, ask, asOf)
	if err != nil {
		return nil, usage("", "%v", err)
	}
	change.Warnings, change.Uncounted, change.Quantities = orEmpty(change.Warnings), orEmpty(change.Uncounted), orEmpty(change.Quantities)
	return &change, nil
}

func printChange(j *job, c *makeup.Change) error {
	fmt.Fprintf(j.out, "\nThe change: %s\n\n", c.Says)
	t := table{head: []string{"", "tank now", "new water", "after the change", "step", "largest a day"}, right: map[int]bool{4: true, 5: true}}
	for _, m := range c.Quantities {
		most := ""
		if m.MostADay > 0 {
			most = units.Format(m.Quantity, m.MostADay, m.Unit)
		}
		t.add(prose.Capital(string(m.Quantity)), pmOf(m, m.Tank), pmOf(m, m.NewWater), pmOf(m, m.After), stepOf(m.Quantity, m.Jump, m.Unit), most)
	}
	if err := t.print(j.out); err != nil {
		return err
	}
	fmt.Fprintf(j.out, "\nWarmth: %s\nSalinity: %s\n", c.Temperature.Says, c.Salinity.Says)
	if err := printNeeded(j, c.Salinity); err != nil {
		return err
	}
	for _, m := range c.Quantities {
		if err := printSeries(j, m); err != nil {
			return err
		}
	}
	if err := printRoutine(j, c); err != nil {
		return err
	}
	printList(j, "Mind at the change:", c.Warnings)
	return nil
}

func pmOf(m makeup.Moved, e standing.Estimate) string {
	return units.FormatPM(m.Quantity, e.Mean, e.SD, m.Unit)
}

// stepOf writes a step with its direction.
func stepOf(q units.Quantity, v float64, unit string) string {
	text := units.Format(q, math.Abs(v), unit)
	if v < 0 {
		return "−" + text
	}
	return "+" + text
}

func printNeeded(j *job, s makeup.Matching) error {
	if len(s.Needed) == 0 {
		return nil
	}
	fmt.Fprintln(j.out)
	t := table{head: []string{"changes to the aim", "new water", "first step", ""}, right: map[int]bool{0: true, 1: true, 2: true}}
	for _, n := range s.Needed {
		word := ""
		if !n.Allowed {
			word = "too large a step"
		}
		t.add(strconv.Itoa(n.Changes), units.Format(units.Salinity, n.NewWater, s.Unit), stepOf(units.Salinity, n.Step, s.Unit), word)
	}
	return t.print(j.out)
}

func printSeries(j *job, m makeup.Moved) error {
	if m.Series.Target == nil {
		return nil
	}
	fmt.Fprintf(j.out, "\n%s to %s: %s\n", prose.Capital(string(m.Quantity)), units.Format(m.Quantity, *m.Series.Target, m.Unit), m.Series.Says)
	if len(m.Series.Rows) == 0 {
		return nil
	}
	t := table{head: []string{"  one change", "share", "changes", "water in all", "then"}, right: map[int]bool{0: true, 1: true, 2: true, 3: true}}
	for _, r := range m.Series.Rows {
		t.add(units.FormatAmount(r.Litres)+" L", fmt.Sprintf("%.0f %%", 100*r.Share), strconv.Itoa(r.Changes), units.FormatAmount(r.WaterL)+" L", units.Format(m.Quantity, r.Level, m.Unit))
	}
	return t.print(j.out)
}

func printRoutine(j *job, c *makeup.Change) error {
	fmt.Fprintf(j.out, "\nA routine of %s L every %s days, with the tank's own demand and the declared dosing:\n\n", units.FormatAmount(c.Litres), units.FormatAmount(c.EveryDays))
	t := table{head: []string{"", "demand a day", "dosed a day", fmt.Sprintf("after %d weeks", c.Weeks), "settles at, after a change", "before the next"}}
	for _, m := range c.Quantities {
		r := m.Routine
		t.add(prose.Capital(string(m.Quantity)), pmOf(m, r.Demand), units.Format(m.Quantity, r.Dosing, m.Unit), pmOf(m, r.End), settledWords(m, r.After), settledWords(m, r.Before))
	}
	if err := t.print(j.out); err != nil {
		return err
	}
	fmt.Fprintln(j.out)
	for _, m := range c.Quantities {
		fmt.Fprintf(j.out, "%s: %s\n", prose.Capital(string(m.Quantity)), m.Routine.Hold.Says)
	}
	return nil
}

// settledWords say where a routine settles; below nothing there is no level.
func settledWords(m makeup.Moved, e standing.Estimate) string {
	if e.Mean < 0 {
		return "runs out"
	}
	return pmOf(m, e)
}
