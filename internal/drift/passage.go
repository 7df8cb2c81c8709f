package drift

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
)

// paths is how many futures are drawn for the chance of an excursion; the
// survival of each path is followed in closed form between stops, so the error
// of a chance is at most about 0.01.
const paths = 1500

// leg is one stop of a path under one set of spreads: C ← keep·C − byMean·m −
// byWander·w + add + noise, ended by a mark or by a water change.
type leg struct {
	keep, byMean, byWander, add, rho float64
	rootC, crossW, rootW             float64 // Cholesky factor of the noise of (C, w)
	bridge                           float64 // variance of the level's own movement over the leg
	byYield                          float64 // what food gives over the usual, if all of it ended in the water
	lasting                          float64 // what one standard deviation of lasting error adds
	change                           *Change // that ends the leg
	day                              int     // of the mark, -1 for none
	toWater, toRock                  float64 // half of the exchange with rock
}

// watch draws futures and counts when they first leave the band.
func (s *State) watch(tl timeline, future *engine, out *Outlook) {
	band := s.e.c.Band
	if math.IsNaN(band.Low) && math.IsNaN(band.High) {
		return
	}
	n := len(out.Days)
	w := watcher{low: math.Inf(-1), high: math.Inf(1), floor: s.e.habit.Floor,
		all: make([]float64, n), fresh: make([]float64, n),
		rng: rand.New(rand.NewPCG(20, 26))}
	if !math.IsNaN(band.Low) {
		w.low = band.Low
	}
	if !math.IsNaN(band.High) {
		w.high = band.High
	}
	done, due := 0, 0.0
	for _, p := range s.points {
		due += p.weight * paths
		count := int(math.Round(due)) - done
		done += count
		w.run(p.w.legs(tl, future), newDrawer(p.w), count)
	}
	w.report(out, float64(max(done, 1)))
}

type watcher struct {
	low, high, floor float64
	all, fresh       []float64 // by day: paths that have left; of these, those inside at the start
	outside          float64   // paths outside at the start
	byLow, byHigh    float64
	rng              *rand.Rand
}

func (w *watcher) run(legs []leg, d *drawer, count int) {
	for number := range count {
		x := d.draw(number)
		c, wn, rock, m, mixes := x.level, x.wander, x.rock, x.demand, x.mixes
		lasting := w.rng.NormFloat64()
		alive := 1.0
		born := c >= w.low && c <= w.high
		if !born {
			w.outside++
			alive = 0
			w.side(c < w.low, 1)
		}
		for i := range legs {
			c, rock = legs[i].swap(c, rock)
			c, wn, rock = w.step(&legs[i], c+(lasting*legs[i].lasting+x.yield*legs[i].byYield)/legs[i].keep, wn, rock, m, mixes, &alive)
			if d := legs[i].day; d >= 0 {
				w.all[d] += 1 - alive
				if born {
					w.fresh[d] += 1 - alive
				}
			}
		}
	}
}

func (w *watcher) side(low bool, share float64) {
	if low {
		w.byLow += share
	} else {
		w.byHigh += share
	}
}

// step carries a path over one leg and takes from alive what left on the way.
func (w *watcher) step(l *leg, c, wn, rock, m float64, mixes []float64, alive *float64) (level, wander, atRest float64) {
	z1, z2 := w.rng.NormFloat64(), w.rng.NormFloat64()
	next := l.keep*c - l.byMean*m - l.byWander*wn + l.add + l.rootC*z1
	wn = l.rho*wn + l.crossW*z1 + l.rootW*z2
	next, rock = l.swap(next, rock)
	if *alive > 0 {
		w.cross(c, next, l.bridge, alive)
	}
	if l.change != nil {
		next = w.mix(l.change, next, mixes)
		if *alive > 0 {
			w.cross(next, next, 0, alive)
		}
	}
	return max(next, w.floor), wn, rock
}

// swap is half the exchange with rock.
func (l *leg) swap(level, rock float64) (float64, float64) {
	d := rock - level
	return level + l.toWater*d, rock - l.toRock*d
}

// mix ends a leg with a water change.
func (w *watcher) mix(c *Change, level float64, mixes []float64) float64 {
	target := c.Value
	if c.Mix >= 0 {
		target += mixes[c.Mix]
	}
	if c.SD > 0 {
		target += c.SD * w.rng.NormFloat64()
	}
	return level + c.Fraction*(target-level)
}

// cross takes from alive the chance that a path from a to b has left the band,
// by the law of a Brownian bridge (Chhikara & Folks 1989 give the one-barrier
// law it rests on; both barriers within one leg are treated as apart).
func (w *watcher) cross(a, b, bridge float64, alive *float64) {
	pl, ph := touch(a-w.low, b-w.low, bridge), touch(w.high-a, w.high-b, bridge)
	if pl == 0 && ph == 0 {
		return
	}
	w.byLow += *alive * pl
	*alive *= 1 - pl
	w.byHigh += *alive * ph
	*alive *= 1 - ph
}

// touch is the chance that a bridge between two distances from a barrier touches it.
func touch(a, b, variance float64) float64 {
	if a <= 0 || b <= 0 {
		return 1
	}
	if variance <= 0 || math.IsInf(a, 1) {
		return 0
	}
	return math.Exp(-2 * a * b / variance)
}

func (w *watcher) report(out *Outlook, total float64) {
	out.PNow = w.outside / total
	out.PLow, out.PHigh = w.byLow/total, w.byHigh/total
	inside := total - w.outside
	for i := range out.Days {
		out.Days[i].POutside = w.all[i] / total
		if inside > 0 {
			out.Days[i].PNew = w.fresh[i] / inside
		}
	}
}

