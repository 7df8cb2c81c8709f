package drift

import (
	"fmt"
	"math"
	"sort"

	"driftline/statespace"
)

// Food is told as what it would give a day if all of it ended in the water. What
// does is a share, the yield, which the tank's own readings teach. The engine
// follows food by how it differs from the usual: the usual is in the demand as it
// always was, so that a tank fed the same every day is judged as one whose food
// nobody wrote down.

// checkFood refuses pieces that are not finite, less than nothing or out of order.
func checkFood(food []Feed) error {
	last := math.Inf(-1)
	for i, f := range food {
		if !finite(f.Rate) || f.Rate < 0 || math.IsNaN(f.To) || !(f.From >= last) || !(f.To > f.From) {
			return fmt.Errorf("food %d: rate %g from %g to %g: expected a rate that is not negative, in pieces in order of time", i, f.Rate, f.From, f.To)
		}
		last = f.To
	}
	return nil
}

// usualFood is the average over what is told of a span.
func usualFood(food []Feed, from, to float64) float64 {
	sum, days := 0.0, 0.0
	for _, f := range food {
		if span := math.Min(f.To, to) - math.Max(f.From, from); span > 0 {
			sum += f.Rate * span
			days += span
		}
	}
	if days == 0 {
		return 0
	}
	return sum / days
}

// toldFood is how many days of a span the case tells of.
func toldFood(food []Feed, from, to float64) (days float64) {
	for _, f := range food {
		days += math.Max(0, math.Min(f.To, to)-math.Max(f.From, from))
	}
	return days
}

// eaten is what food over the usual since the last stop has left at t, and what it
// was to begin with, for a yield of one.
func (w *walker) eaten(t float64) (left, given float64) {
	food := w.e.c.Food
	for i := sort.Search(len(food), func(i int) bool { return food[i].To > w.t }); i < len(food) && food[i].From < t; i++ {
		from, to := max(food[i].From, w.t), min(food[i].To, t)
		if over := food[i].Rate - w.e.usualFood; to > from && over != 0 {
			left += over * statespace.Decayed(w.flow.Relax, to-from) * math.Exp(-w.flow.Relax*(t-to))
			given += over * (to - from)
		}
	}
	return left, given
}

// byChanges is what water changes take a day of the usual level, on average.
func (e *engine) byChanges() float64 {
	sum := 0.0
	for _, c := range e.c.Changes {
		if c.T >= e.start {
			sum += c.Fraction * (e.ref - c.Value)
		}
	}
	return sum / math.Max(e.asOf-e.start, 7)
}

// balanceDoubt is by what share, as a standard deviation, what food gives may be off
// from what the tank removes in proportion to its level and by water changes: the
// rest is removal that does not heed the level, and the level's own drift. Judgement.
const balanceDoubt = 0.8

// fed takes what the food brings, less what water changes take, for what the tank
// removes at its usual level: a second guess of the rate of removal, weighed with
// the habit's own.
func (h Habit) fed(food, level, exchanged float64) Habit {
	removed := h.Yield*food - exchanged
	if !(food > 0) || !(removed > 0) || !(level > 0) {
		return h
	}
	own, other := 1/sq(h.RelaxSpread), 1/(sq(h.YieldSD/h.Yield)+sq(balanceDoubt))
	h.Relax = math.Exp((own*math.Log(h.Relax) + other*math.Log(removed/level)) / (own + other))
	h.RelaxSpread = 1 / math.Sqrt(own+other)
	return h
}

// yield is what is believed of the yield beforehand, when the tank removes at a
// rate: the habit's guess weighed with what balances the removal.
func (e *engine) yield(relax float64) (mean, sd float64) {
	h := e.habit
	removed := relax*e.ref + e.exchanged
	if !(e.usualFood > 0) || !(removed > 0) {
		return h.Yield, h.YieldSD
	}
	balance := removed / e.usualFood
	own, other := 1/sq(h.YieldSD), 1/sq(balanceDoubt*balance)
	return (own*h.Yield + other*balance) / (own + other), 1 / math.Sqrt(own+other)
}

// split tells the sum of the demand apart into what food gave and what the tank
// took besides.
func (e *engine) split(taken *statespace.Filter, from, to float64) (demand Estimate, food *Estimate) {
	y := newLayout(e.c, true).yield
	if y < 0 {
		return Estimate{-taken.X[stateTaken], math.Sqrt(math.Max(taken.Var(stateTaken), 0))}, nil
	}
	all := usualFood(e.c.Food, from, to) * toldFood(e.c.Food, from, to)
	usual := e.usualFood * toldFood(e.c.Food, from, to)
	mean, variance := taken.Combine([]statespace.Term{{State: stateTaken, Coef: 1}, {State: y, Coef: usual}})
	return Estimate{-mean, math.Sqrt(math.Max(variance, 0))},
		&Estimate{taken.X[y] * all, math.Sqrt(math.Max(taken.Var(y), 0)) * all}
}

// UsualFood is what the food usually gives a day if all of it ended in the water; 0
// where the case tells of none.
func (s *State) UsualFood() float64 { return s.e.usualFood }

// Relax is the rate a day at which removal rises with the level, on average over what
// it may be.
func (s *State) Relax() float64 {
	sum := 0.0
	for _, p := range s.points {
		sum += p.weight * p.w.flow.Relax
	}
	return sum
}

// Yield is the share of the food that ends in the water, as learned; false where
// the case tells of no food.
func (s *State) Yield() (Estimate, bool) {
	var b blend
	for _, p := range s.points {
		y := p.w.l.yield
		if y < 0 {
			return Estimate{}, false
		}
		b.add(p.weight, p.w.f.X[y], max(p.w.f.Var(y), 0))
	}
	return b.estimate(), true
}
