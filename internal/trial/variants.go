package trial

import (
	"cmp"
	"math"
	"slices"

	"driftline/internal/book"
	"driftline/internal/effect"
)

// worthwhile is how much power another plan must win to be told.
const worthwhile = 0.03

// better works out other plans with as many looks in the treated tank.
func (g bench) better(c *Chance, t Trial, o book.Outcome, past effect.Ask, d effect.Design) {
	add := func(name, how string, v effect.Design, n effect.Noise) {
		s, err := v.Simulate(n, lot())
		if err != nil || s.Power(c.matters()) < c.Power+worthwhile {
			return
		}
		c.Better = append(c.Better, Variant{name, how, s.Power(c.matters()), c.shown(s.Detectable())})
	}
	if v, ok := denser(t, d, dayOf(t, g.asOf)); ok {
		add("more looks before", "wait a few weeks with the change and look as often as you meant to after it", v, c.Noise)
	}
	if v, ok := reversal(t, d); ok {
		add("on, off, on, off", "four stretches of equal length instead of one, as many looks", v, c.Noise)
	}
	if len(past.Comparison) == 0 && !kindOf(o).Ratio() {
		for _, name := range g.others(t) {
			if n, ok := g.against(t, o, past, name); ok {
				v := d
				v.Trend = false
				add("with "+name+" left as it is", "look at it on the same days", v, n)
				break
			}
		}
	}
	if len(t.Plan.AlsoIn) == 0 && len(g.others(t)) > 1 {
		add("a second tank, later", "the same change in another tank some weeks later, half the looks in each", staggered(d), c.Noise)
	}
	slices.SortStableFunc(c.Better, func(a, b Variant) int { return cmp.Compare(b.Power, a.Power) })
}

// denser moves the looks planned after the change before it as far as makes both
// sides equal: the change comes later.
func denser(t Trial, d effect.Design, now float64) (effect.Design, bool) {
	var before, after []float64
	for _, day := range d.Days {
		if day < 0 {
			before = append(before, day)
		} else {
			after = append(after, day)
		}
	}
	move := (len(after) - len(before)) / 2
	if move < 2 || len(d.On) != 1 || now > 0 {
		return d, false
	}
	v := d
	v.On = [][2]float64{{after[move] - 1e-6, math.Inf(1)}}
	return v, true
}

// reversal puts the change on and off twice over the looks to come.
func reversal(t Trial, d effect.Design) (effect.Design, bool) {
	end := dayOf(t, t.Ends)
	if len(d.On) != 1 || end < 28 {
		return d, false
	}
	v := d
	quarter := end / 4
	v.On = [][2]float64{{0, quarter}, {2 * quarter, 3 * quarter}}
	return v, true
}

// staggered splits the looks over two tanks, the second's change half way.
func staggered(d effect.Design) effect.Design {
	var a, b effect.Design
	a.Trend = d.Trend
	for i, day := range d.Days {
		if i%2 == 0 {
			a.Days = append(a.Days, day)
		} else {
			b.Days = append(b.Days, day)
		}
	}
	a.On = d.On
	middle := d.Days[len(d.Days)-1] / 2
	b.On = [][2]float64{{middle, math.Inf(1)}}
	a.Also = []effect.Design{b}
	return a
}

// others are the tanks of the book that have no part in the trial.
func (g bench) others(t Trial) []string {
	taken := map[string]bool{book.Key(t.Tank): true}
	for _, name := range append(append([]string{}, t.Plan.Comparison...), t.Plan.AlsoIn...) {
		taken[book.Key(name)] = true
	}
	var out []string
	for i := range g.f.Tanks {
		if name := g.f.Tanks[i].Tank.Name; !taken[book.Key(name)] {
			out = append(out, name)
		}
	}
	return out
}

// against is the noise of the difference to another tank, where its history tells.
func (g bench) against(t Trial, o book.Outcome, past effect.Ask, name string) (effect.Noise, bool) {
	p, err := g.series(o, name, baseline(t.Start, t.Ends), minTime(g.asOf, t.Start), t.Plan)
	if err != nil || len(p) == 0 {
		return effect.Noise{}, false
	}
	past.Comparison = p
	n, _, err := effect.NoiseOf(past)
	return n, err == nil
}