// legs works out the stops of the plan under the walker's spreads.
func (w *walker) legs(tl timeline, future *engine) []leg {
	v := w.fork(future)
	out := make([]leg, 0, len(tl.nodes))
	lasting := 0.0
	for _, n := range tl.nodes {
		v.ease()
		inputs := future.c.Inputs[n.first:n.last]
		l := v.leg(n.t, inputs, &lasting)
		v.drift(n.t, inputs, future.c.Feeds)
		if n.kind == nodeChange {
			l.change = &future.c.Changes[n.index]
			v.change(l.change)
		} else {
			l.day = n.index
		}
		out = append(out, l)
	}
	return out
}

// leg is the way to the moment t. Of the level's noise only a share is movement
// of the water; the rest is what the model does not know, which lasts and is
// carried as one standard deviation, lasting.
func (w *walker) leg(t float64, inputs []Input, lasting *float64) leg {
	p := w.flow.Over(max(t-w.t, 0))
	decayed, _, variance := w.driven(t, inputs, w.e.c.Feeds)
	l := leg{keep: p.Keep, byMean: p.ByMean, byWander: p.ByWander, rho: p.Rho,
		add: (1-p.Keep)*w.ref + decayed, day: -1}
	l.byYield, _ = w.eaten(t)
	l.toWater, l.toRock = w.rock.Over(max(t-w.t, 0) / 2)
	l.bridge = w.e.habit.Restless * p.QCCLevel
	was := *lasting
	*lasting = math.Sqrt(sq(p.Keep*was) + p.QCCLevel - l.bridge)
	l.lasting = *lasting - p.Keep*was
	if qcc := p.QCC - p.QCCLevel + l.bridge + variance; qcc > 0 {
		l.rootC = math.Sqrt(qcc)
		l.crossW = p.QCw / l.rootC
	}
	l.rootW = math.Sqrt(max(p.Qww-sq(l.crossW), 0))
	return l
}

// drawer draws starting states from a walker's belief.
type drawer struct {
	mean  []float64
	root  *mat.TriDense
	mixes []int // place of each mix's error among the drawn states, -1 for none
	yield int   // place of the food's yield, -1 for none
	rock  int   // place of the rock's level, -1 for none
	step  []float64
	shift []float64 // where the recurrence starts
	z, x  []float64
	out   []float64
}

func newDrawer(w *walker) *drawer {
	states := []int{stateLevel, stateWander, w.l.mean}
	d := &drawer{mixes: make([]int, len(w.l.mixes)), yield: -1, rock: -1, out: make([]float64, len(w.l.mixes))}
	for i, m := range w.l.mixes {
		d.mixes[i] = -1
		if m >= 0 {
			d.mixes[i] = len(states)
			states = append(states, m)
		}
	}
	if w.l.yield >= 0 {
		d.yield = len(states)
		states = append(states, w.l.yield)
	}
	if w.rock.Rate > 0 {
		d.rock = len(states)
		states = append(states, stateRock)
	}
	n := len(states)
	cov := mat.NewSymDense(n, nil)
	for i, a := range states {
		d.mean = append(d.mean, w.f.X[a])
		for j := i; j < n; j++ {
			cov.SetSym(i, j, w.f.P[a*w.f.N+states[j]])
		}
	}
	d.root = rootOf(cov)
	d.z, d.x, d.step, d.shift = make([]float64, n), make([]float64, n), recurrence(n), make([]float64, n)
	for i := range d.shift {
		d.shift[i] = 0.5
	}
	return d
}

// recurrence is the powers of the inverse of the root of x^(n+1) = x + 1.
func recurrence(n int) []float64 {
	x := 1.5
	for range 40 {
		x = math.Pow(1+x, 1/float64(n+1))
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = math.Pow(1/x, float64(i+1))
	}
	return out
}

// rootOf is a triangular root of a covariance; a singular one is helped by a trifle.
func rootOf(cov *mat.SymDense) *mat.TriDense {
	n := cov.SymmetricDim()
	var ch mat.Cholesky
	fits := ch.Factorize(cov)
	for bump := 1e-12; !fits && bump < 1; bump *= 100 {
		for i := range n {
			cov.SetSym(i, i, cov.At(i, i)*(1+bump)+1e-30)
		}
		fits = ch.Factorize(cov)
	}
	if !fits {
		return mat.NewTriDense(n, mat.Lower, nil) // no covariance at all: no spread
	}
	var root mat.TriDense
	ch.LTo(&root)
	return &root
}

// start is a starting state.
type start struct {
	level, wander, demand float64
	yield                 float64 // of food; 0 where there is none
	rock                  float64 // the level the rock is at rest with; 0 where there is none
	mixes                 []float64
}

// draw returns starting state number i. The states are spread evenly over the
// belief by an additive recurrence (Niederreiter 1992, Random Number Generation
// and Quasi-Monte Carlo Methods, chapter 3), which leaves far less chance error
// than independent draws.
func (d *drawer) draw(number int) start {
	for i := range d.z {
		_, u := math.Modf(d.shift[i] + float64(number+1)*d.step[i])
		d.z[i] = math.Sqrt2 * math.Erfinv(2*u-1)
		d.x[i] = d.mean[i]
		for j := 0; j <= i; j++ {
			d.x[i] += d.root.At(i, j) * d.z[j]
		}
	}
	for i, at := range d.mixes {
		if at >= 0 {
			d.out[i] = d.x[at]
		}
	}
	s := start{level: d.x[0], wander: d.x[1], demand: d.x[2], mixes: d.out}
	if d.yield >= 0 {
		s.yield = d.x[d.yield]
	}
	if d.rock >= 0 {
		s.rock = d.x[d.rock]
	}
	return s
}
