package waterbench

import (
	"fmt"
	"math"

	"driftline/seawater"
	"driftline/units"
)

// ammoniaGroup is un-ionised ammonia and what it means.
func (w *water) ammoniaGroup() Group {
	g := Group{Title: "Ammonia"}
	if !w.has(units.PH) {
		return g
	}
	share, err := w.ammoniaShare()
	if err != nil {
		w.warn("The share of un-ionised ammonia is not known for this water: %v.", err)
		return g
	}
	percent := figure{100 * share.v, 100 * share.sd}
	tan, measured := w.got[units.TotalAmmonia]
	if measured {
		nh3 := unionised(share, tan)
		g.add(nh3.finding("un-ionised ammonia", "Un-ionised ammonia", "mg/L NH3", ammoniaSays(nh3), w.guessed))
		n := nh3.times(massN / massNH3)
		g.add(n.finding("un-ionised ammonia, as N", "Un-ionised ammonia, as nitrogen", "mg/L N",
			"Juvenile shrimp were safe up to 0.16 mg/L N in the long run at salinity 35 (Lin and Chen 2001).", w.guessed))
	}
	g.add(percent.finding("un-ionised share", "Un-ionised share of ammonia", "%", w.shareSays(share), w.guessed))
	return g
}

// ammoniaShare is the un-ionised share of total ammonia, with the formula's own doubt.
func (w *water) ammoniaShare() (figure, error) {
	share, err := carry(func(x []float64) (float64, error) { return seawater.AmmoniaFractionTotal(x[0], x[1], x[2]) }, w.sp, w.tempC, w.ph)
	share.sd = math.Hypot(share.sd, ammoniaFormula*share.v)
	return share, err
}

// unionised is un-ionised ammonia in mg/L NH3 of total ammonia in mg/L NH4.
func unionised(share, tan figure) figure {
	k := massNH3 / massNH4
	return figure{share.v * tan.v * k, k * math.Hypot(share.v*tan.sd, share.sd*tan.v)}
}

func (f figure) times(k float64) figure { return figure{f.v * k, math.Abs(f.sd * k)} }

// ammoniaSays tells the danger by the chance that each limit is passed.
func ammoniaSays(f figure) string {
	hour, days := chanceAbove(f, ammoniaOneHour), chanceAbove(f, ammoniaFourDays)
	switch {
	case hour >= 0.5:
		return fmt.Sprintf("Dangerous at this pH: %s above the %g mg/L that salt-water life should not meet even for an hour (US EPA 1989); change water now.", chance(hour), ammoniaOneHour)
	case days >= 0.5:
		return fmt.Sprintf("Harmful if it lasts: %s above the %g mg/L that should not be exceeded over four days (US EPA 1989); change water and find the source.", chance(days), ammoniaFourDays)
	case days >= 0.05:
		return fmt.Sprintf("Not likely a danger at this pH, but %s above the four-day limit of %g mg/L (US EPA 1989): test again.", chance(days), ammoniaFourDays)
	}
	return fmt.Sprintf("No danger at this pH: %s above the four-day limit of %g mg/L (US EPA 1989).", chance(days), ammoniaFourDays)
}

func (w *water) shareSays(share figure) string {
	higher, err := seawater.AmmoniaFractionTotal(w.sp.v, w.tempC.v, w.ph.v+0.3)
	if err != nil || !(share.v > 0) {
		return ""
	}
	total := ammoniaFourDays / share.v * massNH4 / massNH3
	return fmt.Sprintf("At this pH %s of total ammonia would reach the four-day limit; a pH 0.3 higher makes the share %.1f times as large.",
		units.Format(units.TotalAmmonia, total, "mg/L NH4"), higher/share.v)
}

// oxygenGroup is what oxygen the water can hold and how full it is.
func (w *water) oxygenGroup() Group {
	g := Group{Title: "Oxygen"}
	full, err := oxygenFull(w.sp, w.tempC)
	if err != nil || !w.has(units.Temperature) && !w.has(units.Oxygen) {
		return g
	}
	if w.has(units.Oxygen) {
		pc := w.o2.over(full).times(100)
		g.add(w.o2.finding("oxygen", "Oxygen", "mg/L", oxygenSays(w.o2), w.guessed))
		g.add(pc.finding("oxygen saturation", "Oxygen saturation", "%", saturationSays(pc), w.guessed, []string{"air pressure of one atmosphere"}))
	}
	g.add(full.finding("oxygen in air", "Oxygen in balance with air", "mg/L",
		"All that air brings in at this temperature and salinity; warmer or saltier water holds less.", w.guessed, []string{"air pressure of one atmosphere"}))
	if perKg, err := carry(func(x []float64) (float64, error) { return seawater.OxygenSolubility(x[0], x[1]) }, w.sp, w.tempC); err == nil {
		g.add(perKg.finding("oxygen in air, µmol/kg", "Oxygen in balance with air", "µmol/kg", "", w.guessed))
	}
	return g
}

func oxygenSays(f figure) string {
	if p := 1 - chanceAbove(f, oxygenLow); p >= 0.2 {
		return fmt.Sprintf("%s below the %g mg/L a tank should have (common practice): stir the surface.", sentenceCase(chance(p)), oxygenLow)
	}
	return fmt.Sprintf("Enough: %s above the %g mg/L a tank should have (common practice).", chance(chanceAbove(f, oxygenLow)), oxygenLow)
}

func saturationSays(f figure) string {
	switch above, below := chanceAbove(f, 105), 1-chanceAbove(f, 95); {
	case above >= 0.5:
		return "More than air alone would leave in it: algae and corals in light, or fine bubbles."
	case below >= 0.5:
		return "Less than air would bring in: more is breathed than the surface lets in."
	}
	return "In balance with air as far as can be told."
}
