package web

import (
	"fmt"
	"math"
	"net/url"
	"slices"
	"strings"

	"driftline/internal/book"
	"driftline/internal/chart"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/internal/whatif"
	"driftline/units"
)

func (s *Server) workWhatif(f *book.Facts, t *book.TankFacts, ask url.Values) whatifTold {
	a, err := whatifAsked(f, t, ask)
	if err != nil {
		return whatifTold{Problem: sentence(err.Error())}
	}
	all, err := whatif.Work(s.Desk, f, a, f.AsOf)
	if err != nil {
		return whatifTold{Problem: sentence(err.Error())}
	}
	v := whatifTold{Tank: t.Tank.Name, Days: a.Days, Lead: differs(all), Uses: usesOf(all)}
	for _, o := range all {
		v.Plans = append(v.Plans, planSummary{prose.Capital(o.Name), strings.TrimSpace(afterColon(o.Says))})
		for _, text := range o.Assumed {
			if !slices.Contains(v.Assumed, text) {
				v.Assumed = append(v.Assumed, text)
			}
		}
	}
	for i := range all[0].Courses {
		v.Quantities = append(v.Quantities, s.panelsOf(f, t, all, i))
	}
	return v
}

// afterColon leaves the plan's name out of its sentence, which begins with it.
func afterColon(says string) string {
	if _, rest, ok := strings.Cut(says, ": "); ok {
		return prose.Capital(rest)
	}
	return says
}

// panelsOf sets one quantity under every plan side by side.
func (s *Server) panelsOf(f *book.Facts, t *book.TankFacts, all []whatif.Outcome, i int) quantityPlans {
	first := all[0].Courses[i]
	to := conversion{units.Quantity(first.Quantity), first.Unit, or(shownUnit(f, first.Quantity), first.Unit), first.Days[0].P50}
	fans := chart.Fans{Name: first.Quantity, Unit: to.to, Decimals: units.Decimals(to.q, to.to), Zone: t.Location,
		Band: chart.Band{Low: orNone(to.limit(first.Low)), Aim: orNone(to.limit(first.Aim)), High: orNone(to.limit(first.High))}}
	out := quantityPlans{Name: first.Quantity, Href: quantityPath(t.Tank.Name, first.Quantity)}
	for _, o := range all {
		c := o.Courses[i]
		words := panelWords(to, c, o.Name)
		p := chart.Panel{Plan: o.Name, Says: strings.TrimSpace(words.End + " at the end. " + words.Leaves)}
		for _, d := range c.Days {
			p.Days = append(p.Days, chart.Day{At: d.At, P05: to.value(d.P05), P25: to.value(d.P25), P50: to.value(d.P50), P75: to.value(d.P75), P95: to.value(d.P95)})
		}
		fans.Panels = append(fans.Panels, p)
		out.Panels = append(out.Panels, words)
	}
	for k, picture := range chart.FanPanels(fans, "whatif-"+strings.ReplaceAll(first.Quantity, " ", "-")) {
		out.Panels[k].Picture = picture
	}
	return out
}

func orNone(v *float64) float64 {
	if v == nil {
		return math.NaN()
	}
	return *v
}

func panelWords(to conversion, c whatif.Course, plan string) panel {
	last := c.Days[len(c.Days)-1]
	v := panel{Plan: prose.Capital(plan), End: units.FormatPM(to.q, to.value(last.P50), math.Abs(to.value(last.P95)-to.value(last.P05))/(2*1.645), to.to)}
	if c.Low != nil || c.High != nil {
		v.Leaves = sidesOf(c)
		if c.POutAtEnd >= 0.5 {
			v.Shape = "outside"
		}
	}
	if c.Against != nil && (c.Against.P05 != 0 || c.Against.P95 != 0) {
		v.Against = gapWords(to, c.Against)
	}
	return v
}

// sidesOf says how likely it ends in its band, or on which side of it.
func sidesOf(c whatif.Course) string {
	const worthTelling = 0.05
	var out []string
	if c.PBelowAtEnd >= worthTelling {
		out = append(out, "below its band: "+standing.ChanceWords(c.PBelowAtEnd))
	}
	if c.PAboveAtEnd >= worthTelling {
		out = append(out, "above its band: "+standing.ChanceWords(c.PAboveAtEnd))
	}
	if len(out) == 0 {
		out = []string{"in its band: " + standing.ChanceWords(1-c.POutAtEnd)}
	}
	return prose.Capital(strings.Join(out, "; ")) + "."
}

