package makeup

import (
	"fmt"
	"slices"
	"strings"

	"driftline/internal/substance"
	"driftline/seawater"
	"driftline/units"
)

// Limits beyond which the trade expects trouble in a batch. Common practice, no
// source, but the saturation, which is judgement: chalk falls out of new water by
// itself well above ten times saturation, and sooner where it is stirred in.
const (
	mostMagnesium  = 1500 // mg/L: snails and shrimps slow down above
	mostAlkalinity = 12   // dKH
	mostCalcium    = 500  // mg/L
	mostSaturation = 9    // of aragonite, at pH 8.3
	saltLeftOut    = 0.2  // PSU by supplements from which salt is left out
)

// warn tells what a keeper should know before weighing.
func (r *recipe) warn() {
	say := func(format string, args ...any) {
		r.batch.Warnings = append(r.batch.Warnings, fmt.Sprintf(format, args...))
	}
	for _, q := range r.order {
		if over := r.have[q] - r.want[q]; over > 0.005*r.have[q] {
			say("%s is above its aim already and cannot be taken out: use a salt with less of it, or mix it with water that has less.", capital(string(q)))
		} else if v, _ := r.level(q); v > r.want[q]*1.005 {
			say("%s comes out above its aim, since another substance brings it along: choose another.", capital(string(q)))
		} else if v < r.want[q]*0.99 {
			say("%s stays below its aim: one substance cannot fit two aims; name another for it.", capital(string(q)))
		}
	}
	for q, most := range map[units.Quantity]float64{units.Magnesium: mostMagnesium, units.Alkalinity: mostAlkalinity, units.Calcium: mostCalcium} {
		if v, ok := r.level(q); ok && v > most {
			say("%s of %s is more than animals are used to (common practice: at most %s): lower the aim.", capital(string(q)),
				units.Format(q, v, q.Default()), units.Format(q, most, q.Default()))
		}
	}
	slices.Sort(r.batch.Warnings)
	if omega, ok := r.saturation(); ok && omega > mostSaturation {
		say("At pH 8.3 this water would be %.0f times saturated with aragonite: chalk may fall out while it is mixed. Lower calcium or alkalinity.", omega)
	}
	if rise := r.rise(); rise > saltLeftOut {
		grams := substance.Round(r.batch.SaltGrams * rise / r.ask.Salinity)
		say("The supplements add %.2f PSU: leave out %s of the salt, or check the salinity at the end and thin it.", rise, weight(grams, "g"))
	}
}

// saturation is that of aragonite at the pH of well aired new water.
func (r *recipe) saturation() (float64, bool) {
	ta, ok1 := r.level(units.Alkalinity)
	ca, ok2 := r.level(units.Calcium)
	w, err := seawater.NewWater(r.ask.Salinity, r.ask.TempC, seawater.Basis{Carbon: seawater.Waters2014})
	if err != nil || !ok1 || !ok2 || ca <= 0 || ta <= 0 {
		return 0, false
	}
	meq, err := units.Convert(units.Alkalinity, ta, "dKH", "meq/L")
	if err != nil {
		return 0, false
	}
	perKg, err := seawater.PerKilogram(meq*1000, r.ask.Salinity, r.ask.TempC)
	if err != nil {
		return 0, false
	}
	if w, err = w.With(seawater.Content{Calcium: w.CalciumFromMgPerL(ca)}); err != nil {
		return 0, false
	}
	ph, err := w.ConvertPH(8.3, seawater.NBSScale, seawater.TotalScale)
	if err != nil {
		return 0, false
	}
	c, err := w.Solve(seawater.TA(perKg), seawater.PH(ph))
	return c.OmegaAragonite, err == nil
}

// turn is when a supplement goes in: what takes part in no chalk first, what
// lifts the pH last.
func turn(q units.Quantity) int {
	switch q {
	case units.Magnesium:
		return 1
	case units.Calcium, units.Strontium:
		return 2
	case units.Alkalinity:
		return 4
	}
	return 3
}

