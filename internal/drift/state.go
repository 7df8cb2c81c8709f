package drift

import (
	"math"

	"driftline/statespace"
)

// Now returns the level and the demand (net loss a day) as of the moment.
func (s *State) Now() (level, demand Estimate) {
	var l, d blend
	for _, p := range s.points {
		m, v := p.level()
		l.add(p.weight, m, v)
		m, v = p.demand()
		d.add(p.weight, m, v)
	}
	mean, sd := l.floored(s.e.habit.Floor)
	return Estimate{mean, sd}, d.estimate()
}

func (p *point) level() (mean, variance float64) {
	return p.w.f.X[stateLevel], max(p.w.f.Var(stateLevel), 0)
}

// demand is m + w + relax·(C − ref), and what goes to the rock.
func (p *point) demand() (mean, variance float64) {
	relax := p.w.flow.Relax
	mean, variance = p.w.f.Combine(p.w.exchanging([]statespace.Term{
		{State: stateLevel, Coef: relax}, {State: stateWander, Coef: 1}, {State: p.w.l.mean, Coef: 1},
	}))
	return mean - relax*p.w.e.ref, variance
}

// Kits returns the bias of each kit of the case, in its order.
func (s *State) Kits() []Estimate {
	out := make([]Estimate, len(s.e.c.Kits))
	for i := range out {
		var b blend
		for _, p := range s.points {
			k := p.w.l.kits[i]
			b.add(p.weight, p.w.f.X[k], max(p.w.f.Var(k), 0))
		}
		out[i] = b.estimate()
	}
	return out
}

// Readings returns what is thought of each reading up to as-of, in their order.
func (s *State) Readings() []Doubt {
	out := make([]Doubt, len(s.sites))
	factor := math.Exp(2 * s.mode[scatter])
	for i, site := range s.sites {
		out[i] = Doubt{Misread: site.misread, Expected: site.expected,
			SD: math.Sqrt(factor*s.e.readVar[i] + s.e.roundVar[i])}
	}
	return out
}

// Surprise is how a reading taken now with the kit (-1: a kit unknown so far)
// would be expected to come out.
func (s *State) Surprise(kit int) Estimate {
	var b blend
	for _, p := range s.points {
		h := []statespace.Term{{State: stateLevel, Coef: 1}}
		extra := 0.0
		if kit >= 0 && kit < len(s.e.c.Kits) {
			h = append(h, statespace.Term{State: p.w.l.kits[kit], Coef: 1})
			k := s.e.c.Kits[kit]
			extra = p.w.scatter*(sq(k.SD)+sq(k.RelSD*s.e.ref)) + sq(k.Resolution)/12
		}
		m, v := p.w.f.Combine(h)
		b.add(p.weight, m, v+extra)
	}
	return b.estimate()
}

// History returns the smoothed level at the given moments up to as-of, which must
// be in order, at the most likely spreads.
func (s *State) History(times []float64) []Estimate {
	e := s.e
	w := e.newWalker(s.mode, false)
	tape := borrowTape(w.f)
	defer tapes.Put(tape)
	w.to = tape
	marks := make([]node, 0, len(times))
	for i, t := range times {
		marks = append(marks, node{t: max(min(t, e.asOf), e.start), kind: nodeMarkAfter, index: i})
	}
	w.walk(newTimeline(e.c, e.start, e.asOf, marks), s.sites, w.marking(tape, s.jump))
	out := make([]Estimate, len(times))
	var b blend
	level := []statespace.Term{{State: stateLevel, Coef: 1}}
	tape.Back(func(i int, at *statespace.Smoothed) {
		b.reset()
		mean, variance := at.Combine(level)
		b.add(1, mean, variance)
		out[i].Mean, out[i].SD = b.floored(e.habit.Floor)
	})
	return out
}

// marking marks the tape at every stop but that of the jump.
func (w *walker) marking(tape *statespace.Tape, j jump) func(node) {
	return func(n node) {
		if n.index == leapMark {
			w.leap(j)
			return
		}
		tape.Mark()
	}
}

// blend is a mixture of normal laws.
type blend struct{ weight, mean, variance []float64 }

func (b *blend) add(weight, mean, variance float64) {
	b.weight = append(b.weight, weight)
	b.mean = append(b.mean, mean)
	b.variance = append(b.variance, variance)
}

func (b *blend) reset() { b.weight, b.mean, b.variance = b.weight[:0], b.mean[:0], b.variance[:0] }

// estimate is the mean and standard deviation of the mixture.
func (b *blend) estimate() Estimate {
	m, s := 0.0, 0.0
	for i, w := range b.weight {
		m += w * b.mean[i]
		s += w * (b.variance[i] + sq(b.mean[i]))
	}
	return Estimate{m, math.Sqrt(max(s-m*m, 0))}
}

// floored is the same for a level that stops at a floor.
func (b *blend) floored(floor float64) (mean, sd float64) {
	m, s := 0.0, 0.0
	for i, w := range b.weight {
		d, sdi := b.mean[i]-floor, math.Sqrt(b.variance[i])
		if sdi == 0 || d > 6*sdi {
			m += w * d
			s += w * (b.variance[i] + d*d)
			continue
		}
		above := 0.5 * math.Erfc(-d/sdi/math.Sqrt2)
		density := sdi * math.Exp(-d*d/(2*b.variance[i])) / math.Sqrt(2*math.Pi)
		m += w * (d*above + density)
		s += w * ((d*d+b.variance[i])*above + d*density)
	}
	return floor + m, math.Sqrt(max(s-m*m, 0))
}

// below is the chance of a value under x.
func (b *blend) below(x float64) float64 {
	sum := 0.0
	for i, w := range b.weight {
		sd := math.Sqrt(b.variance[i])
		if sd == 0 {
			if x >= b.mean[i] {
				sum += w
			}
			continue
		}
		sum += w * 0.5 * math.Erfc((b.mean[i]-x)/(sd*math.Sqrt2))
	}
	return sum
}

// quantile inverts below by bisection, started from a normal guess, to 1e-4 of
// the standard deviation.
func (b *blend) quantile(p, z float64) float64 {
	e := b.estimate()
	if e.SD == 0 {
		return e.Mean
	}
	step := 0.5 * e.SD
	lo, hi := e.Mean+z*e.SD-step, e.Mean+z*e.SD+step
	for b.below(lo) > p {
		lo -= step
		step *= 2
	}
	for b.below(hi) < p {
		hi += step
		step *= 2
	}
	for hi-lo > 1e-4*e.SD {
		mid := (lo + hi) / 2
		if b.below(mid) < p {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}
