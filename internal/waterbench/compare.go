package waterbench

import (
	"fmt"
	"math"
	"strings"

	"driftline/seawater"
	"driftline/units"
)

// sideBySide are the findings worth comparing, beside those that were typed; the
// rest only say the same in other units.
var sideBySide = map[string]bool{
	"salinity": true, "density": true, "alkalinity": true, "pH": true, "carbon dioxide": true, "dissolved carbon": true,
	"aragonite": true, "pH in air": true, "un-ionised ammonia": true, "oxygen": true, "oxygen saturation": true,
	"calcium to salinity": true, "magnesium to salinity": true, "potassium to salinity": true,
	"strontium to salinity": true, "boron to salinity": true, "N:P": true,
}

// Compare puts two waters side by side, finding by finding, in the order of the
// first: a is the tank, b what may go into it. What only one of them can tell is
// left out.
func Compare(a, b Sheet) []Difference {
	var out []Difference
	after := mixed(a.water, b.water, ChangeShare)
	for _, pair := range pairs(a, b, after) {
		out = append(out, pair.difference(a.Name, b.Name))
	}
	return out
}

// pair is one finding of two waters and of the first after a change.
type pair struct {
	a, b, after Finding
	changed     bool
	q           units.Quantity
}

// pairs are the typed quantities first, then what follows from them.
func pairs(a, b Sheet, after *Sheet) []pair {
	var out []pair
	if a.water == nil || b.water == nil {
		return nil
	}
	for _, q := range units.Quantities() {
		fa, okA := a.water.got[q]
		fb, okB := b.water.got[q]
		if _, told := a.Find(string(q)); told || !okA || !okB {
			continue
		}
		unit := a.water.unit[q]
		p := pair{a: typedFinding(q, fa, unit), b: typedFinding(q, fb, unit), q: q}
		if after != nil {
			if f, ok := after.water.got[q]; ok {
				p.after, p.changed = typedFinding(q, f, unit), true
			}
		}
		out = append(out, p)
	}
	for _, g := range a.Groups {
		for _, fa := range g.Findings {
			fb, ok := b.Find(fa.Key)
			if !sideBySide[fa.Key] || !ok {
				continue
			}
			p := pair{a: fa, b: fb}
			if q := units.Quantity(fa.Key); q.Default() != "" {
				p.q = q
			}
			if after != nil {
				p.after, p.changed = after.Find(fa.Key)
			}
			out = append(out, p)
		}
	}
	return out
}

// typedFinding is a measured quantity in the unit the first water uses.
func typedFinding(q units.Quantity, f figure, unit string) Finding {
	c, err := convert(q, f, q.Default(), unit)
	if err != nil {
		c, unit = f, q.Default()
	}
	out := c.finding(string(q), sentenceCase(string(q)), unit, "")
	out.Text = showQ(q, c, unit)
	return out
}

func (p *pair) difference(nameA, nameB string) Difference {
	d := Difference{Key: p.a.Key, Title: p.a.Title, Unit: p.a.Unit, A: p.a.Text, B: p.b.Text,
		Value: p.b.Value - p.a.Value, SD: math.Hypot(p.a.SD, p.b.SD)}
	by := figure{math.Abs(d.Value), d.SD}
	d.Text = p.show(figure{d.Value, d.SD}, d.Unit)
	if d.Value > 0 {
		d.Text = "+" + d.Text
	}
	d.Real = math.Abs(d.Value) > 2*d.SD
	if p.changed {
		d.AfterChange = p.after.Text
	}
	if !d.Real {
		return d
	}
	word := "lower"
	if d.Value > 0 {
		word = "higher"
	}
	d.Says = fmt.Sprintf("%s is %s in %s than in %s by %s.", d.Title, word, named(nameB, "the second water"),
		named(nameA, "the first"), p.show(by, d.Unit))
	if p.changed {
		d.Says += fmt.Sprintf(" A change of %.0f %% would move it from %s to %s%s.", 100*ChangeShare,
			bare(p.a.Text, d.Unit), bare(p.after.Text, d.Unit), gasNote[d.Key])
	}
	return d
}

// bare is a shown figure without its doubt, to the decimals the doubt leaves.
func bare(text, unit string) string {
	number, _, _ := strings.Cut(text, " ± ")
	if unit == "" || strings.HasSuffix(number, unit) {
		return number
	}
	return number + " " + unit
}

// gasNote goes with what air changes again.
var gasNote = map[string]string{
	"pH": ", before air evens it out", "carbon dioxide": ", before air evens it out",
	"temperature": ", before the heater evens it out",
	"aragonite":   ", before air evens its carbon dioxide out", "oxygen": ", before air evens it out", "oxygen saturation": ", before air evens it out",
}

func (p *pair) show(f figure, unit string) string {
	if p.q != "" && unit != "" {
		return showQ(p.q, f, unit)
	}
	return show(f, unit)
}

func named(name, other string) string {
	if name == "" {
		return other
	}
	return name
}

// mixed is water a once a share of it was replaced by b: what is dissolved goes
// by volume, carbon and alkalinity too, so pH follows from both. All is told at
// the temperature of a, which its heater holds. Nil where nothing is known of one of them.
func mixed(a, b *water, share float64) *Sheet {
	if a == nil || b == nil {
		return nil
	}
	blend := func(x, y figure) figure {
		return figure{(1-share)*x.v + share*y.v, math.Hypot((1-share)*x.sd, share*y.sd)}
	}
	m := &water{name: a.name, airUA: a.airUA, got: map[units.Quantity]figure{}, unit: map[units.Quantity]string{}, tempC: a.tempC}
	for q, f := range a.got {
		if g, ok := b.got[q]; ok {
			m.got[q], m.unit[q] = blend(f, g), q.Default()
		}
	}
	delete(m.got, units.PH)
	delete(m.got, units.Redox)
	if a.has(units.Oxygen) && b.has(units.Oxygen) {
		m.got[units.Oxygen] = blend(a.o2, b.o2)
	}
	m.sp, m.guessed = blend(a.sp, b.sp), a.guessed
	if m.settle() != nil {
		return nil
	}
	m.mixPH(a, b, share)
	s := m.sheet()
	return &s
}

// mixPH works the pH of the mixture out of its alkalinity and carbon.
func (m *water) mixPH(a, b *water, share float64) {
	if !a.has(units.PH) || !b.has(units.PH) || !m.has(units.Alkalinity) {
		return
	}
	ca, errA := a.sea.Solve(seawater.TA(a.ta.v), seawater.PH(a.ph.v))
	cb, errB := b.sea.Solve(seawater.TA(b.ta.v), seawater.PH(b.ph.v))
	if errA != nil || errB != nil {
		return
	}
	ta := (1-share)*a.ta.v + share*b.ta.v
	c, err := m.sea.Solve(seawater.TA(ta), seawater.DIC((1-share)*ca.DIC+share*cb.DIC))
	if err != nil {
		return
	}
	sd := math.Hypot((1-share)*a.ph.sd, share*b.ph.sd)
	m.ta.v, m.ph = ta, figure{c.PHTotal, sd}
	m.got[units.PH], m.unit[units.PH] = figure{c.PHNBS, sd}, "NBS"
}
