package drift

import (
	"math"

	"driftline/statespace"
)

// Rock and sand take up phosphate where the water holds more than they are at rest
// with, and give it back where it holds less: a tank whose water was cleaned in a
// week is refilled from its rock for months. In the short run that looks like
// removal in proportion to the level. How much of it is, the tank's own readings
// say: kinds of rock are tried beside none, each weighed by how well it foretold
// the readings.

// Rock exchanges with the water at Rate a day in proportion to the difference
// between the water's level and the level the rock is at rest with, and holds Room
// times what the water holds at the same level. The zero value exchanges nothing.
type Rock struct{ Rate, Room float64 }

// rockShares and rockRooms are the kinds of rock that are tried: what share of the
// removal at its usual rate is exchange, and the room. Judgement, no source.
var (
	rockShares = []float64{0.4, 0.8}
	rockRooms  = []float64{5, 20}
)

const (
	rockChance = 0.5 // that rock is felt at all, beforehand: judgement
	rockDoubt  = 0.4 // doubt of the level the rock is at rest with at the first reading, as a share of the usual level
	rockStep   = 3   // days: exchange and removal are taken in turn over no more than this
)

// rocks adds points at the mode with each kind of rock, weighed against the whole of
// the points without.
func (e *engine) rocks(mode spreads, sites []site, points []point, logs []float64) ([]point, []float64) {
	if !e.habit.Rock || e.ref <= 0 {
		return points, logs
	}
	still := logs[0] - math.Log(1-1/sq(radius)) // the mode's own, as if it were alone
	whole := logSum(logs)
	chance := rockChance / (1 - rockChance) / float64(len(rockShares)*len(rockRooms))
	tl := newTimeline(e.c, e.start, e.asOf, nil)
	for _, share := range rockShares {
		for _, room := range rockRooms {
			w := e.newRockWalker(mode, share, room)
			log := e.carryWalker(w, tl, sites, jump{})
			points = append(points, point{s: mode, w: w})
			logs = append(logs, log+e.habit.prior(mode)-still+whole+math.Log(chance))
		}
	}
	return points, logs
}

// newRockWalker is a walker of whose removal a share is exchange with rock.
func (e *engine) newRockWalker(s spreads, share, room float64) *walker {
	w := e.walkerOf(layoutOf(e.c, 3))
	w.reset(s)
	w.rock = Rock{Rate: share * w.flow.Relax, Room: room}
	w.flow.Relax -= w.rock.Rate
	w.f.Set(stateRock, e.startLevel, sq(rockDoubt*e.ref))
	return w
}

// driftByRock carries the belief to t with half the exchange before and half after
// what else happens, a step at a time (Strang 1968, SIAM J. Numer. Anal. 5:506).
func (w *walker) driftByRock(t float64, inputs []Input, feeds []Feed) {
	steps := max(math.Ceil((t-w.t)/rockStep), 1)
	dt := (t - w.t) / steps
	for i := 1.0; i <= steps; i++ {
		to, first := w.t+dt, 0
		if i == steps {
			to, first = t, len(inputs)
		}
		for ; first < len(inputs) && inputs[first].T <= to; first++ {
		}
		w.swap(dt / 2)
		w.drifted(to, inputs[:first], feeds)
		w.swap(dt / 2)
		inputs = inputs[first:]
	}
}

// swap is the exchange over dt alone.
func (w *walker) swap(dt float64) {
	if dt <= 0 {
		return
	}
	n := w.l.n
	clear(w.F)
	clear(w.c)
	clear(w.q)
	water, rock := w.rock.Over(dt)
	w.F[stateWander*n+stateWander] = 1
	w.F[stateLevel*n+stateLevel], w.F[stateLevel*n+stateRock] = 1-water, water
	w.F[stateRock*n+stateRock], w.F[stateRock*n+stateLevel] = 1-rock, rock
	w.to.Move(w.F, w.c, w.q)
}

// Over is by what share of the difference between rock and water the water moves
// towards the rock and the rock towards the water in dt days of exchange alone:
// what they hold together stays.
func (r Rock) Over(dt float64) (water, rock float64) {
	if r.Rate <= 0 {
		return 0, 0
	}
	gone := -math.Expm1(-r.Rate * (1 + 1/r.Room) * dt)
	water = gone * r.Room / (1 + r.Room)
	return water, water / r.Room
}

// Swap exchanges between water and rock for dt days.
func (r Rock) Swap(level, rock, dt float64) (float64, float64) {
	toWater, toRock := r.Over(dt)
	return level + toWater*(rock-level), rock + toRock*(level-rock)
}

// Settles is how many days the level takes to all but a twentieth of the way to where
// it settles, when water and rock start together and removal is at so much a day.
func (r Rock) Settles(removal float64) float64 {
	if !(removal > 0) {
		return math.Inf(1)
	}
	if r.Rate <= 0 {
		return math.Log(20) / removal
	}
	// x' = -(removal+rate)·x + rate·y, y' = rate/room·(x-y), from x = y = 1.
	a, d := removal+r.Rate, r.Rate/r.Room
	mid, root := (a+d)/2, math.Sqrt(sq((a-d)/2)+r.Rate*d)
	slow, fast := removal*d/(mid+root), mid+root
	ofSlow := (fast - removal) / (fast - slow) // x(0) = 1 and x'(0) = -removal
	left := func(t float64) float64 {
		return ofSlow*math.Exp(-slow*t) + (1-ofSlow)*math.Exp(-fast*t)
	}
	low, high := 0.0, math.Log(20)/slow
	for range 60 {
		if mid := (low + high) / 2; left(mid) > 0.05 {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// exchanging adds what goes from the water to the rock a day to the terms of the demand.
func (w *walker) exchanging(terms []statespace.Term) []statespace.Term {
	if w.rock.Rate > 0 {
		terms[0].Coef += w.rock.Rate
		terms = append(terms, statespace.Term{State: stateRock, Coef: -w.rock.Rate})
	}
	return terms
}

// Rocky is the chance that the rock is felt, and the share of removal at the usual
// level that is exchange with it, on average over what it may be.
func (s *State) Rocky() (chance, share float64) {
	for _, p := range s.points {
		if r := p.w.rock.Rate; r > 0 {
			chance += p.weight
			share += p.weight * r / (r + p.w.flow.Relax)
		}
	}
	return chance, share
}
