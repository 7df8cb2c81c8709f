package web

import (
	"fmt"
	"html/template"
	"math"
	"net/url"
	"strconv"
	"strings"

	"driftline/internal/book"
	"driftline/internal/chart"
	"driftline/internal/makeup"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/units"
)

// changeView is the water change that follows a batch.
type changeView struct {
	Tank, Says              string
	Warnings                []string
	Rows                    []moveRow
	Warmth, Salinity        string
	Needed                  []neededRow
	Series                  []seriesView
	RoutineHead, RoutineWhy string
	Routines                []settlingView
}

// moveRow is what the change does to a quantity; the figures are in Unit.
type moveRow struct{ Name, Unit, Now, After, Step string }

type neededRow struct{ Changes, NewWater, Step, Word string }

type seriesView struct {
	Name, Says string
	Rows       []seriesLine
}

type seriesLine struct{ One, Changes, Water, Level string }

// settlingView is how one quantity settles under the routine.
type settlingView struct {
	Name, Says, Hold string
	Figure           template.HTML
}

// fillChange fills the part of the form about the change.
func fillChange(v *mixView, f *book.Facts, q url.Values) {
	v.Change, v.Every, v.Weeks = strings.TrimSpace(q.Get("change")), strings.TrimSpace(q.Get("every")), strings.TrimSpace(q.Get("weeks"))
	v.ChangeUsual = "a tenth"
	if len(f.Tanks) == 0 {
		return
	}
	v.ChangeIn = []option{{"", "no tank", v.Tank == ""}}
	for i := range f.Tanks {
		name := f.Tanks[i].Tank.Name
		v.ChangeIn = append(v.ChangeIn, option{name, name, same(name, v.Tank)})
	}
}

// workChange works the change out, or says in one sentence why it cannot.
func (s *Server) workChange(f *book.Facts, b makeup.Batch, ask makeup.Following) (*changeView, string) {
	c, err := makeup.Follow(s.Desk, f, b, ask, f.AsOf)
	if err != nil {
		return nil, sentence(err.Error())
	}
	v := &changeView{Tank: c.Tank, Says: c.Says, Warnings: c.Warnings, Warmth: c.Temperature.Says, Salinity: c.Salinity.Says}
	for _, n := range c.Salinity.Needed {
		row := neededRow{strconv.Itoa(n.Changes), units.Format(units.Salinity, n.NewWater, c.Salinity.Unit), stepWords(units.Salinity, n.Step, c.Salinity.Unit), ""}
		if !n.Allowed {
			row.Word = "too large a step"
		}
		v.Needed = append(v.Needed, row)
	}
	v.RoutineHead = fmt.Sprintf("If it is repeated every %s days", units.FormatAmount(c.EveryDays))
	v.RoutineWhy = fmt.Sprintf("%s L each time for %d weeks, with the tank's own demand and the declared dosing. Declared water changes are left out: these stand in their place.",
		units.FormatAmount(c.Litres), c.Weeks)
	for i, m := range c.Quantities {
		v.add(m, "saw-"+strconv.Itoa(i), c.Tank)
	}
	return v, ""
}

func (v *changeView) add(m makeup.Moved, id, tank string) {
	bare := func(e standing.Estimate) string {
		return strings.TrimSuffix(units.FormatPM(m.Quantity, e.Mean, e.SD, m.Unit), " "+m.Unit)
	}
	name := string(m.Quantity)
	v.Rows = append(v.Rows, moveRow{prose.Capital(name), m.Unit, bare(m.Tank), bare(m.After), strings.TrimSuffix(stepWords(m.Quantity, m.Jump, m.Unit), " "+m.Unit)})
	if m.Series.Target != nil {
		s := seriesView{Name: name, Says: m.Series.Says}
		for _, r := range m.Series.Rows {
			s.Rows = append(s.Rows, seriesLine{fmt.Sprintf("%s L (%.0f %%)", units.FormatAmount(r.Litres), 100*r.Share), strconv.Itoa(r.Changes),
				units.FormatAmount(r.WaterL) + " L", units.Format(m.Quantity, r.Level, m.Unit)})
		}
		v.Series = append(v.Series, s)
	}
	v.Routines = append(v.Routines, settlingView{Name: name, Says: m.Routine.Says, Hold: m.Routine.Hold.Says, Figure: chart.SawFigure(sawOf(m, tank), id)})
}

// sawOf is the picture of a routine. Below nothing there is no level, and nothing
// settles.
func sawOf(m makeup.Moved, tank string) chart.Saw {
	limit := func(v *float64) float64 {
		if v == nil {
			return math.NaN()
		}
		return *v
	}
	p := chart.Saw{Name: string(m.Quantity) + ", " + tank, Unit: m.Unit, Decimals: units.Decimals(m.Quantity, m.Unit),
		Band: chart.Band{Low: limit(m.Low), Aim: limit(m.Aim), High: limit(m.High)}, After: m.Routine.After.Mean, Before: m.Routine.Before.Mean}
	if min(p.After, p.Before) < 0 {
		p.After = math.NaN()
	}
	for _, t := range m.Routine.Teeth {
		p.Teeth = append(p.Teeth, chart.Tooth{Day: t.Day, Mean: max(t.Mean, 0), SD: t.SD})
	}
	return p
}

// stepWords write a change with its direction.
func stepWords(q units.Quantity, v float64, unit string) string {
	text := units.Format(q, math.Abs(v), unit)
	if v < 0 {
		return "−" + text
	}
	return "+" + text
}
