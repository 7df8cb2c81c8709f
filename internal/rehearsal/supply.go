package rehearsal

import (
	"math"
	"math/rand/v2"
)

// drawSupply sets up how the keeper makes good what the tank takes: tuned about
// right for the first weeks, by pump, by hand, with limewater, or by changes alone.
func (d *draft) drawSupply(r *rand.Rand) {
	b, n := d.basin, d.basin.n
	perDay := d.drawChanges(r)
	early := mean(n.calcify[:20*stepsPerDay]) + dkhPerNO3*mean(n.foodN[:20*stepsPerDay])*(1-n.denitrified)
	need := (early - perDay*(b.salt.label[alk]-n.refAlk)) * between(r, 0.85, 1.15)
	if need > 0.06 || (need > 0.02 && chance(r, 0.4)) {
		d.drawAlkalinity(r, need)
	}
	loss := early*n.magPerDKH + mean(n.magSink) - perDay*(b.salt.label[mag]-d.system.bands[mag][1])
	d.drawMagnesium(r, loss*between(r, 0.5, 1.3))
	if chance(r, 0.12) {
		d.pump(r, "nitrate pump", nitrateStock, nit, at(n.takeN, 0)*d.system.nitrate*between(r, 0.2, 0.6))
	}
	if chance(r, 0.08) {
		d.pump(r, "phosphate pump", phosphateStock, pho, at(n.takeP, 0)*d.system.phosphate*between(r, 0.2, 0.6))
	}
}

// drawChanges returns the share of the water changed a day.
func (d *draft) drawChanges(r *rand.Rand) float64 {
	b := d.basin
	switch x := r.Float64(); {
	case x < 0.12:
		return 0
	case x < 0.22:
		share := between(r, 0.005, 0.015)
		f := &feed{name: "water changer", amount: math.Max(0.5, math.Round(share*d.litres*2)/2), every: 1, wear: steadyWear(r)}
		f.share = f.amount / b.n.litres
		b.feeds = append(b.feeds, f)
		return share
	}
	every := pick(r, 7.0, 7, 10, 14, 14, 28)
	litres := math.Max(2, math.Round(d.litres*between(r, 0.05, 0.2)))
	b.hands = append(b.hands, &habit{name: "water change", litres: litres, every: every, hour: between(r, 9, 18), last: between(r, -every, 0)})
	return litres / d.litres / every
}

func (d *draft) drawAlkalinity(r *rand.Rand, need float64) {
	calcium := need * 7.15 * between(r, 0.9, 1.15)
	switch x := r.Float64(); {
	case need < 0.25 && x < 0.6 || x < 0.12:
		every := pick(r, 1.0, 2, 3, 7)
		d.byHand(r, "carbonate by hand", bicarbonate, alk, need, every)
		d.byHand(r, "calcium by hand", calciumSalt, cal, calcium, pick(r, 3.0, 7, 7, 14))
	case need < 0.8 && x < 0.28:
		d.pump(r, "limewater", lime, alk, need)
	case need < 0.4 && x < 0.33:
		d.byHand(r, "limewater", lime, alk, need, 1)
		d.basin.hands[len(d.basin.hands)-1].logged = "top-off"
	default:
		d.pump(r, "carbonate pump", carbonateStock, alk, need)
		if chance(r, 0.8) {
			d.pump(r, "calcium pump", calciumStock, cal, calcium)
		} else {
			d.byHand(r, "calcium by hand", calciumSalt, cal, calcium, 7)
		}
	}
}

func (d *draft) drawMagnesium(r *rand.Rand, loss float64) {
	switch x := r.Float64(); {
	case loss < 0.1 || x < 0.45:
	case x < 0.6:
		d.pump(r, "magnesium pump", magnesiumStock, mag, loss)
	default:
		d.byHand(r, "magnesium by hand", magnesiumS, mag, loss, pick(r, 7.0, 14, 30))
	}
}

// pump adds a machine that raises q by rate a day as the keeper reckons it.
func (d *draft) pump(r *rand.Rand, name string, what substance, q ion, rate float64) {
	amount := floatOf(fixed(rate/what.raises(d.litres)[q], what.said))
	if amount <= 0 {
		return
	}
	f := &feed{name: name, what: what, amount: amount, every: 1, potency: 1 + 0.02*r.NormFloat64(), wear: drawWear(r, float64(d.days+aheadDays), d.world.wear)}
	d.basin.feeds = append(d.basin.feeds, f)
}

func (d *draft) byHand(r *rand.Rand, name string, what substance, q ion, rate, every float64) {
	amount := floatOf(fixed(rate*every/what.raises(d.litres)[q], what.said))
	if amount <= 0 {
		return
	}
	w := what
	d.basin.hands = append(d.basin.hands, &habit{name: name, what: &w, amount: amount, every: every, hour: between(r, 7, 22), last: between(r, -every, 0)})
}

func steadyWear(r *rand.Rand) func(float64) float64 {
	off := 1 + 0.03*r.NormFloat64()
	return func(float64) float64 { return off }
}

// drawWear is how a pump delivers: mostly true, some falling behind slowly, some
// failing within days, a few put right later.
func drawWear(r *rand.Rand, days, share float64) func(float64) float64 {
	off := 1 + 0.03*r.NormFloat64()
	from, slope := between(r, 0, days), between(r, 0.001, 0.005)
	deep, takes, mended := between(r, 0.3, 0.85), between(r, 1, 10), between(r, 15, 120)
	switch x := r.Float64(); {
	case x < 1-share:
		return func(float64) float64 { return off }
	case x < 1-share/2:
		return func(t float64) float64 { return off * math.Max(0.45, 1-slope*math.Max(0, t-from)) }
	default:
		return func(t float64) float64 {
			if t > from+mended {
				return off
			}
			return off * (1 - (1-deep)*math.Min(1, math.Max(0, t-from)/takes))
		}
	}
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
