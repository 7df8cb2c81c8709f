package whatif

import (
	"fmt"
	"math"
	"slices"

	"driftline/internal/book"
	"driftline/internal/drift"
	"driftline/internal/food"
	"driftline/internal/standing"
)

// fare is food that a plan changes over a span, in days from as-of.
type fare struct {
	from, to float64
	times    float64    // all that is fed, so many times; 1 leaves it
	grams    float64    // a day of a kind
	kind     *food.Food // besides, or instead when times is 0
}

// crop is a drained wet mass cut out at a time.
type crop struct{ t, grams float64 }

func (c Change) checkFood() error {
	if c.Substance == "" {
		if c.What == MoreFood || c.Amount != 0 || c.Factor > 20 {
			return fmt.Errorf("%s: expected either how many times the food of now, 20 at most, or so much of a food a day", c.What)
		}
		return nil
	}
	if g, _, ok := measured(c.Amount, c.Unit); !ok || !(g > 0) || c.Factor != 0 {
		return fmt.Errorf("%g %q of %s a day cannot be weighed; expected such as 3 g", c.Amount, c.Unit, c.Substance)
	}
	return nil
}

func (w *worker) addFood(r *road, c Change) error {
	from, to := w.span(c)
	f := fare{from: from, to: to, times: c.Factor}
	if c.Substance != "" {
		kind, ok := food.Find(w.facts, c.Substance, w.asOf)
		if !ok {
			return fmt.Errorf("plan %q: nobody has said what %s holds; declare it as a food, or name a usual kind: %s", r.plan.Name, c.Substance, food.KindNames())
		}
		f.kind = &kind
		f.grams, _, _ = measured(c.Amount, c.Unit)
		if c.What == MoreFood {
			f.times = 1
		}
	}
	r.fare = append(r.fare, f)
	return nil
}

// foodOf is what a plan feeds over the usual, as a quantity would see it if all of
// it ended in the water.
func (w *worker) foodOf(o *standing.Outset, r *road) []drift.Feed {
	base := o.Fare()
	if !base.Known && len(r.fare) == 0 {
		return nil
	}
	hand := deed{hand: true, action: "feeding"}
	edges := []float64{0, w.days}
	for _, h := range r.halts {
		edges = append(edges, h.from, h.to)
	}
	for _, f := range base.Machines {
		edges = append(edges, f.From, f.To)
	}
	for _, f := range r.fare {
		edges = append(edges, f.from, f.to)
	}
	slices.Sort(edges)
	usual := o.State.UsualFood()
	var out []drift.Feed
	for i := 1; i < len(edges); i++ {
		from, to := max(edges[i-1], 0), min(edges[i], w.days)
		if !(to > from) {
			continue
		}
		rate := 0.0
		if r.halted(from, hand) == from {
			rate = base.ByHand
		}
		for _, f := range base.Machines {
			if f.From <= from && f.To >= to && r.halted(from, deed{action: "feeding", routine: book.Key(f.Routine)}) == from {
				rate += f.Rate
			}
		}
		if !base.Known {
			rate = 0
		}
		for _, f := range r.fare {
			if f.from > from || f.to < to {
				continue
			}
			rate *= f.times
			if f.kind != nil {
				rate += f.grams * f.kind.Makes(o.Quantity) * 1000 / w.litres
			}
		}
		if over := rate - usual; over != 0 && !math.IsNaN(over) {
			out = append(out, drift.Feed{From: from, To: to, Rate: over})
		}
	}
	return out
}
