package waterbench

import (
	"fmt"
	"math"

	"driftline/seawater"
	"driftline/units"
)

// linesAt are the pressures of carbon dioxide drawn beside open air, µatm.
var linesAt = []float64{250, 600, 1000, 1500}

// lines draws where water of each pressure stands, wide enough for the tank's own
// points and its band.
func (g *diagnosis) lines() error {
	low, high := g.reach()
	air := openAir(&g.w.sea)
	all := []CO2Line{
		{UAtm: linesAt[0]},
		{UAtm: air.v, OpenAir: true, Label: fmt.Sprintf("open air, %.0f ppm", openAirPPM)},
		{UAtm: linesAt[1]}, {UAtm: linesAt[2]}, {UAtm: linesAt[3]},
	}
	for i := range all {
		if !all[i].OpenAir {
			all[i].Label = pressure(all[i].UAtm)
		}
		const steps = 20
		for n := range steps + 1 {
			dkh := low + (high-low)*float64(n)/steps
			ta, err := g.perKg(dkh)
			if err != nil {
				return err
			}
			c, err := g.w.sea.Solve(seawater.TA(ta), seawater.PCO2(all[i].UAtm))
			if err != nil {
				continue
			}
			all[i].Points = append(all[i].Points, Place{CO2: Estimate{Mean: all[i].UAtm},
				Alkalinity: Estimate{Mean: g.shownAlkalinity(figure{v: dkh}).v}, PH: Estimate{Mean: g.shownPH(g.w, c.PHTotal)}})
		}
	}
	g.Lines = all
	return nil
}

// reach is the range of alkalinity drawn, dKH.
func (g *diagnosis) reach() (low, high float64) {
	low, high = 6, 11
	see := func(v, unit float64) { low, high = math.Min(low, v-unit), math.Max(high, v+unit) }
	f := g.w.got[units.Alkalinity]
	see(f.v, 2*f.sd+0.5)
	for _, p := range g.Recent {
		if dkh, err := units.Convert(units.Alkalinity, p.Alkalinity.Mean, g.AlkalinityUnit, "dKH"); err == nil {
			see(dkh, 0.5)
		}
	}
	return math.Max(low, 1), math.Min(high, 30)
}

// perKg is alkalinity of so many dKH in this water, µmol/kg.
func (g *diagnosis) perKg(dkh float64) (float64, error) {
	meq, err := units.Convert(units.Alkalinity, dkh, "dKH", "meq/L")
	if err != nil {
		return 0, err
	}
	return seawater.PerKilogram(meq*1000, g.w.sp.v, g.w.tempC.v)
}

// outcomes works out what airing and raising alkalinity would do.
func (g *diagnosis) outcomes() (err error) {
	if g.Aired, err = g.outcome("aired to balance with open air", func(sea *seawater.Water, x deed) (float64, error) {
		return solved(sea, x.ta, x.air)
	}); err != nil {
		return err
	}
	g.Aired.Says = fmt.Sprintf("Aired until it is in balance with open air, pH would come to %s.", g.words(g.Aired))
	if g.Halfway, err = g.outcome("aired halfway to open air", func(sea *seawater.Water, x deed) (float64, error) {
		return solved(sea, x.ta, (x.co2+x.air)/2)
	}); err != nil {
		return err
	}
	g.Halfway.Says = fmt.Sprintf("Halfway there, at %s, it would come to %s.",
		pressure((g.CO2.Mean+openAir(&g.w.sea).v)/2), g.words(g.Halfway))
	to, ta, err := g.raisedTo()
	if err != nil {
		return err
	}
	if g.Raised, err = g.outcome("alkalinity raised to "+to, func(sea *seawater.Water, x deed) (float64, error) {
		return solved(sea, ta, x.co2)
	}); err != nil {
		return err
	}
	g.Raised.Says = fmt.Sprintf("With alkalinity raised to %s and the air as it is, it would come to %s.", to, g.words(g.Raised))
	return nil
}

// words are the figure of an outcome and what is gained.
func (g *diagnosis) words(o Outcome) string {
	return fmt.Sprintf("%s %s (%s)", show(o.PH.figure(), ""), g.PHUnit, signed(o.Gain.Mean))
}

// pressure writes a pressure of carbon dioxide that has no doubt of its own.
func pressure(uatm float64) string { return bare(show(figure{uatm, 5}, "µatm"), "µatm") }

func signed(v float64) string { return fmt.Sprintf("%+.2f", v) }

// raisedTo is the aim of alkalinity, or 1 dKH more where it is there already.
func (g *diagnosis) raisedTo() (shown string, ta float64, err error) {
	dkh := g.w.got[units.Alkalinity].v + 1
	if aim := g.AlkalinityBand.Aim; aim != nil {
		v, err := units.Convert(units.Alkalinity, *aim, g.AlkalinityUnit, "dKH")
		if err == nil && v > dkh-0.7 {
			dkh = v
		}
	}
	ta, err = g.perKg(dkh)
	return units.Format(units.Alkalinity, g.shownAlkalinity(figure{v: dkh}).v, g.AlkalinityUnit), ta, err
}

