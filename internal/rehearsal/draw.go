package rehearsal

import (
	"math"
	"math/rand/v2"
	"strconv"
	"time"
)

// aheadDays is how far beyond the end of the log a tank can be followed.
const aheadDays = 95

// draft is a tank settled by its seed, before a day has passed.
type draft struct {
	seed    uint64
	world   world
	days    int
	system  system
	litres  float64
	basin   *basin
	keeper  *keeper
	pattern [2]pattern // of calcification and of nutrients
	swaps   []swap
	labs    []lab
	served  *served // nil where food is not written down
}

// swap is a new kit from a day on; a nil kit is a refill of the same make.
type swap struct {
	t float64
	q ion
	k *kit
}

// lab is a sample sent in: the result is logged for the moment of sampling.
type lab struct {
	t    float64
	kits []*kit
}

// draw settles everything that does not depend on what the keeper does.
func draw(seed uint64, w World, start time.Time) *draft {
	r := stream(seed, 1)
	d := &draft{seed: seed, world: worlds[w], days: 120 + r.IntN(380), system: systems[r.IntN(len(systems))]}
	d.litres = math.Round(math.Min(1500, math.Max(60, spread(r, 300, 0.7))))
	n, begin := d.drawNature(stream(seed, 2))
	name := "tank " + strconv.FormatUint(seed, 10)
	d.basin = newBasin(name, start, d.litres, n, begin, seed)
	d.basin.wrong = d.world.misreads * between(r, 0.01, 0.04)
	d.keeper = drawKeeper(stream(seed, 3), d)
	d.drawSalt(stream(seed, 4))
	d.drawKits(stream(seed, 5))
	d.drawSupply(stream(seed, 6))
	if d.world.fed {
		d.serve(stream(seed, 7))
	}
	return d
}

func (d *draft) drawNature(r *rand.Rand) (*nature, levels) {
	sys, days := d.system, d.days+aheadDays
	n := &nature{litres: d.litres * (1 + 0.03*d.world.slips*r.NormFloat64())}
	n.refAlk, n.refCal = sys.bands[alk][1], sys.bands[cal][1]
	n.order = pick(r, d.world.orders...)
	n.calPerDKH = between(r, 6.9, 9)
	n.magPerDKH = math.Exp(between(r, math.Log(sys.magLo), math.Log(sys.magHi)))
	d.pattern = [2]pattern{pattern(r.IntN(int(nPatterns))), pattern(r.IntN(int(nPatterns)))}
	n.calcify = scaled(livelier(d.pattern[0].path(r, days, between(r, 0.03, 0.12)), d.world.unrest), spread(r, sys.demand, sys.demandLog))
	n.magSink = scaled(wandering.path(r, days, 0.05), d.world.magSink*pick(r, 0, 0, between(r, 0.1, 0.8), between(r, 0.4, 2)))
	begin := d.drawNutrients(r, n, days)
	n.swell = wander(r, days*stepsPerDay+1, between(r, 0.001, 0.005), between(r, 1, 3))
	n.warmth = scaled(wander(r, days*stepsPerDay+1, 0.01, 4), 25)
	season := between(r, 0, 0.6)
	for i := range n.warmth {
		n.warmth[i] += 25.5 + season*math.Sin(2*math.Pi*float64(i)/stepsPerDay/365)
	}
	n.acid = wander(r, days*stepsPerDay+1, 0.05, 6)
	base := between(r, 7.95, 8.25)
	for i := range n.acid {
		n.acid[i] += base
	}
	n.warmSwing, n.acidSwing = between(r, 0.05, 0.4), between(r, 0.04, 0.14)
	n.wetLoss = pick(r, 0, 0, between(r, 0, 0.0003))
	begin[alk] = n.refAlk + 0.6*r.NormFloat64()
	begin[cal] = n.refCal + 18*r.NormFloat64()
	begin[mag] = sys.bands[mag][1] + 45*r.NormFloat64()
	begin[sal] = 35 + 0.4*r.NormFloat64()
	return n, begin
}

