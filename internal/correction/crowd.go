package correction

import (
	"math"
	"time"

	"driftline/internal/book"
	"driftline/internal/pace"
	"driftline/internal/standing"
	"driftline/internal/substance"
)

// crowded says whether the declared routines lift the level so much within a day
// of a moment that a day's dose would come to more than the ceiling with them.
// What they lift on the average day is dayLimit's to count.
func (w *worker) crowded(at time.Time) bool {
	ceiling := w.rate.Ceiling * w.factor
	lift := max(w.forecastLift(at), w.routineLift(at))
	return lift > ceiling/10 && lift+w.most > ceiling
}

// forecastLift is how much more than usual the forecast rises around a moment, by
// water changes too. It has one level a day, so that a day on each side counts.
func (w *worker) forecastLift(at time.Time) (most float64) {
	days, lost := w.q.Forecast, w.lossADay(w.asOf.AddDate(0, 0, 14))
	i := int(math.Floor(at.Sub(w.asOf).Hours() / 24))
	for k := max(i-1, 0); k <= i+1 && k+1 < len(days); k++ {
		most = max(most, days[k+1].Mean-days[k].Mean+lost)
	}
	return most
}

// routineLift is what the dosing routines that come less often than every other
// day give at once within a day of a moment.
func (w *worker) routineLift(at time.Time) (sum float64) {
	for _, d := range standing.Schedule(w.tank, w.asOf) {
		if d.Routine.Substance == "" || d.EveryDays < 2 || !w.near(d, at) {
			continue
		}
		s, err := substance.Find(w.f, d.Routine.Substance, w.asOf)
		amount, ok := d.Routine.Amount.Float()
		if err == nil && ok && (d.Routine.Unit == s.Unit()) {
			sum += max(0, s.Raise(w.ask.Quantity, amount, w.litres)*w.factor)
		}
	}
	return sum
}

// near says whether a turn of a routine may fall within a day of a moment. One that
// is overdue is taken to be done now. Of several doses of late any may have been its
// last turn.
func (w *worker) near(d standing.Due, at time.Time) bool {
	if !d.End.IsZero() && at.After(d.End.AddDate(0, 0, 1)) {
		return false
	}
	turns := []time.Time{d.Next}
	for i := len(w.tank.Events) - 1; i >= 0; i-- {
		l := &w.tank.Events[i]
		if w.asOf.Sub(l.At).Hours()/24 > d.EveryDays {
			break
		}
		if b, ok := l.Body.(*book.Dose); ok && book.Key(b.Substance) == book.Key(d.Routine.Substance) {
			turns = append(turns, l.At.Add(time.Duration(d.EveryDays*24*float64(time.Hour))))
		}
	}
	for _, next := range turns {
		if next.Before(w.asOf) {
			next = w.asOf
		}
		off := math.Mod(at.Sub(next).Hours()/24, d.EveryDays)
		if off < 0 {
			off += d.EveryDays
		}
		if !at.Before(next.AddDate(0, 0, -1)) && (off <= 1 || off >= d.EveryDays-1) {
			return true
		}
	}
	return false
}

// hold refuses a plan whose doses would, with those of other accepted plans, raise
// anything by more than it may rise in a day.
func (w *worker) hold() {
	const own = "this correction"
	doses := pace.Planned(w.tank, w.asOf)
	for _, s := range w.plan.Steps {
		doses = append(doses, pace.Dose{At: s.At, Substance: s.Substance, Amount: s.Amount, Unit: s.Unit, Plan: own})
	}
	e, over := pace.Over(w.f, w.tank, doses, func(d pace.Dose) bool { return d.Plan == own }, w.asOf)
	if !over {
		return
	}
	what, instead := "The plan", "Take a substance that gives less of it."
	if len(e.Plans) > 1 {
		what, instead = "The plan and what is planned besides it", "Wait until the other plan is over, or end it first."
	}
	w.plan.Refused, w.plan.Instead, w.plan.Steps = e.Says(what), instead, nil
	w.plan.Total.Amount = 0
}
