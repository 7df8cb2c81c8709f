package correction

import (
	"fmt"
	"math"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/units"
)

// refuse stops a plan that should not be made, with the reason and what would be
// sensible instead. It says whether it did.
func (w *worker) refuse() bool {
	no := func(instead, format string, args ...any) bool {
		w.plan.Refused, w.plan.Instead = fmt.Sprintf(format, args...), instead
		w.plan.Says = w.plan.Refused + " " + instead
		return true
	}
	from, aim := w.plan.From, w.plan.Aim
	name := string(w.ask.Quantity)
	if len(w.q.Readings) == 0 {
		return no("Test it, twice on different days.", "%s was never tested in %s, so nothing can be dosed by it.", prose.Capital(name), w.plan.Tank)
	}
	if top, ok := highest[w.ask.Quantity]; ok && aim > top*w.factor*1.0001 {
		return no(fmt.Sprintf("Aim at %s or less.", w.amount(top*w.factor)),
			"An aim of %s is above %s, where animals suffer or chalk falls out (common practice).", w.amount(aim), w.amount(top*w.factor))
	}
	if id, since := w.running(); id != "" {
		return no("Carry it on, work the rest of it out again, or end it first.", "A correction of %s accepted on %s is still under way.", name, since)
	}
	if from.SD > w.most && from.SD > math.Abs(aim-from.Mean)/4 {
		return no(fmt.Sprintf("Test again first: about %d more would do.", w.testsNeeded()),
			"The level, %s, is known less well than the largest rise of a day, %s.", w.estimate(from), w.amount(w.most))
	}
	if over := from.Mean - aim; over > 0 && over > max(2*from.SD, 0.02*aim) {
		return no("Let the tank use it up, or change water for some that has less; both show in the forecast.",
			"%s stands at %s, above the aim of %s: nothing that is dosed takes it out.", prose.Capital(name), w.estimate(from), w.amount(aim))
	}
	return false
}

// running finds an accepted correction of the quantity with steps still to come.
func (w *worker) running() (id, since string) {
	open := map[string]bool{}
	for _, p := range standing.PlannedDoses(w.tank, w.asOf) {
		if p.Ahead(w.asOf) {
			open[p.Plan] = true
		}
	}
	for i := range w.tank.Events {
		l := &w.tank.Events[i]
		if b, ok := l.Body.(*book.Correction); ok && open[l.ID] && sameQuantity(b.Quantity, w.ask.Quantity) {
			return l.ID, l.At.In(w.zone()).Format("2 January 2006")
		}
	}
	return "", ""
}

func sameQuantity(name string, q units.Quantity) bool {
	got, err := units.ParseQuantity(name)
	return err == nil && got == q
}

// testsNeeded is how many more readings of the kit used last bring the doubt
// under the largest rise of a day.
func (w *worker) testsNeeded() int {
	sd := 0.0
	for _, k := range w.q.Kits {
		sd = max(sd, k.SD)
	}
	perShown, err := units.ConvertSD(w.ask.Quantity, middle(w.ask.Quantity), sd, w.q.Unit, w.plan.Unit)
	if err != nil || perShown <= 0 {
		return 2
	}
	return int(min(5, max(1, math.Ceil(perShown*perShown*(1/(w.most*w.most)-1/(w.plan.From.SD*w.plan.From.SD))))))
}
