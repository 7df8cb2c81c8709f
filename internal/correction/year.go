package correction

import (
	"fmt"
	"math"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/internal/substance"
	"driftline/seawater"
	"driftline/units"
)

// jumps tells how far one dose, and the whole at once, would move the pH.
func (w *worker) jumps() {
	one, known := w.jump(w.largest())
	if !known || one < 0.005 {
		return
	}
	says := fmt.Sprintf("One dose moves the pH by about %.2f at once; it settles again as the water breathes.", one)
	w.plan.SideEffects = append(w.plan.SideEffects, SideEffect{"pH", one, "", "one dose", says})
	if all, known := w.jump(w.plan.Total.Amount); known && len(w.plan.Steps) > 1 {
		w.plan.SideEffects = append(w.plan.SideEffects, SideEffect{"pH", all, "", "all of it at once",
			fmt.Sprintf("All of it at once would move the pH by about %.2f, against %.2f a dose as planned.", all, one)})
	}
}

const (
	yearDays   = 365.0
	driftShown = 0.005 // of what seawater has, under which an ion's drift is not told
	psuShown   = 0.05
)

// year tells what keeping the level up with this substance for a year would leave
// behind: the demand of a day, made up for each day, less what water changes take
// out. With a share k of the water changed a day, so much a day adds up to
// (1 − exp(−365 k))/k days' worth. What is given for the demand itself is used up;
// the ions that come along stay, and make the salinity.
func (w *worker) year(water substance.Water) {
	if w.plan.Demand.Mean <= 0 || w.plan.Demand.Mean < w.plan.Demand.SD {
		return
	}
	day, k := w.whole(w.plan.Demand.Mean), w.changed()
	worth := yearDays
	if k > 0 {
		worth = (1 - math.Exp(-yearDays*k)) / k
	}
	var left []SideEffect
	grams := 0.0
	for _, ion := range w.sub.Along(day*worth, water) {
		if ion.Name == string(w.ask.Quantity) {
			continue
		}
		grams += ion.MgPerL / 1000
		if ion.Relative >= driftShown {
			left = append(left, SideEffect{ion.Name, ion.MgPerL, "mg/L", aYear,
				fmt.Sprintf("%s up by %.0f mg/L, %.1f %% of what seawater has.", prose.Capital(ion.Name), ion.MgPerL, 100*ion.Relative)})
		}
	}
	perKg, err := seawater.PerKilogram(grams, water.SP, water.TempC)
	if psu := perKg / (35.16504 / 35); err == nil && psu >= psuShown {
		left = append(left, SideEffect{"salinity", psu, "PSU", aYear,
			fmt.Sprintf("Salinity up by %.1f PSU, unless the water is thinned to hold it.", psu)})
	}
	w.plan.Year = fmt.Sprintf("Making up the whole demand with it takes about %s %s a day, %s a year. ", units.FormatAmount(substance.Round(day)), w.sub.Unit(), bulk(day*yearDays, w.sub.Unit()))
	if k > 0 {
		w.plan.Year += fmt.Sprintf("With water changes of %.1f %% a week a year of that leaves ", 100*(1-math.Exp(-7*k)))
	} else {
		w.plan.Year += "Without water changes, none being declared or logged, a year of that leaves "
	}
	if len(left) == 0 {
		w.plan.Year += "nothing behind that matters."
		return
	}
	w.plan.Year += "behind:"
	w.plan.SideEffects = append(w.plan.SideEffects, left...)
}

const aYear = "a year of keeping the level up"

// Lasting says whether the effect is one of a year, not of the plan itself.
func (e *SideEffect) Lasting() bool { return e.Over == aYear }

// bulk is an amount of a year in kilograms or litres.
func bulk(amount float64, unit string) string {
	if unit == "mL" {
		return fmt.Sprintf("%.2g L", amount/1000)
	}
	return fmt.Sprintf("%.2g kg", amount/1000)
}

// changed is the share of the water that is changed in a day, by the routines in
// force, else by what was logged in the last ninety days.
func (w *worker) changed() float64 {
	k := 0.0
	for _, d := range standing.Schedule(w.tank, w.asOf) {
		if book.Key(d.Routine.Action) == "water change" && !d.Start.After(w.asOf) {
			k += w.share(d.Routine.Volume, d.Routine.Unit) / d.EveryDays
		}
	}
	if k > 0 {
		return k
	}
	const logged = 90
	from := w.asOf.AddDate(0, 0, -logged)
	for i := range w.tank.Events {
		e := &w.tank.Events[i]
		if b, ok := e.Body.(*book.WaterChange); ok && e.At.After(from) && !e.At.After(w.asOf) {
			k += w.share(b.Volume, b.Unit) / logged
		}
	}
	return k
}

// share is what one water change takes out, as the steady rate that takes as much.
func (w *worker) share(volume book.Number, unit string) float64 {
	v, ok := volume.Float()
	litres, err := units.Litres(v, unit)
	if !ok || err != nil || !(litres > 0) {
		return 0
	}
	return -math.Log(1 - min(litres/w.litres, 0.99))
}
