package drift

// quantileZ are the standard normal quantiles of Quantiles, where bisection starts.
var quantileZ = [7]float64{-1.645, -1.282, -0.674, 0, 0.674, 1.282, 1.645}

// Forecast follows a plan for so many days from as-of, day by day, the first
// entry being as-of itself. What the plan holds before as-of is ignored.
func (s *State) Forecast(plan Plan, days int) Outlook {
	tl, future := s.future(plan, days)
	out := Outlook{Days: make([]Day, days+1)}
	blends := make([]blend, days+1)
	for _, p := range s.points {
		w := p.w.fork(future)
		w.walk(tl, nil, func(n node) {
			blends[n.index].add(p.weight, w.f.X[stateLevel], max(w.f.Var(stateLevel), 0))
		})
	}
	floor := s.e.habit.Floor
	for d := range out.Days {
		day := &out.Days[d]
		day.T = s.e.asOf + float64(d)
		day.Mean, day.SD = blends[d].floored(floor)
		for i, p := range Quantiles {
			day.Q[i] = blends[d].quantile(p, quantileZ[i])
		}
		if s.e.habit.Skewed {
			day.skew()
		}
		for i, q := range day.Q {
			day.Q[i] = max(q, floor)
		}
	}
	s.watch(tl, future, &out)
	return out
}

// future is the timeline of the plan, with a mark at as-of and at each day's end.
func (s *State) future(plan Plan, days int) (timeline, *engine) {
	e := *s.e
	c := Case{Kits: e.c.Kits, Mixes: e.c.Mixes, Band: e.c.Band, Habit: e.c.Habit, Feeds: plan.Feeds, Food: plan.Food}
	for _, in := range plan.Inputs {
		if in.T > e.asOf {
			c.Inputs = append(c.Inputs, in)
		}
	}
	for _, w := range plan.Changes {
		if w.T > e.asOf {
			c.Changes = append(c.Changes, w)
		}
	}
	e.c = &c
	var marks []node
	for d := range days + 1 {
		marks = append(marks, node{t: e.asOf + float64(d), kind: nodeMarkAfter, index: d})
	}
	marks[0].kind = nodeMarkBefore
	return newTimeline(&c, e.asOf, e.asOf+float64(days), marks), &e
}

// fork continues a walker over another engine's events, leaving the first alone.
func (w *walker) fork(e *engine) *walker {
	c := *w
	c.e = e
	c.f = w.f.Clone()
	c.to = c.f
	c.F = make([]float64, len(w.F))
	c.c = make([]float64, len(w.c))
	c.q = make([]float64, len(w.q))
	c.t = e.asOf
	c.ahead = true
	return &c
}

// mostSkew bounds the standard deviation of the logarithm that a skewed level is
// given.
const mostSkew = 0.6

// skew gives the quantiles the shape of a skewed quantity.
func (d *Day) skew() {
	middle := d.Q[len(d.Q)/2]
	for i, q := range d.Q {
		d.Q[i] = Skew(q, middle, d.SD)
	}
}