// drawNutrients balances food and removal around a usual level.
func (d *draft) drawNutrients(r *rand.Rand, n *nature, days int) (begin levels) {
	restN, restP := spread(r, d.system.nitrate, 0.6), spread(r, d.system.phosphate, 0.5)
	kN, kP := math.Exp(between(r, math.Log(0.015), math.Log(0.12))), math.Exp(between(r, math.Log(0.03), math.Log(0.25)))
	kN, kP = kN*d.world.turnover, kP*d.world.turnover
	food := d.pattern[1].path(r, days, between(r, 0.1, 0.3))
	food = livelier(food, d.world.unrest)
	n.foodN = scaled(append([]float64(nil), food...), kN*restN)
	n.foodP = scaled(food, kP*restP)
	n.takeN = scaled(pick(r, constant, wandering, walking, stepping).path(r, days, 0.05), kN)
	n.takeP = scaled(pick(r, constant, wandering, walking, stepping).path(r, days, 0.05), kP)
	n.denitrified = between(r, 0.2, 0.8)
	n.rockRate, n.rockRoom = between(r, 0.02, 0.25), between(r, 4, 25)
	if chance(r, 0.2) {
		n.mediaTake = kP * between(r, 0.5, 1.5)
		for t := between(r, 0, 40); t < float64(days); t += between(r, 25, 60) {
			n.mediaFrom = append(n.mediaFrom, t)
		}
	}
	begin[nit], begin[pho] = spread(r, restN, 0.35), spread(r, restP, 0.35)
	return begin
}

func (d *draft) drawSalt(r *rand.Rand) {
	s := &salt{name: "make-up water", says: []ion{alk, cal, mag, sal}}
	s.label = levels{alk: math.Round(between(r, 7, 11)*10) / 10, cal: math.Round(between(r, 405, 450)), mag: math.Round(between(r, 1270, 1380)), sal: 35}
	if chance(r, 0.8) {
		s.says = append(s.says, nit, pho)
	}
	d.basin.salt = s
	d.keeper.saltSeed = r
	d.keeper.make = levels{alk: 0.3 * r.NormFloat64(), cal: 9 * r.NormFloat64(), mag: 25 * r.NormFloat64(), sal: 0.2 * r.NormFloat64()}
	for i := range d.keeper.make {
		d.keeper.make[i] *= d.world.slips
	}
	d.keeper.newBatch(s)
}

// drawKits gives each quantity a kit, and later another, and sometimes a laboratory.
func (d *draft) drawKits(r *rand.Rand) {
	say := d.drawUnits(r)
	silent := chance(r, d.world.silent)
	for q := range nIons {
		d.basin.kits[q] = kitFor(r, q, "", silent, say[q])
		for t, i := between(r, 60, 500), 2; t < float64(d.days); t, i = t+between(r, 90, 500), i+1 {
			s := swap{t: t, q: q}
			if chance(r, 0.6) {
				s.k = kitFor(r, q, " "+strconv.Itoa(i), silent, say[q])
			}
			d.swaps = append(d.swaps, s)
		}
	}
	if !chance(r, 0.45) {
		return
	}
	kits := make([]*kit, 0, nIons)
	for _, q := range []ion{alk, cal, mag, nit, pho}[r.IntN(2):] {
		kits = append(kits, laboratory(q, r))
	}
	for t := between(r, 10, 200); t < float64(d.days); t += between(r, 80, 250) {
		d.labs = append(d.labs, lab{t, kits})
	}
}

// drawUnits lets some keepers speak in other units.
func (d *draft) drawUnits(r *rand.Rand) (say [nIons]spoken) {
	for q := range nIons {
		say[q] = spoken{ionUnits[q], 1}
		if others := otherUnits[q]; len(others) > 0 && chance(r, 0.12) {
			say[q] = others[r.IntN(len(others))]
		}
	}
	return say
}