// steps is the work at the bin in order. Waiting times are common practice, no
// source.
func (r *recipe) steps() {
	add := func(do, wait, why string) { r.batch.Order = append(r.batch.Order, Order{do, wait, why}) }
	add(fmt.Sprintf("Fill the bin with %s of purified water and start a strong pump.", weight(r.ask.Litres*1000, "mL")), "",
		"Salt is added to moving water, never water to salt.")
	add(fmt.Sprintf("Bring it to %s.", units.Format(units.Temperature, r.ask.TempC, "°C")), "", "Salinity is read, and salts dissolve, as they should at the tank's temperature.")
	add(fmt.Sprintf("Add %s of %s in portions.", weight(r.batch.SaltGrams, "g"), r.saltName()), "2 hours, until clear", "Supplements added to cloudy water fall out with it.")
	sorted := slices.Clone(r.batch.Additions)
	slices.SortStableFunc(sorted, func(a, b Addition) int { return turn(a.Raises.Quantity) - turn(b.Raises.Quantity) })
	for _, a := range sorted {
		do := fmt.Sprintf("Dissolve %s of %s in some of the water and pour it in slowly before the pump.", weight(a.Amount, a.Unit), a.Substance)
		switch turn(a.Raises.Quantity) {
		case 1:
			add(do, "15 minutes", "Magnesium first: it keeps calcium and carbonate apart.")
		case 2:
			add(do, "30 minutes", "Calcium is well mixed in before anything with carbonate comes.")
		case 4:
			add(do, "1 hour", "Alkalinity last and slowest: where it meets calcium strong, chalk falls out for good.")
		default:
			add(do, "15 minutes", "Each is mixed in before the next comes.")
		}
	}
	r.cautions(sorted)
	r.check(add)
}

func (r *recipe) check(add func(do, wait, why string)) {
	sp := r.ask.Salinity + r.rise()
	sg, err := seawater.SpecificGravity(sp, seawater.Pair25)
	r.batch.Check = fmt.Sprintf("%s and %s", units.Format(units.Salinity, sp, "PSU"), units.Format(units.Temperature, r.ask.TempC, "°C"))
	if err == nil {
		r.batch.Check = fmt.Sprintf("%s (specific gravity %.4f at 25/25 °C) and %s", units.Format(units.Salinity, sp, "PSU"), sg, units.Format(units.Temperature, r.ask.TempC, "°C"))
	}
	add("Let it turn over with air.", "12 to 24 hours", "New water needs time to come to rest with the air; its pH settles.")
	add("Check before use: "+r.batch.Check+"; test what was supplemented.", "", "What goes into the tank is what was measured, not what was weighed.")
}

// cautions are those of each substance by its name, and the general ones once.
func (r *recipe) cautions(sorted []Addition) {
	named := map[string][]string{} // caution → substances, in order of the work
	var order []string
	for _, a := range sorted {
		for _, c := range r.chosen {
			if c.s.Name != a.Substance {
				continue
			}
			for _, text := range c.s.Cautions {
				if named[text] == nil {
					order = append(order, text)
				}
				named[text] = append(named[text], c.s.Name)
			}
		}
	}
	for _, text := range order {
		if len(named[text]) == len(r.batch.Additions) && len(named[text]) > 1 || strings.Contains(text, "label") {
			r.batch.Cautions = append(r.batch.Cautions, text)
		} else {
			r.batch.Cautions = append(r.batch.Cautions, capital(strings.Join(named[text], ", "))+": "+lowerFirst(text))
		}
	}
	r.batch.Cautions = append(r.batch.Cautions,
		"Mix in the bin, never in the tank, and never pour undissolved salts where animals are.",
		"Never bring a strong solution of calcium and one of carbonate together.",
		"Water and mains: drip loops, a residual-current device, and pump and heater unplugged before hands go in.")
}

func lowerFirst(s string) string {
	if s == "" || s[0] < 'A' || s[0] > 'Z' {
		return s
	}
	return string(s[0]-'A'+'a') + s[1:]
}

func capital(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
