package whatif

import (
	"fmt"
	"math"
	"strings"

	"driftline/internal/book"
	"driftline/internal/substance"
	"driftline/units"
)

// knownRoutines refuses to stop a routine that is not there.
func (w *worker) knownRoutines(p Plan) error {
	for _, c := range p.Changes {
		if c.What != Stop || c.Routine == "" {
			continue
		}
		var names []string
		found := false
		for _, d := range w.schedule {
			names = append(names, fmt.Sprintf("%q", d.Routine.Name))
			found = found || book.Key(d.Routine.Name) == book.Key(c.Routine)
		}
		if !found {
			return fmt.Errorf("plan %q: there is no routine %q to stop; the tank has %s", p.Name, c.Routine, orNone(names))
		}
	}
	return nil
}

func orNone(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}

// add lays out a change of the plan.
func (w *worker) add(r *road, c Change) error {
	from, to := w.span(c)
	switch c.What {
	case Demand:
		q, err := units.ParseQuantity(c.Quantity)
		if err != nil {
			return err
		}
		r.scales = append(r.scales, scaled{from, to, q, c.Factor})
	case TopOff:
		every := c.EveryDays
		if every == 0 {
			every = 1
		}
		r.dry = append(r.dry, dry{from, to, max(0, w.air.litres-c.Litres/every)})
	case Food, MoreFood:
		return w.addFood(r, c)
	case Harvest:
		grams, _, _ := measured(c.Amount, c.Unit)
		for _, t := range w.comes(r, c) {
			r.crops, r.hands = append(r.crops, crop{t, grams}), r.hands+1
		}
	case OneDose, WaterChange, OneMoreRoutine:
		if c.Substance != "" && c.What != WaterChange {
			return w.addDoses(r, c)
		}
		return w.addWater(r, c)
	}
	return nil
}

// comes lists when a change of the plan is done, by hand.
func (w *worker) comes(r *road, c Change) []float64 {
	from, to := w.span(c)
	if c.From.IsZero() {
		from = c.EveryDays
	}
	every := c.EveryDays
	if every == 0 {
		every = math.Inf(1)
	}
	if from <= 0 {
		from = catchUp
	}
	return r.turns(from, every, to, w.days, deed{hand: true, routine: "\x00"})
}

func (w *worker) addDoses(r *road, c Change) error {
	if _, err := w.find(c.Substance); err != nil {
		return fmt.Errorf("plan %q: %w", r.plan.Name, err)
	}
	grams, mL, _ := measured(c.Amount, c.Unit)
	g, _ := w.stuff(r, c.Substance, grams, mL, true)
	for _, t := range w.comes(r, c) {
		r.doses, r.hands = append(r.doses, dose{t, g}), r.hands+1
	}
	return nil
}

func (w *worker) addWater(r *road, c Change) error {
	if c.Mix != "" {
		if _, ok := w.facts.MixAt(c.Mix, w.asOf); !ok {
			return fmt.Errorf("plan %q: the mix %q is not in the book; leave it out for an unstated salt", r.plan.Name, c.Mix)
		}
	}
	litres := c.Litres
	if c.Share > 0 {
		litres = c.Share * w.litres
	}
	if litres > w.litres {
		return fmt.Errorf("plan %q: a change of %g L is more than the %g L of the tank", r.plan.Name, litres, w.litres)
	}
	for _, t := range w.comes(r, c) {
		r.changes, r.hands = append(r.changes, change{t: t, litres: litres, mix: c.Mix}), r.hands+1
	}
	return nil
}

// evaporate finds when evaporation is not replaced, and gives what is dissolved
// in the top-off while it is.
func (w *worker) evaporate(r *road) {
	if w.air.byHand {
		for _, h := range r.halts {
			if h.what == Stop && h.routine == "" {
				r.dry = append(r.dry, dry{h.from, h.to, w.air.litres})
			}
		}
	}
	r.dry = tidy(r.dry)
	at, wet := 0.0, 0.0
	var feedAt [][2]float64
	for _, s := range append(r.dry, dry{from: w.days, to: w.days}) {
		if from := min(s.from, w.days); from > at {
			feedAt = append(feedAt, [2]float64{at, from})
			wet += from - at
		}
		at = max(at, s.to)
	}
	if w.air.byHand {
		r.hands += int(math.Round(wet * w.air.turns))
	}
	if w.air.with == "" || !(w.air.perL > 0) {
		return
	}
	perDay := w.air.litres * w.air.perL // in g or mL, whichever the substance is measured in
	g, known := w.stuff(r, w.air.with, perDay, perDay, false)
	if !known {
		return
	}
	if g.stuff.Form == substance.Solid {
		g.mL = 0
	} else {
		g.grams = 0
	}
	for _, s := range feedAt {
		r.feeds = append(r.feeds, feed{s[0], s[1], g})
	}
}
