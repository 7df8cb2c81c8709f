package drift

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// posterior is the log density of the spreads given the readings, up to a constant.
type posterior struct {
	e     *engine
	w     *walker
	tl    timeline
	sites []site
	start float64
	level float64
}

func (e *engine) newPosterior() *posterior {
	p := &posterior{e: e, w: e.newWalker(spreads{}, false), start: e.start, level: e.startLevel}
	rs := e.c.Readings
	if len(rs) > searchReadings {
		tail := rs[len(rs)-searchReadings:]
		p.start, p.level = tail[0].T, rollingMedians(values(tail[:5]), 2)[2]
	}
	p.tl = newTimeline(e.c, p.start, e.asOf, nil)
	p.sites = make([]site, len(rs))
	for i := range p.sites {
		p.sites[i].use = siteTilt
	}
	return p
}

func (p *posterior) at(s spreads) float64 {
	p.w.reset(s)
	p.w.t = p.start
	p.w.f.X[stateLevel] = p.level
	log := p.w.walk(p.tl, p.sites, nil) + p.e.habit.prior(s)
	if !finite(log) {
		return hopeless
	}
	return log
}

// hopeless stands for the density of spreads under which the figures break down.
const hopeless = -1e9

// search finds the most likely spreads by Newton steps along each axis; the
// priors keep the surface round enough for that.
func (e *engine) search() spreads {
	p := e.newPosterior()
	sd := e.habit.spreadSDs()
	var at spreads
	best := p.at(at)
	for round := range 4 {
		step := p.newtonStep(at, best, sd, 0.4/float64(1+round/2))
		moved := false
		for range 3 {
			next := add(at, step, 1)
			if v := p.at(next); v > best {
				gain := v - best
				at, best, moved = next, v, gain > 0.02
				break
			}
			for i := range step {
				step[i] /= 3
			}
		}
		if !moved {
			break
		}
	}
	return at
}

// newtonStep fits a parabola along each axis.
func (p *posterior) newtonStep(at spreads, best float64, sd spreads, share float64) spreads {
	var step spreads
	for i := range at {
		d := share * sd[i]
		up, down := at, at
		up[i] += d
		down[i] -= d
		a, b := p.at(up), p.at(down)
		slope, bend := (a-b)/(2*d), (a-2*best+b)/(d*d)
		if bend < -0.1/sq(sd[i]) {
			step[i] = -slope / bend
		} else {
			step[i] = math.Copysign(sd[i], slope)
		}
		step[i] = math.Max(-1.5*sd[i], math.Min(1.5*sd[i], step[i]))
	}
	return step
}

func add(a, b spreads, times float64) spreads {
	for i := range a {
		a[i] += times * b[i]
	}
	return a
}

// covariance is the inverse of the curvature at the mode, never wider than the prior
// allows by much.
func (p *posterior) covariance(at spreads) *mat.SymDense {
	sd := p.e.habit.spreadSDs()
	best := p.at(at)
	up := make([]float64, len(at))
	h := mat.NewSymDense(len(at), nil)
	d := sd
	for i := range d {
		d[i] *= 0.4
	}
	for i := range at {
		a, b := at, at
		a[i] += d[i]
		b[i] -= d[i]
		up[i] = p.at(a)
		h.SetSym(i, i, math.Max(-(up[i]-2*best+p.at(b))/sq(d[i]), 0.5/sq(sd[i])))
	}
	for i := range at {
		for j := i + 1; j < len(at); j++ {
			a := at
			a[i] += d[i]
			a[j] += d[j]
			h.SetSym(i, j, -(p.at(a)-up[i]-up[j]+best)/(d[i]*d[j]))
		}
	}
	return invert(h)
}

// invert turns a curvature into a covariance, dropping the correlations when
// they do not fit together.
func invert(h *mat.SymDense) *mat.SymDense {
	n := h.SymmetricDim()
	var out mat.SymDense
	var ch mat.Cholesky
	if ch.Factorize(h) && ch.InverseTo(&out) == nil {
		return &out
	}
	diag := mat.NewSymDense(n, nil)
	for i := range n {
		diag.SetSym(i, i, 1/math.Max(h.At(i, i), 1e-6))
	}
	return diag
}

// radius of the design's sphere over the square root of the number of spreads.
const radius = 1.2

// design carries the belief to as-of at the mode and at 16 points on a sphere
// around it (Rue et al. 2009, section 6.5): eight along the axes and a half
// fraction of the corners. Points at the mode with a jump of the demand come on
// top.
func (e *engine) design(mode spreads, sites []site) []point {
	p := e.newPosterior()
	lower := rootOf(p.covariance(mode))
	tl := newTimeline(e.c, e.start, e.asOf, nil)
	var points []point
	var logs []float64
	for i, z := range designDirections() {
		s := mode
		for a := range s {
			for b := range a + 1 {
				s[a] += lower.At(a, b) * z[b]
			}
		}
		w, log := e.carry(s, tl, sites, jump{})
		share := math.Log(1 - 1/sq(radius))
		if i > 0 {
			share = math.Log(1/(sq(radius)*16)) + sq(radius)*float64(len(s))/2
		}
		points = append(points, point{s: s, w: w})
		logs = append(logs, log+e.habit.prior(s)+share)
	}
	still := len(points)
	points, logs = e.jumps(mode, sites, points, logs)
	rocky, rockLogs := e.rocks(mode, sites, points[:still:still], logs[:still:still])
	points, logs = append(points, rocky[still:]...), append(logs, rockLogs[still:]...)
	return weigh(points, logs)
}

