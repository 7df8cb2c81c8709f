package drift

import (
	"math"

	"driftline/statespace"
)

// unsettled is how many of the newest readings each possible course of the tank
// judges for itself.
const unsettled = 6

// judge decides for each reading, from all the others before and after it, how
// likely it is a misread, and how the final passes should use it.
func (e *engine) judge(mode spreads) []site {
	sites := make([]site, len(e.c.Readings))
	for i := range sites {
		sites[i].use = siteTilt
	}
	for range 2 {
		e.judgeOnce(mode, sites)
	}
	last := len(sites) - 1
	for i := range sites {
		s := &sites[i]
		switch {
		case !e.c.Readings[i].Below && s.misread < 0.05:
			s.use = sitePlain
		case i > last-unsettled:
			s.use = siteTilt // a jump since then may explain it yet
		}
	}
	return sites
}

// judgeOnce is one round of expectation propagation over the readings.
func (e *engine) judgeOnce(mode spreads, sites []site) {
	w := e.newWalker(mode, false)
	tape := borrowTape(w.f)
	defer tapes.Put(tape)
	w.to = tape
	stand := e.record(w, tape, sites)
	levels := make([]float64, len(sites))
	level := []statespace.Term{{State: stateLevel, Coef: 1}}
	tape.Back(func(i int, at *statespace.Smoothed) {
		mean, variance := at.Combine(w.sight(e.c.Readings[i].Kit))
		levels[i], _ = at.Combine(level)
		cm, cv := without(mean, variance, stand[i])
		e.reconsider(i, cm, cv, w.variance(i), &sites[i])
	})
	e.setNoise(levels)
}

type standing struct {
	y, r float64
	none bool
}

// record walks forward on the tape with a mark before each reading and notes
// the Gaussian that stood in for it.
func (e *engine) record(w *walker, tape *statespace.Tape, sites []site) []standing {
	stand := make([]standing, len(sites))
	tl := newTimeline(e.c, e.start, e.asOf, nil)
	for _, n := range tl.nodes {
		w.drift(n.t, e.c.Inputs[n.first:n.last], e.c.Feeds)
		if n.kind == nodeChange {
			w.change(&e.c.Changes[n.index])
			continue
		}
		tape.Mark()
		stand[n.index] = w.standFor(n.index, &sites[n.index])
		w.stayAbove(n.index)
	}
	return stand
}

// standFor folds reading i in and returns what stood in for it.
func (w *walker) standFor(i int, s *site) standing {
	h := w.sight(w.e.c.Readings[i].Kit)
	switch s.use {
	case siteSkip:
		return standing{none: true}
	case siteFixed:
		w.to.Observe(h, s.y, s.r)
		return standing{y: s.y, r: s.r}
	}
	mean, variance := w.f.Combine(h)
	y, r, ok := standIn(mean, variance, w.e.tilted(i, mean, variance, w.variance(i)))
	if !ok {
		return standing{none: true}
	}
	w.to.Observe(h, y, r)
	return standing{y: y, r: r}
}

// without takes a stand-in back out of a smoothed belief.
func without(mean, variance float64, s standing) (m, v float64) {
	if s.none {
		return mean, variance
	}
	precision := 1/variance - 1/s.r
	if precision <= 1e-9/variance {
		precision = 1e-9 / variance
	}
	v = 1 / precision
	return v * (mean/variance - s.y/s.r), v
}

// reconsider renews the site of reading i from what the others say.
func (e *engine) reconsider(i int, mean, variance, r float64, s *site) {
	t := e.tilted(i, mean, variance, r)
	s.misread = t.misread
	s.expected = Estimate{Mean: mean, SD: math.Sqrt(variance + r)}
	if y, rs, ok := standIn(mean, variance, t); ok {
		s.use, s.y, s.r = siteFixed, y, rs
	} else {
		s.use = siteSkip
	}
}

// settle takes, for the readings that each point judged for itself, the chance of a
// misread over all of them.
func settle(sites []site, points []point) {
	for i := range sites {
		if sites[i].use != siteTilt {
			continue
		}
		sites[i].misread = 0
		for _, p := range points {
			sites[i].misread += p.weight * p.w.wrong[i]
		}
	}
}
