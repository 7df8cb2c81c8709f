package drift

import (
	"math"

	"driftline/statespace"
)

// The states of the filter. The account runs with one more moving state, the
// demand summed so far; then come the constants: long-run demand, biases of the
// kits, standing errors of the mixes.
const (
	stateLevel  = 0
	stateWander = 1
	stateTaken  = 2 // account only
	stateRock   = 2 // with rock only: the level it is at rest with
)

// biasLoosening is the share of a kit's bias variance renewed a day: reagents
// age and bottles are replaced within about nine months (common practice, no
// source), each new one of the same make sitting off by a third of the kit's
// usual bias or so.
const biasLoosening = 0.1 / 180

type layout struct {
	n, k  int
	mean  int
	kits  []int // state of each kit's bias
	mixes []int // state of each mix's error, -1 where there is none
	yield int   // state of the food's yield, -1 where there is no food
}

func newLayout(c *Case, account bool) layout {
	if account {
		return layoutOf(c, 3)
	}
	return layoutOf(c, 2)
}

// layoutOf has so many moving states.
func layoutOf(c *Case, moving int) layout {
	l := layout{k: moving}
	l.mean, l.n = l.k, l.k+1
	for range c.Kits {
		l.kits = append(l.kits, l.n)
		l.n++
	}
	for _, sd := range c.Mixes {
		s := -1
		if sd > 0 {
			s = l.n
			l.n++
		}
		l.mixes = append(l.mixes, s)
	}
	l.yield = -1
	if len(c.Food) > 0 {
		l.yield = l.n
		l.n++
	}
	return l
}

// carrier is a filter or a tape over one.
type carrier interface {
	Move(F, c, q []float64)
	Observe(h []statespace.Term, y, r float64) (surprise, variance float64)
}

// walker takes a belief along a timeline under one set of spreads.
type walker struct {
	e       *engine
	l       layout
	flow    statespace.Flow
	rock    Rock
	scatter float64 // variance factor of kit scatter
	f       *statespace.Filter
	to      carrier
	t       float64
	F, c, q []float64
	h       [2]statespace.Term
	account bool
	from    float64 // account: when the sum of demand starts
	ref     float64
	ahead   bool            // carrying a belief into the future
	wrong   map[int]float64 // chance of a misread of each reading folded in by moments
}

func (e *engine) newWalker(s spreads, account bool) *walker {
	w := e.walkerOf(newLayout(e.c, account))
	w.account = account
	w.reset(s)
	return w
}

func (e *engine) walkerOf(l layout) *walker {
	w := &walker{e: e, l: l,
		F: make([]float64, l.k*l.n), c: make([]float64, l.k), q: make([]float64, l.k*l.k)}
	w.f = statespace.NewFilter(l.n, l.k)
	w.to = w.f
	return w
}

// reset starts over with the prior belief.
func (w *walker) reset(s spreads) {
	h, sd := w.e.habit, math.Exp(s[wander])*w.e.habit.Wander
	revert := 1 / h.WanderDays
	w.flow = statespace.Flow{
		Relax:     h.Relax * math.Exp(s[relax]),
		Revert:    revert,
		WanderVar: 2 * revert * sd * sd,
		LevelVar:  sq(h.Noise * math.Exp(s[noise])),
	}
	w.scatter = math.Exp(2 * s[scatter])
	f := w.f
	clear(f.X)
	clear(f.P)
	f.Set(stateLevel, w.e.startLevel, sq(h.LevelSD))
	f.Set(stateWander, 0, sd*sd)
	f.Set(w.l.mean, h.DemandMean, sq(h.DemandSD))
	for i, k := range w.l.kits {
		f.Set(k, 0, w.e.biasVar[i])
	}
	for i, m := range w.l.mixes {
		if m >= 0 {
			f.Set(m, 0, sq(w.e.c.Mixes[i]))
		}
	}
	if w.l.yield >= 0 {
		mean, sd := w.e.yield(w.flow.Relax)
		f.Set(w.l.yield, mean, sq(sd))
	}
	w.t, w.ref = w.e.start, w.e.ref
}

func sq(x float64) float64 { return x * x }