// carry takes the prior belief to as-of, past a jump of the demand if there is one,
// and returns the log density of the readings.
func (e *engine) carry(s spreads, tl timeline, sites []site, j jump) (*walker, float64) {
	w := e.newWalker(s, false)
	return w, e.carryWalker(w, tl, sites, j)
}

// carryWalker does so with a walker of its own kind.
func (e *engine) carryWalker(w *walker, tl timeline, sites []site, j jump) float64 {
	w.wrong = map[int]float64{}
	log := w.walk(tl, sites, func(node) { w.leap(j) })
	rest := 0
	if k := len(tl.nodes); k > 0 {
		rest = tl.nodes[k-1].last
	}
	w.drift(after(e.asOf), e.c.Inputs[rest:], e.c.Feeds)
	return log
}

// leap loosens the demand.
func (w *walker) leap(j jump) { w.f.Loosen(stateWander, sq(j.size)) }

// marks is the stop at the jump, none where there is no jump.
func (j jump) marks() []node {
	if j.size == 0 {
		return nil
	}
	return []node{{t: j.at, kind: nodeMarkAfter, index: leapMark}}
}

// leapMark is the index of the mark at which the demand leaps.
const leapMark = -1

// likeliest is the jump that history and ledger are told with: the weightiest,
// when that there was one is likelier than not.
func likeliest(points []point) (best jump) {
	top, sum := 0.0, 0.0
	for _, p := range points {
		if p.jump.size == 0 {
			continue
		}
		sum += p.weight
		if p.weight > top {
			top, best = p.weight, p.jump
		}
	}
	if sum <= 0.5 {
		return jump{}
	}
	return best
}

// A demand may jump: a pump stops, a colony dies, somebody else feeds. A jump is
// tried right after the reading so many places from the newest; how likely one
// was beforehand goes by the time until the next such reading, and what the
// readings since say of it decides what it weighs.
var jumpPlaces = []int{2, 3, 4, 6, 9, 14}

// jumpRate is the chance of a jump a day, and the least and greatest chance given
// to one place: judgement, no source.
const (
	jumpRate  = 1.0 / 1200
	jumpLeast = 0.003
	jumpMost  = 0.02
)

// jumps adds points at the mode with a jump, each weighed against the whole of the
// points without.
func (e *engine) jumps(mode spreads, sites []site, points []point, logs []float64) ([]point, []float64) {
	size := 2*e.habit.Wander + 0.2*math.Abs(e.supply())
	still := logs[0] - math.Log(1-1/sq(radius)) // the mode's own, as if it were alone
	whole := logSum(logs)
	rs, until := e.c.Readings, e.asOf
	for _, back := range jumpPlaces {
		if back >= len(rs) {
			break
		}
		at := rs[len(rs)-back].T
		chance := math.Min(jumpMost, math.Max(jumpLeast, jumpRate*(until-at)))
		until = at
		j := jump{at: at, size: size}
		w, log := e.carry(mode, newTimeline(e.c, e.start, e.asOf, j.marks()), sites, j)
		points = append(points, point{s: mode, w: w, jump: j})
		logs = append(logs, log+e.habit.prior(mode)-still+whole+math.Log(chance))
	}
	return points, logs
}

// logSum is log Σ e^l.
func logSum(logs []float64) float64 {
	top := slices.Max(logs)
	sum := 0.0
	for _, l := range logs {
		sum += math.Exp(l - top)
	}
	return top + math.Log(sum)
}

func designDirections() [][4]float64 {
	r := radius * 2 // √4 spreads
	out := [][4]float64{{}}
	for i := range 4 {
		for _, s := range []float64{-r, r} {
			var z [4]float64
			z[i] = s
			out = append(out, z)
		}
	}
	for b := range 8 {
		z := [4]float64{sign(b & 1), sign(b & 2), sign(b & 4), 0}
		z[3] = z[0] * z[1] * z[2]
		for i := range z {
			z[i] *= radius
		}
		out = append(out, z)
	}
	return out
}

func sign(bit int) float64 {
	if bit == 0 {
		return -1
	}
	return 1
}

// weigh turns log weights into shares that sum to one and drops the negligible.
func weigh(points []point, logs []float64) []point {
	top := math.Inf(-1)
	for _, l := range logs {
		top = math.Max(top, l)
	}
	sum := 0.0
	for i, l := range logs {
		points[i].weight = math.Exp(l - top)
		sum += points[i].weight
	}
	kept, rest := points[:0], 0.0
	for _, p := range points {
		if p.weight /= sum; p.weight > 0.003 {
			kept = append(kept, p)
			rest += p.weight
		}
	}
	for i := range kept {
		kept[i].weight /= rest
	}
	return kept
}
