package whatif

import (
	"math"
	"math/rand/v2"
	"slices"

	"driftline/internal/drift"
	"driftline/statespace"
	"driftline/units"
)

// grid is the moments at which all plans stop, the same for each, so that chance
// does the same to all of them.
type grid []float64

// newGrid joins days, water changes and the edges of spans of all roads.
func newGrid(roads []*road, days int) grid {
	var g grid
	for d := range days + 1 {
		g = append(g, float64(d))
	}
	most := float64(days)
	for _, r := range roads {
		for _, c := range r.changes {
			g = append(g, c.t)
		}
		for _, s := range r.dry {
			g = append(g, s.from, s.to)
		}
		for _, s := range r.scales {
			g = append(g, s.from, s.to)
		}
	}
	slices.Sort(g)
	g = slices.Compact(g)
	return slices.DeleteFunc(g, func(t float64) bool { return t < 0 || t > most })
}

// lane is a road as one quantity sees it: levels in its default unit, all of them
// as they would be in the full volume of water.
type lane struct {
	inputs []drift.Input
	feeds  []drift.Feed
	pours  []pour
	food   []drift.Feed            // over the usual, if all of it ended in the water
	factor func(t float64) float64 // of the demand after t
	water  func(t float64) float64 // share of the full volume that is there, before a refill at t
}

// pour is a water change at a time: the level keeps a share and gains.
type pour struct {
	t, keep, gain float64
	share         float64 // what an error of the new water adds
	mix           int
	sd            float64
	err           []float64 // error of this water in each draw, in units of sd
}

// leg is the way to one stop of the grid under one way of the engine, the exact
// solution of the balance between them.
type leg struct {
	keep, byMean, byWander, rho, add float64
	byYield                          float64
	rootC, crossW, rootW             float64
	lasting                          float64
	pours                            []pour
	then                             float64 // given right at the stop
	before, after                    float64 // strength over that in the full volume
	day                              int
	toWater, toRock                  float64 // half of the exchange with rock over the leg
}

// legs solves the balance from stop to stop. The middle of the belief goes along
// to say where demand must ease.
func legs(way drift.Way, restless float64, g grid, l lane) []leg {
	level, wander, rock, was, t := way.Level, way.Wander, way.RockLevel, 0.0, 0.0
	var out []leg
	in, po := 0, 0
	for _, at := range g {
		way = way.Eased(level, wander)
		by := l.factor(t)
		flow := way.Flow
		flow.Relax *= by
		p := flow.Over(at - t)
		leg := leg{keep: p.Keep, byMean: by * p.ByMean, byWander: by * p.ByWander, rho: p.Rho, add: (1 - p.Keep) * way.Ref, day: -1}
		variance := 0.0
		for ; in < len(l.inputs) && l.inputs[in].T <= at; in++ {
			i := &l.inputs[in]
			left := math.Exp(-flow.Relax * (at - i.T))
			variance += sq(i.SD * left)
			if i.T == at {
				leg.then += i.Delta
			} else {
				leg.add += i.Delta * left
			}
		}
		leg.add += fed(l.feeds, flow.Relax, t, at)
		leg.byYield = fed(l.food, flow.Relax, t, at)
		leg.noise(p, by, restless, variance)
		now := math.Sqrt(sq(p.Keep*was) + (1-restless)*p.QCCLevel)
		leg.lasting, was = now-p.Keep*was, now
		leg.toWater, leg.toRock = way.Rock.Over((at - t) / 2)
		level, rock = leg.swap(level, rock)
		level = leg.keep*level - leg.byMean*way.Demand - leg.byWander*wander + leg.add + leg.byYield*way.Yield
		level, rock = leg.swap(level, rock)
		wander *= leg.rho
		for ; po < len(l.pours) && l.pours[po].t <= at; po++ {
			leg.pours = append(leg.pours, l.pours[po])
			level = l.pours[po].keep*level + l.pours[po].gain
			was *= l.pours[po].keep
		}
		level += leg.then
		if whole := math.Trunc(at); whole == at {
			leg.day = int(whole)
		}
		leg.before, leg.after = 1/l.water(at), 1/l.water(math.Nextafter(at, math.Inf(1)))
		out, t = append(out, leg), at
	}
	return out
}

// fed is what feeds have left at the end of a leg.
func fed(feeds []drift.Feed, relax, t, at float64) float64 {
	sum := 0.0
	for _, f := range feeds {
		from, to := max(f.From, t), min(f.To, at)
		if to > from {
			sum += f.Rate * statespace.Decayed(relax, to-from) * math.Exp(-relax*(at-to))
		}
	}
	return sum
}

// noise factors the covariance of level and wander gathered over the leg.
func (l *leg) noise(p statespace.Passage, by, restless, doses float64) {
	qcc := by*by*(p.QCC-p.QCCLevel) + restless*p.QCCLevel + doses
	if qcc > 0 {
		l.rootC = math.Sqrt(qcc)
		l.crossW = by * p.QCw / l.rootC
	}
	l.rootW = math.Sqrt(max(p.Qww-sq(l.crossW), 0))
}

func sq(x float64) float64 { return x * x }

// trace is what the draws did under one plan.
type trace struct {
	levels       [][]float64 // by day, then draw
	left         []float64   // by day: draws outside so far
	inside, gone float64     // draws inside at the start; of these, those that left
	below, above float64     // the band at the end
}

// abreast is how many draws go along a lane side by side.
const abreast = 16