// drift carries the belief to the moment t with the given inputs and feeds.
func (w *walker) drift(t float64, inputs []Input, feeds []Feed) {
	if w.rock.Rate > 0 {
		w.driftByRock(t, inputs, feeds)
		return
	}
	w.drifted(t, inputs, feeds)
}

// drifted is the same without the rock.
func (w *walker) drifted(t float64, inputs []Input, feeds []Feed) {
	dt := t - w.t
	if dt <= 0 && len(inputs) == 0 {
		return
	}
	dt = max(dt, 0)
	if w.ahead {
		w.ease()
	}
	p := w.flow.Over(dt)
	decayed, raw, variance := w.driven(t, inputs, feeds)
	n, k := w.l.n, w.l.k
	clear(w.F)
	clear(w.q)
	w.F[stateLevel] = p.Keep
	w.F[stateWander] = -p.ByWander
	w.F[w.l.mean] = -p.ByMean
	w.c[stateLevel] = (1-p.Keep)*w.ref + decayed
	left, given := w.eaten(t)
	if w.l.yield >= 0 {
		w.F[w.l.yield] = left
	}
	w.F[stateWander*n+stateWander] = p.Rho
	w.c[stateWander] = 0
	w.q[0], w.q[1], w.q[k], w.q[k+1] = p.QCC+variance, p.QCw, p.QCw, p.Qww
	if w.rock.Rate > 0 {
		w.F[stateRock*n+stateRock], w.c[stateRock] = 1, 0
	}
	if w.account {
		w.sumDemand(p, raw-decayed, given-left, t)
	}
	w.to.Move(w.F, w.c, w.q)
	for i, v := range w.e.biasVar {
		w.f.Loosen(w.l.kits[i], v*biasLoosening*dt)
	}
	w.t = t
}

// far is the share of the usual level under which demand is taken to fall in
// proportion to the level: nothing is taken from water that holds nothing.
const far = 0.7

// ease bends the straight line of demand over level where a forecast goes far
// below the usual level, keeping the demand where the belief stands now.
func (w *walker) ease() {
	w.flow.Relax, w.ref = eased(w.flow.Relax, w.ref, w.e.ref, w.f.X[stateLevel], w.f.X[w.l.mean]+w.f.X[stateWander])
}

// sumDemand fills the row of the demand taken so far: what left the level
// between two stops is what was there plus what was added less what is there now,
// apart from the level's own noise.
func (w *walker) sumDemand(p statespace.Passage, eaten, ofFood, t float64) {
	n, k := w.l.n, w.l.k
	w.F[stateTaken*n+stateTaken] = 1
	w.c[stateTaken] = 0
	if t <= w.from {
		return
	}
	w.F[stateTaken*n+stateLevel] = 1 - p.Keep
	w.F[stateTaken*n+stateWander] = p.ByWander
	w.F[stateTaken*n+w.l.mean] = p.ByMean
	w.c[stateTaken] = -(1-p.Keep)*w.ref + eaten
	if w.l.yield >= 0 {
		w.F[stateTaken*n+w.l.yield] = ofFood
	}
	byWander := p.QCC - p.QCCLevel
	w.q[stateTaken*k+stateTaken] = byWander
	w.q[stateTaken*k], w.q[stateTaken] = -byWander, -byWander
	w.q[stateTaken*k+1], w.q[k+stateTaken] = -p.QCw, -p.QCw
}

// driven is what inputs and feeds since the last stop have left at t, what they
// were to begin with, and the variance of what is left.
func (w *walker) driven(t float64, inputs []Input, feeds []Feed) (decayed, raw, variance float64) {
	relax := w.flow.Relax
	for i := range inputs {
		in := &inputs[i]
		keep := math.Exp(-relax * max(t-in.T, 0))
		decayed += in.Delta * keep
		raw += in.Delta
		variance += sq(in.SD * keep)
	}
	for i := range feeds {
		from, to := max(feeds[i].From, w.t), min(feeds[i].To, t)
		if to <= from {
			continue
		}
		decayed += feeds[i].Rate * statespace.Decayed(relax, to-from) * math.Exp(-relax*(t-to))
		raw += feeds[i].Rate * (to - from)
	}
	return decayed, raw, variance
}