// differs says in which quantity the plans come out most unlike.
func differs(all []whatif.Outcome) string {
	best, spread := -1, 0.05
	var least, most int
	for i, c := range all[0].Courses {
		if c.Low == nil && c.High == nil {
			continue
		}
		low, high := 0, 0
		for k := range all {
			if all[k].Courses[i].POutAtEnd < all[low].Courses[i].POutAtEnd {
				low = k
			}
			if all[k].Courses[i].POutAtEnd > all[high].Courses[i].POutAtEnd {
				high = k
			}
		}
		if d := all[high].Courses[i].POutAtEnd - all[low].Courses[i].POutAtEnd; d > spread {
			best, spread, least, most = i, d, low, high
		}
	}
	switch {
	case len(all) == 1:
		return ""
	case best < 0:
		return "The plans leave the bands about as likely as each other."
	}
	out := func(k int) string { return standing.ChanceFigure(all[k].Courses[best].POutAtEnd) }
	return fmt.Sprintf("They differ most in %s: to end outside its band, %s with %s, %s with %s.", all[0].Courses[best].Quantity, out(least), all[least].Name, out(most), all[most].Name)
}

// gapWords says how far the plan ends from going on, draw by draw.
func gapWords(to conversion, g *whatif.Gap) string {
	if (g.P05 < 0) != (g.P95 < 0) { // it may be either way
		return "Hardly another level than going on."
	}
	difference := func(v float64) float64 { return math.Abs(v * to.slope()) }
	word, d := "higher", units.Decimals(to.q, to.to)
	if g.P50 < 0 {
		word = "lower"
	}
	near, far := min(difference(g.P05), difference(g.P95)), max(difference(g.P05), difference(g.P95))
	if units.Number(far, d) == units.Number(0, d) {
		return "As going on."
	}
	return fmt.Sprintf("%s %s than going on, nine cases in ten %s to %s.", units.Format(to.q, difference(g.P50), to.to), word, units.Number(near, d), units.Number(far, d))
}

// usesOf is what each plan takes.
func usesOf(all []whatif.Outcome) planTable {
	t := planTable{}
	hands, water, topped, cost := planRow{Name: "Work by hand"}, planRow{Name: "New salt water"}, planRow{Name: "Top-off"}, planRow{Name: "Cost"}
	var stuffs []string
	for _, o := range all {
		t.Plans = append(t.Plans, prose.Capital(o.Name))
		hands.Cells = append(hands.Cells, fmt.Sprintf("%d times", o.HandActions))
		water.Cells = append(water.Cells, units.FormatAmount(math.Round(o.WaterL))+" L")
		topped.Cells = append(topped.Cells, units.FormatAmount(math.Round(o.TopOffL))+" L")
		text := "not known"
		if o.Currency != "" || o.Cost > 0 {
			text = strings.TrimSpace(units.Number(o.Cost, 2) + " " + o.Currency)
			if len(o.Unpriced) > 0 {
				text += ", without " + list(o.Unpriced)
			}
		}
		cost.Cells = append(cost.Cells, text)
		for _, u := range o.Used {
			if !slices.Contains(stuffs, u.Substance+"|"+u.Unit) {
				stuffs = append(stuffs, u.Substance+"|"+u.Unit)
			}
		}
	}
	t.Rows = []planRow{hands, water, topped}
	slices.Sort(stuffs)
	for _, stuff := range stuffs {
		name, unit, _ := strings.Cut(stuff, "|")
		row := planRow{Name: prose.Capital(name)}
		for _, o := range all {
			amount := 0.0
			for _, u := range o.Used {
				if u.Substance == name && u.Unit == unit {
					amount = u.Amount
				}
			}
			row.Cells = append(row.Cells, largeAmount(amount, unit))
		}
		t.Rows = append(t.Rows, row)
	}
	t.Rows = append(t.Rows, cost)
	return t
}

// largeAmount writes grams and millilitres, a thousand and more of them as kg and L.
func largeAmount(v float64, unit string) string {
	switch {
	case v == 0:
		return "none"
	case v >= 1000 && unit == "g":
		return units.Number(v/1000, 2) + " kg"
	case v >= 1000 && unit == "mL":
		return units.Number(v/1000, 2) + " L"
	case v >= 100:
		return units.Number(v, 0) + " " + unit
	}
	return units.Number(v, 1) + " " + unit
}