// deed is a water about to be changed: alkalinity in µmol/kg, its own pressure of
// carbon dioxide and that of open air in µatm.
type deed struct{ ta, co2, air float64 }

func solved(sea *seawater.Water, ta, uatm float64) (float64, error) {
	c, err := sea.Solve(seawater.TA(ta), seawater.PCO2(uatm))
	return c.PHTotal, err
}

// outcome carries the doubts of pH, alkalinity, salinity, temperature and air
// into where pH would come to and what that gains.
func (g *diagnosis) outcome(name string, after func(*seawater.Water, deed) (float64, error)) (Outcome, error) {
	in := []figure{g.w.ph, g.w.ta, g.w.sp, g.w.tempC, {openAirPPM, openAirSD}}
	both := func(gain bool) (figure, error) {
		return carry(func(x []float64) (float64, error) {
			sea, err := seawater.NewWater(x[2], x[3], basisFor(g.w.sp.v, g.w.tempC.v))
			if err != nil {
				return 0, err
			}
			now, err := sea.Solve(seawater.TA(x[1]), seawater.PH(x[0]))
			if err != nil {
				return 0, err
			}
			air, err := sea.AirPCO2(x[4])
			if err != nil {
				return 0, err
			}
			pH, err := after(&sea, deed{ta: x[1], co2: now.PCO2, air: air})
			if gain {
				pH -= x[0]
			}
			return pH, err
		}, in...)
	}
	pH, err := both(false)
	if err != nil {
		return Outcome{}, err
	}
	gain, err := both(true)
	pH.v = g.shownPH(g.w, pH.v)
	return Outcome{Name: name, PH: estimateOf(pH), Gain: estimateOf(gain)}, err
}

// tell writes the diagnosis and what it rests on.
func (g *diagnosis) tell() {
	g.Says = g.verdict()
	g.Findings = append(g.Findings, fmt.Sprintf("The water holds %s of carbon dioxide, %s times what open air leaves in it: %s more than open air.",
		show(g.CO2.figure(), "µatm"), show(g.Ratio.figure(), ""), chance(g.ChanceAboveAir)))
	if p := g.Day; len(p) == 2 {
		g.Findings = append(g.Findings, fmt.Sprintf("It swings with the day: pH %s in the %s with %s of carbon dioxide, %s in the %s with %s.",
			show(p[0].PH.figure(), ""), p[0].Name, show(p[0].CO2.figure(), "µatm"), show(p[1].PH.figure(), ""), p[1].Name, show(p[1].CO2.figure(), "µatm")))
	} else {
		g.Findings = append(g.Findings, "The log does not show pH by the time of day; a morning and an evening reading on three days would tell what the lights do.")
	}
	if g.PHBand.Low != nil {
		level := g.Level.PH.figure()
		if p := 1 - chanceAbove(level, *g.PHBand.Low); p >= 0.2 {
			g.Findings = append(g.Findings, fmt.Sprintf("pH is %s below its band, which begins at %s.", chance(p), show(figure{v: *g.PHBand.Low}, g.PHUnit)))
		}
	}
	g.Findings = append(g.Findings, g.Aired.Says, g.Halfway.Says, g.Raised.Says)
	if g.ChanceAboveAir >= 0.6 {
		g.Findings = append(g.Findings, fmt.Sprintf("To be sure: stir or bubble a jug of this water outdoors for an hour and read its pH again at the tank's temperature. About %s means the room's air; unchanged means the meter or the alkalinity.", show(figure{v: g.Aired.PH.Mean}, "")))
	}
}

// verdict is the diagnosis in one sentence.
func (g *diagnosis) verdict() string {
	s, level := &g.shares, show(g.Level.PH.figure(), g.PHUnit)
	off := math.Abs(s.whole.v)
	if off <= s.whole.sd {
		return fmt.Sprintf("pH %s is about what water of 8 dKH has in open air: carbon dioxide moves it by %s and alkalinity by %s.", level, signed(s.carbon.v), signed(s.alkalinity.v))
	}
	low := s.whole.v < 0
	p, air := g.ChanceAir, g.ChanceAir >= 0.5
	if !air {
		p = 1 - p
	}
	head := fmt.Sprintf("pH %s is %.2f %s than water of 8 dKH has in open air, and that is %s more because of", level, off, map[bool]string{true: "lower", false: "higher"}[low], chance(p))
	switch {
	case low && air:
		return fmt.Sprintf("%s carbon dioxide in the water than of low alkalinity: open a window or bring in outside air before adding buffer (airing gives %s, raising alkalinity %s).",
			head, signed(g.Aired.Gain.Mean), signed(g.Raised.Gain.Mean))
	case low:
		return fmt.Sprintf("%s low alkalinity than of carbon dioxide: raising alkalinity gives %s, airing %s.", head, signed(g.Raised.Gain.Mean), signed(g.Aired.Gain.Mean))
	case air:
		return fmt.Sprintf("%s carbon dioxide taken out, by algae, lime water or a scrubber, than of high alkalinity; airing would bring it to %s.", head, show(g.Aired.PH.figure(), g.PHUnit))
	}
	return head + " high alkalinity than of missing carbon dioxide."
}