// change mixes new water in.
func (w *walker) change(c *Change) {
	n, k := w.l.n, w.l.k
	clear(w.F)
	clear(w.q)
	for i := range k {
		w.F[i*n+i] = 1
		w.c[i] = 0
	}
	w.F[stateLevel] = 1 - c.Fraction
	w.c[stateLevel] = c.Fraction * c.Value
	if c.Mix >= 0 && w.l.mixes[c.Mix] >= 0 {
		w.F[w.l.mixes[c.Mix]] = c.Fraction
	}
	w.q[0] = sq(c.Fraction * c.SD)
	w.to.Move(w.F, w.c, w.q)
}

// sight is what a reading of the kit sees.
func (w *walker) sight(kit int) []statespace.Term {
	w.h[0] = statespace.Term{State: stateLevel, Coef: 1}
	w.h[1] = statespace.Term{State: w.l.kits[kit], Coef: 1}
	return w.h[:]
}

// variance of reading i under the walker's spreads.
func (w *walker) variance(i int) float64 {
	return w.scatter*w.e.readVar[i] + w.e.roundVar[i]
}

// read folds in reading i as its site says and returns its log density.
func (w *walker) read(i int, s *site) float64 {
	r := &w.e.c.Readings[i]
	h := w.sight(r.Kit)
	switch s.use {
	case siteSkip:
		return 0
	case siteFixed:
		w.to.Observe(h, s.y, s.r)
		return 0
	case sitePlain:
		v, variance := w.to.Observe(h, r.Value, w.variance(i))
		return statespace.LogDensity(v, variance)
	}
	t := w.readTilted(i, h)
	if w.wrong != nil {
		w.wrong[i] = t.misread
	}
	return t.logEvidence
}

// readTilted folds in a reading that may be wrong or under a limit.
func (w *walker) readTilted(i int, h []statespace.Term) tilt {
	mean, variance := w.f.Combine(h)
	r := w.variance(i)
	if rd := &w.e.c.Readings[i]; !rd.Below && sq(rd.Value-mean) < 4*(variance+r) {
		v, s := w.to.Observe(h, rd.Value, r) // surely not wild: the other branch weighs nothing
		return tilt{logEvidence: statespace.LogDensity(v, s)}
	}
	t := w.e.tilted(i, mean, variance, r)
	if w.to == carrier(w.f) {
		w.f.Absorb(h, t.mean, t.variance)
		return t
	}
	if y, r, ok := standIn(mean, variance, t); ok {
		w.to.Observe(h, y, r)
	}
	return t
}

// stayAbove leaves out what lies under the floor of the level, as far as a
// Gaussian belief can say so, when reading i was under its kit's limit: such a
// reading alone would let the level sink without end.
func (w *walker) stayAbove(i int) {
	if !w.e.c.Readings[i].Below {
		return
	}
	w.h[0] = statespace.Term{State: stateLevel, Coef: 1}
	h := w.h[:1]
	mean, variance := w.f.Combine(h)
	if d := mean - w.e.habit.Floor; variance <= 0 || d > 2.5*math.Sqrt(variance) {
		return
	}
	p := abovePart(mean, variance, w.e.habit.Floor)
	if w.to == carrier(w.f) {
		w.f.Absorb(h, p.mean, p.variance)
		return
	}
	if y, r, ok := standIn(mean, variance, tilt{mean: p.mean, variance: p.variance}); ok {
		w.to.Observe(h, y, r)
	}
}

// tilted is the belief (mean, variance) of what reading i should show after it was seen.
func (e *engine) tilted(i int, mean, variance, r float64) tilt {
	rd := &e.c.Readings[i]
	if rd.Below {
		return tiltBelow(mean, variance, rd.Value, r, e.habit.MisreadShare)
	}
	return tiltReading(mean, variance, rd.Value, r, e.wideVar[i], e.habit.MisreadShare)
}

// walk goes along a timeline and returns the log density of the readings met.
func (w *walker) walk(tl timeline, sites []site, mark func(n node)) float64 {
	sum := 0.0
	for _, n := range tl.nodes {
		w.drift(n.t, w.e.c.Inputs[n.first:n.last], w.e.c.Feeds)
		switch n.kind {
		case nodeReading:
			sum += w.read(n.index, &sites[n.index])
			w.stayAbove(n.index)
		case nodeChange:
			w.change(&w.e.c.Changes[n.index])
		default:
			mark(n)
		}
	}
	return sum
}
