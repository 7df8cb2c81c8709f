package correction

import (
	"fmt"
	"math"
	"slices"
	"time"

	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/internal/substance"
	"driftline/units"
)

// checks puts a test in the middle, at the end, and in a long plan every few days.
func (w *worker) checks() {
	steps := w.plan.Steps
	last := steps[len(steps)-1].At
	span := last.Sub(steps[0].At).Hours() / 24
	parts := max(2, int(math.Ceil(span/checkEvery)))
	if len(steps) < 2 {
		parts = 1
	}
	for i := 1; i < parts; i++ {
		w.check(w.waking(steps[min(len(steps)-1, i*len(steps)/parts)-1].At.Add(6 * time.Hour)))
	}
	w.check(w.waking(last.Add(24 * time.Hour)))
}

// waking moves a test out of the night, to half an hour before the first dose.
func (w *worker) waking(at time.Time) time.Time {
	local := at.In(w.zone())
	switch h := local.Hour(); {
	case h >= 22:
		local = local.AddDate(0, 0, 1)
	case h >= 6:
		return local
	}
	return time.Date(local.Year(), local.Month(), local.Day(), 6, 30, 0, 0, w.zone())
}

// check expects a reading at a moment, with what was dosed until then.
func (w *worker) check(at time.Time) {
	risen := 0.0
	for _, s := range w.plan.Steps {
		if !s.At.After(at) {
			risen += w.raise(s.Amount)
		}
	}
	reading := w.reading(at)
	e := standing.Estimate{Mean: reading.Mean + risen, SD: math.Hypot(reading.SD, doseDoubt*risen)}
	low, high := e.Mean-standing.StopChance*e.SD, e.Mean+standing.StopChance*e.SD
	w.plan.Checks = append(w.plan.Checks, Check{At: at, Quantity: w.plan.Quantity, Expected: e, Low: low, High: high, Unit: w.plan.Unit,
		IfNot: fmt.Sprintf("Below %s or above %s: stop dosing, test once more with fresh hands, and work the correction out anew; by chance alone that happens about once in twenty.",
			w.amount(low), w.amount(high))})
}

// reading is what a kit would be expected to show without the correction.
func (w *worker) reading(at time.Time) standing.Estimate {
	base := w.base(at)
	var latest *standing.Kit
	for i := range w.q.Kits {
		if latest == nil || w.q.Kits[i].Latest.After(latest.Latest) {
			latest = &w.q.Kits[i]
		}
	}
	if latest == nil {
		return base
	}
	per, err := units.ConvertSD(w.ask.Quantity, middle(w.ask.Quantity), 1, w.q.Unit, w.plan.Unit)
	if err != nil {
		return base
	}
	return standing.Estimate{Mean: base.Mean + latest.Bias.Mean*per,
		SD: math.Sqrt(base.SD*base.SD + (latest.SD*latest.SD+latest.Bias.SD*latest.Bias.SD)*per*per)}
}

// water is the tank as the log last saw it, seawater of 35 at 25 °C where it says
// nothing.
func (w *worker) water() substance.Water {
	out := substance.Water{Litres: w.litres, SP: 35, TempC: 25}
	level := func(q units.Quantity, unit string, into *float64) {
		s, err := w.desk.Quantity(w.f, w.ask.Tank, string(q), w.asOf, 0)
		if err != nil || len(s.Readings) == 0 {
			return
		}
		if v, err := units.Convert(q, s.Level.Mean, s.Unit, unit); err == nil {
			*into = v
		}
	}
	level(units.Salinity, "PSU", &out.SP)
	level(units.Temperature, "°C", &out.TempC)
	level(units.Alkalinity, "dKH", &out.TA)
	level(units.PH, "NBS", &out.PH)
	if out.SP < 5 || out.SP > 42 {
		out.SP = 35
	}
	return out
}

func (w *worker) jump(amount float64) (float64, bool) {
	water := w.water()
	if water.PH == 0 { // a usual one tells the size of the jump well enough
		water.PH = 8.1
	}
	if water.TA == 0 {
		water.TA = 8
	}
	j, err := w.sub.PHJump(amount, water)
	return math.Abs(j), err == nil
}

// effects is what comes along: salt, other ions, other quantities, pH.
func (w *worker) effects() {
	water, total := w.water(), w.plan.Total.Amount
	w.plan.SalinityRise = w.sub.SalinityRise(total, water)
	w.plan.SideEffects = append(w.plan.SideEffects, SideEffect{"salinity", w.plan.SalinityRise, "PSU", "the whole correction",
		fmt.Sprintf("Salinity rises by %.2f PSU in all; top up and water changes bring it back.", w.plan.SalinityRise)})
	for _, ion := range w.sub.Along(total, water) {
		if ion.Name == string(w.ask.Quantity) {
			continue
		}
		w.plan.SideEffects = append(w.plan.SideEffects, SideEffect{ion.Name, ion.MgPerL, "mg/L", "the whole correction",
			fmt.Sprintf("%s rises by %.0f mg/L, %.1f %% of what seawater has.", prose.Capital(ion.Name), ion.MgPerL, ion.Relative*100)})
	}
	for _, q := range w.sub.Quantities() {
		if q == w.ask.Quantity {
			continue
		}
		rise := w.sub.Raise(q, total, w.litres)
		w.plan.SideEffects = append(w.plan.SideEffects, SideEffect{string(q), rise, q.Default(), "the whole correction",
			fmt.Sprintf("%s moves by %s along with it.", prose.Capital(string(q)), units.Format(q, rise, q.Default()))})
	}
	w.jumps()
	w.year(water)
	w.plan.Cautions = append(slices.Clone(w.sub.Cautions),
		"Water and mains: drip loops, a residual-current device, and hands out of the water while anything is plugged in and wet.")
}

func (w *worker) largest() float64 {
	most := 0.0
	for _, s := range w.plan.Steps {
		most = max(most, s.Amount)
	}
	return most
}
