package waterbench

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"driftline/seawater"
	"driftline/units"
)

// ionOf pairs a quantity with the ion of the reference composition.
var ionOf = []struct {
	q   units.Quantity
	ion seawater.Ion
}{
	{units.Calcium, seawater.Calcium}, {units.Magnesium, seawater.Magnesium}, {units.Potassium, seawater.Potassium},
	{units.Strontium, seawater.Strontium}, {units.Boron, seawater.Boron},
}

// ionGroup tells each measured ion against what sea water of the same salinity
// holds: is it low, or is the water only dilute?
func (w *water) ionGroup() Group {
	g := Group{Title: "Ions against salinity"}
	for _, i := range ionOf {
		f, ok := w.got[i.q]
		if !ok {
			continue
		}
		ratio, err := carry(func(x []float64) (float64, error) { return seawater.IonRatio(i.ion, x[0], x[1], x[2]) }, f, w.sp, w.tempC)
		if err != nil {
			continue // the water is too fresh to compare with
		}
		natural, err := seawater.IonMgPerL(i.ion, 35, w.tempC.v)
		if err != nil {
			continue
		}
		name := string(i.q)
		percent := ratio.times(100)
		out := percent.finding(name+" to salinity", sentenceCase(name)+" against salinity", "%", w.ionSays(name, f, ratio, natural), w.guessed)
		out.Text = show(percent, "%")
		g.add(out)
		at35 := ratio.times(natural)
		in := at35.finding(name+" at 35", sentenceCase(name)+" brought to salinity 35", "mg/L",
			fmt.Sprintf("Sea water of 35 holds %s.", units.Format(i.q, natural, "mg/L")), w.guessed)
		in.Text = showQ(i.q, at35, "mg/L")
		g.add(in)
	}
	return g
}

// ionSays tells an ion that is short from water that is dilute.
func (w *water) ionSays(name string, f, ratio figure, natural float64) string {
	off := ratio.v - 1
	plain := f.v/natural - 1 // against water of 35
	apart := math.Abs(off) > 2*ratio.sd
	weak := math.Abs(w.sp.v-35) > 2*w.sp.sd
	p := chanceAbove(figure{math.Abs(off), ratio.sd}, 0)
	side := map[bool]string{true: "high", false: "low"}[off > 0]
	switch {
	case apart && weak && plain*off < 0:
		return fmt.Sprintf("%s is %s for its salinity by %.0f %%, which the strength of the water hides.", sentenceCase(name), side, 100*math.Abs(off))
	case apart:
		return fmt.Sprintf("%s itself is %s: %.0f %% off what sea water of this salinity holds, %s so.", sentenceCase(name), side, 100*math.Abs(off), chance(p))
	case weak && plain < 0 && w.sp.v < 35:
		return fmt.Sprintf("%s is not short; the water is only dilute: with the salinity right it would be right too.", sentenceCase(name))
	case weak && plain > 0 && w.sp.v > 35:
		return fmt.Sprintf("%s is not in excess; the water is only strong: with the salinity right it would be right too.", sentenceCase(name))
	}
	return fmt.Sprintf("As in sea water of this salinity, as far as the doubt of %.0f %% lets tell.", 100*ratio.sd)
}

func sentenceCase(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// nutrientGroup is the ratio of nitrogen to phosphorus, mole to mole.
func (w *water) nutrientGroup() Group {
	g := Group{Title: "Nutrients"}
	no3, okN := w.got[units.Nitrate]
	po4, okP := w.got[units.Phosphate]
	if !okN || !okP {
		return g
	}
	n := no3.times(1000 / massNO3)
	counted := []string{"nitrate"}
	for _, more := range []struct {
		q    units.Quantity
		mass float64
	}{{units.Nitrite, massNO2}, {units.TotalAmmonia, massNH4}} {
		if f, ok := w.got[more.q]; ok {
			add := f.times(1000 / more.mass)
			n = figure{n.v + add.v, math.Hypot(n.sd, add.sd)}
			counted = append(counted, string(more.q))
		}
	}
	p := po4.times(1000 / massPO4)
	g.add(n.finding("nitrogen", "Dissolved nitrogen", "µmol/L", "Counted from "+strings.Join(counted, ", ")+"."))
	g.add(p.finding("phosphorus", "Dissolved phosphorus", "µmol/L", "Counted from phosphate."))
	if !(p.v > 2*p.sd) {
		return g // too near its own doubt for a ratio
	}
	ratio := figure{n.v / p.v, n.v / p.v * math.Hypot(n.sd/math.Max(n.v, 1e-9), p.sd/p.v)}
	if n.v == 0 {
		ratio.sd = n.sd / p.v
	}
	g.add(ratio.finding("N:P", "Nitrogen to phosphorus, mole to mole", "to 1", ratioSays(ratio)))
	return g
}

func ratioSays(f figure) string {
	const note = "plankton takes up 16 to 1 (Redfield 1958), and both levels matter more than their ratio."
	switch above := chanceAbove(f, redfield); {
	case above >= 0.9:
		return "More nitrogen than phosphorus is to hand, " + chance(above) + ": " + note
	case above <= 0.1:
		return "More phosphorus than nitrogen is to hand, " + chance(1-above) + ": " + note
	}
	return "Not to be told from a balanced supply: " + note
}
