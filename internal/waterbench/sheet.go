package waterbench

import (
	"math"
	"strings"

	"driftline/units"
)

// Read works out all that follows from what was measured of one water. Any
// subset will do; only what no aquarium can have is an error.
func Read(s Sample) (Sheet, error) {
	w, err := take(s)
	if err != nil {
		return Sheet{}, err
	}
	return w.sheet(), nil
}

// sheet tells what follows, in the order it is shown.
func (w *water) sheet() Sheet {
	s := Sheet{Name: w.name, water: w}
	for _, g := range []Group{
		w.saltGroup(), w.alkalinityGroup(), w.carbonGroup(), w.ammoniaGroup(),
		w.oxygenGroup(), w.ionGroup(), w.nutrientGroup(), w.unitGroup(),
	} {
		if len(g.Findings) > 0 {
			s.Groups = append(s.Groups, g)
		}
	}
	s.Missing, s.Warnings = w.missing(), w.warnings
	return s
}

// Find is a finding by its key.
func (s *Sheet) Find(key string) (Finding, bool) {
	for _, g := range s.Groups {
		for _, f := range g.Findings {
			if f.Key == key {
				return f, true
			}
		}
	}
	return Finding{}, false
}

// show writes a figure with its doubt; a quantity's units as they are usually written.
func show(f figure, unit string) string { return showQ("", f, unit) }

func showQ(q units.Quantity, f figure, unit string) string {
	return strings.TrimSpace(units.FormatPM(q, f.v, f.sd, unit))
}

// add puts a finding into a group unless it is no number.
func (g *Group) add(f Finding) {
	if math.IsNaN(f.Value) || math.IsInf(f.Value, 0) || math.IsNaN(f.SD) || math.IsInf(f.SD, 0) {
		return
	}
	if f.Text == "" {
		f.Text = show(figure{f.Value, f.SD}, f.Unit)
	}
	g.Findings = append(g.Findings, f)
}

func (f figure) finding(key, title, unit, says string, assumed ...[]string) Finding {
	out := Finding{Key: key, Title: title, Value: f.v, SD: f.sd, Unit: unit, Says: says}
	for _, a := range assumed {
		out.Assumed = append(out.Assumed, a...)
	}
	return out
}

// tooManyDigits is where a figure in a smaller unit no longer helps anybody.
const tooManyDigits = 1e5

// unitGroup turns what was typed into the other usual units of its quantity.
func (w *water) unitGroup() Group {
	g := Group{Title: "In other units"}
	for _, q := range units.Quantities() {
		f, ok := w.got[q]
		if !ok || q == units.Salinity || q == units.Alkalinity || q == units.PH || q == units.Oxygen {
			continue // these have groups of their own
		}
		for _, to := range q.Units() {
			if to == w.unit[q] {
				continue
			}
			c, err := convert(q, f, q.Default(), to)
			if err != nil || c.v > tooManyDigits {
				continue
			}
			out := c.finding(string(q)+", "+to, string(q), to, "")
			out.Text = showQ(q, c, to)
			if note := units.Assumption(q, q.Default(), to); note != "" {
				out.Assumed = []string{note}
			}
			g.add(out)
		}
	}
	return g
}

// missing tells what else to measure, the most telling first.
func (w *water) missing() []string {
	var out []string
	say := func(q units.Quantity, text string) {
		if !w.has(q) {
			out = append(out, text)
		}
	}
	if w.has(units.PH) {
		say(units.Alkalinity, "With alkalinity it could be told how much carbon dioxide the water holds, and why its pH is what it is.")
	}
	if w.has(units.Alkalinity) {
		say(units.PH, "With pH it could be told how much carbon dioxide the water holds and how far it is saturated with aragonite.")
	}
	if w.has(units.TotalAmmonia) {
		say(units.PH, "With pH it could be told how much of the ammonia is the dangerous, un-ionised kind.")
	}
	say(units.Salinity, "With salinity every figure becomes surer, and it can be told whether an ion is low or the water only dilute; until then 35 ± 1.5 is taken.")
	say(units.Temperature, "With the temperature carbon dioxide, oxygen and ammonia become surer; until then 25.5 ± 1.5 °C is taken.")
	if w.has(units.Alkalinity) && w.has(units.PH) {
		say(units.Calcium, "With calcium the saturation of aragonite would not rest on salinity alone.")
	}
	if w.has(units.Nitrate) {
		say(units.Phosphate, "With phosphate the ratio of nitrogen to phosphorus could be told.")
	}
	if w.has(units.Phosphate) {
		say(units.Nitrate, "With nitrate the ratio of nitrogen to phosphorus could be told.")
	}
	return out
}
