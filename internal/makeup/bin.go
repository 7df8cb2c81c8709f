package makeup

import (
	"fmt"
	"slices"
	"strings"

	"driftline/internal/prose"
	"driftline/seawater"
	"driftline/units"
)

// Limits beyond which the trade expects trouble in a batch. Common practice, no
// source, but the saturation, which is judgement: chalk falls out of new water by
// itself well above ten times saturation, and sooner where it is stirred in.
var mostInBatch = map[units.Quantity]float64{
	units.Magnesium:  1500, // mg/L: snails and shrimps slow down above
	units.Alkalinity: 12,   // dKH
	units.Calcium:    500,  // mg/L
}

const mostSaturation = 9 // of aragonite, at pH 8.3

// warn tells what a keeper should know before weighing.
func (r *recipe) warn() {
	say := func(format string, args ...any) {
		r.batch.Warnings = append(r.batch.Warnings, fmt.Sprintf(format, args...))
	}
	for _, q := range r.order {
		if over := r.holds(q) - r.want[q]; over > 0.005*r.holds(q) {
			say("%s is above its aim already and cannot be taken out: use a salt with less of it, or mix it with water that has less.", prose.Capital(string(q)))
		} else if v, _ := r.level(q); v > r.want[q]*1.005 {
			say("%s comes out above its aim, since another substance brings it along: choose another.", prose.Capital(string(q)))
		} else if v < r.want[q]*0.99 {
			say("%s stays below its aim: one substance cannot fit two aims; name another for it.", prose.Capital(string(q)))
		}
	}
	for q, most := range mostInBatch {
		if v, ok := r.level(q); ok && v > most {
			say("%s of %s is more than animals are used to (common practice: at most %s): lower the aim.", prose.Capital(string(q)),
				units.Format(q, v, q.Default()), units.Format(q, most, q.Default()))
		}
	}
	slices.Sort(r.batch.Warnings)
	if omega, ok := r.saturation(); ok && omega > mostSaturation {
		say("At pH 8.3 this water would be %.0f times saturated with aragonite: chalk may fall out while it is mixed. Lower calcium or alkalinity.", omega)
	}
}

// saturation is that of aragonite at the pH of well aired new water.
func (r *recipe) saturation() (float64, bool) {
	ta, ok1 := r.level(units.Alkalinity)
	ca, ok2 := r.level(units.Calcium)
	w, err := seawater.NewWater(r.salinity(), r.ask.TempC, seawater.Basis{Carbon: seawater.Waters2014})
	if err != nil || !ok1 || !ok2 || ca <= 0 || ta <= 0 {
		return 0, false
	}
	meq, err := units.Convert(units.Alkalinity, ta, "dKH", "meq/L")
	if err != nil {
		return 0, false
	}
	perKg, err := seawater.PerKilogram(meq*1000, r.salinity(), r.ask.TempC)
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
	warm := fmt.Sprintf("Bring it to %s.", units.Format(units.Temperature, r.ask.TempC, "°C"))
	const warmWhy = "Salinity is read, and salts dissolve, as they should at the tank's temperature."
	if r.batch.Bin == Mixed {
		add(fmt.Sprintf("Start a strong pump in the %s of water whose salt (about %s of %s) is in and dissolved clear.", weight(r.ask.Litres*1000, "mL"),
			weight(r.batch.SaltGrams, "g"), r.saltName()), "", "Supplements added to cloudy water fall out with it.")
		add(warm, "", warmWhy)
	} else {
		add(fmt.Sprintf("Fill the bin with %s of purified water and start a strong pump.", weight(r.ask.Litres*1000, "mL")), "",
			"Salt is added to moving water, never water to salt.")
		add(warm, "", warmWhy)
		add(fmt.Sprintf("Add %s of %s in portions.", weight(r.batch.SaltGrams, "g"), r.saltName()), "2 hours, until clear", "Supplements added to cloudy water fall out with it.")
	}
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
			r.batch.Cautions = append(r.batch.Cautions, prose.Capital(strings.Join(named[text], ", "))+": "+prose.Lower(text))
		}
	}
	r.batch.Cautions = append(r.batch.Cautions,
		"Mix in the bin, never in the tank, and never pour undissolved salts where animals are.",
		"Never bring a strong solution of calcium and one of carbonate together.",
		"Water and mains: drip loops, a residual-current device, and pump and heater unplugged before hands go in.")
}