// follow takes every draw along each lane, with the same chance in all of them. It
// puts the draws in order of their ways.
func follow(d *drift.Drawn, band drift.Band, g grid, lanes []lane, days int, rng *rand.Rand) []trace {
	traces, ways := make([]trace, len(lanes)), make([][][]leg, len(lanes))
	for i, l := range lanes {
		traces[i] = trace{levels: make([][]float64, days+1), left: make([]float64, days+1)}
		all := make([]float64, (days+1)*len(d.Draws))
		for day := range traces[i].levels {
			traces[i].levels[day] = all[day*len(d.Draws) : (day+1)*len(d.Draws)]
		}
		for _, w := range d.Ways {
			ways[i] = append(ways[i], legs(w, d.Restless, g, l))
		}
	}
	slices.SortStableFunc(d.Draws, func(a, b drift.Draw) int { return a.Way - b.Way })
	b, z := limits(band), make([]float64, 2*len(g)*abreast)
	for from := 0; from < len(d.Draws); {
		way, n := d.Draws[from].Way, 1
		for n < abreast && from+n < len(d.Draws) && d.Draws[from+n].Way == way {
			n++
		}
		for i := range 2 * len(g) * n {
			z[i] = rng.NormFloat64()
		}
		for i := range traces {
			traces[i].some(from, d.Draws[from:from+n], ways[i][way], b, d.Floor, z)
		}
		from += n
	}
	return traces
}

// bounds are the sides of a band, infinite where there is none.
type bounds struct{ low, high float64 }

func limits(b drift.Band) bounds {
	out := bounds{math.Inf(-1), math.Inf(1)}
	if !math.IsNaN(b.Low) {
		out.low = b.Low
	}
	if !math.IsNaN(b.High) {
		out.high = b.High
	}
	return out
}

func (b bounds) out(v float64) bool { return v < b.low || v > b.high }

// walking are draws on their way, side by side.
type walking struct{ level, wander, demand, lasting, yield, rock [abreast]float64 }

// some takes draws of one way along, the first of them the k-th of all.
func (tr *trace) some(k int, draws []drift.Draw, legs []leg, b bounds, floor float64, z []float64) {
	var on walking
	var out, born [abreast]bool
	n := len(draws)
	for j := range draws {
		x := &draws[j]
		on.level[j], on.wander[j], on.demand[j], on.lasting[j] = x.Level, x.Wander, x.Demand, x.Lasting
		on.yield[j], on.rock[j] = x.Yield, x.Rock
		out[j] = b.out(x.Level)
		born[j] = !out[j]
	}
	for i := range legs {
		l := &legs[i]
		l.walk(&on, n, floor, z[2*n*i:])
		for j := range n {
			out[j] = out[j] || b.out(on.level[j]*l.before)
		}
		for p := range l.pours {
			for j := range n {
				on.level[j] = max(l.pours[p].into(on.level[j], k+j, &draws[j]), floor)
			}
		}
		for j := range n {
			on.level[j] += l.then
			out[j] = out[j] || b.out(on.level[j]*l.after)
		}
		if l.day >= 0 {
			row := tr.levels[l.day][k : k+n]
			for j := range row {
				row[j] = on.level[j] * l.after
				if out[j] {
					tr.left[l.day]++
				}
			}
		}
	}
	for j := range n {
		if born[j] {
			tr.inside++
			if out[j] {
				tr.gone++
			}
		}
		switch end := on.level[j] * legs[len(legs)-1].after; {
		case end < b.low:
			tr.below++
		case end > b.high:
			tr.above++
		}
	}
}

// walk takes n draws to the end of a leg, by two figures of chance for each.
func (l *leg) walk(on *walking, n int, floor float64, z []float64) {
	l.exchange(on, n)
	first, second := z[:n], z[n:2*n]
	level, wander, demand, lasting, yield := on.level[:n], on.wander[:n], on.demand[:n], on.lasting[:n], on.yield[:n]
	for j := range first {
		next := l.keep*level[j] - l.byMean*demand[j] - l.byWander*wander[j] + l.add + l.rootC*first[j] + l.lasting*lasting[j] + l.byYield*yield[j]
		wander[j] = l.rho*wander[j] + l.crossW*first[j] + l.rootW*second[j]
		level[j] = max(next, floor)
	}
	l.exchange(on, n)
}

// exchange is half of what water and rock exchange over the leg, of n draws.
func (l *leg) exchange(on *walking, n int) {
	if l.toWater == 0 {
		return
	}
	for j := range n {
		on.level[j], on.rock[j] = l.swap(on.level[j], on.rock[j])
	}
}

func (l *leg) swap(level, rock float64) (float64, float64) {
	d := rock - level
	return level + l.toWater*d, rock - l.toRock*d
}

func (p *pour) into(c float64, k int, x *drift.Draw) float64 {
	c = p.keep*c + p.gain
	switch {
	case p.mix >= 0 && p.mix < len(x.Mixes):
		c += p.share * x.Mixes[p.mix]
	case p.err != nil:
		c += p.share * p.sd * p.err[k]
	}
	return c
}

// factorOf is the demand's factor of a quantity along a road.
func (r *road) factorOf(q units.Quantity) func(float64) float64 {
	return func(t float64) float64 {
		by := 1.0
		for _, s := range r.scales {
			if s.quantity == q && t >= s.from && t < s.to {
				by *= s.by
			}
		}
		return by
	}
}
