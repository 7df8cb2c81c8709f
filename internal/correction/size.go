package correction

import (
	"fmt"
	"math"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/internal/substance"
	"driftline/units"
)

func (w *worker) zone() *time.Location { return zoneOf(w.tank) }

func zoneOf(t *book.TankFacts) *time.Location {
	if t.Location != nil {
		return t.Location
	}
	return time.UTC
}

// hours are when a person doses: calcium well apart from alkalinity, which it
// meets as chalk; what lifts the pH in the morning, when it is lowest.
func (w *worker) hours(dosesADay int) []int {
	switch {
	case w.ask.Quantity == units.Calcium && dosesADay == 1:
		return []int{14}
	case w.ask.Quantity == units.Calcium:
		return []int{12, 16}
	case dosesADay == 1:
		return []int{8}
	case dosesADay == 2:
		return []int{8, 20}
	default:
		return []int{7, 10, 18, 21}
	}
}

// slots lists the first n times to dose from half an hour after as-of, without
// days on which the declared routines lift the level by so much themselves that a
// dose more would be above the ceiling. It gives fewer where there are no more.
func (w *worker) slots(n, dosesADay int) []time.Time {
	local := w.asOf.In(w.zone())
	day := time.Date(local.Year(), local.Month(), local.Day(), 0, 0, 0, 0, w.zone())
	var out []time.Time
	for d := 0; len(out) < n && d < longestPlan; d++ {
		for _, h := range w.hours(dosesADay) {
			at := time.Date(day.Year(), day.Month(), day.Day()+d, h, 0, 0, 0, w.zone())
			if at.After(w.asOf.Add(30*time.Minute)) && len(out) < n && !w.crowded(at) {
				out = append(out, at)
			}
		}
	}
	return out
}

// size finds the fewest days in which the doses reach the aim: so many equal
// doses, demand and routines going on, no day rising more than it may.
func (w *worker) size() error {
	if w.plan.From.Mean >= w.plan.Aim {
		w.plan.After = w.plan.From
		return nil
	}
	per := w.dosesADay()
	for days := 1; days <= longestPlan; days++ {
		slots := w.slots(days*per, per)
		if len(slots) < days*per {
			break
		}
		last := slots[len(slots)-1]
		need := w.plan.Aim - w.base(last).Mean
		if need <= 0 { // routines alone bring it there
			w.plan.After = w.base(last)
			return nil
		}
		if lost := w.lossADay(last); need/float64(days) <= w.dayLimit(lost) && need/float64(days*per) <= w.most {
			return w.lay(slots, need, w.whole(w.dayLimit(lost))/float64(per))
		}
	}
	w.plan.Refused = fmt.Sprintf("Doses of at most %s a day do not catch up with a demand of %s a day.", w.amount(w.dayLimit(0)), w.estimate(w.plan.Demand))
	w.plan.Instead = "Make up for the demand first, by a routine or a machine, then correct."
	return nil
}

// lossADay is what the level loses a day without the correction; below nothing
// where the declared routines lift it.
func (w *worker) lossADay(until time.Time) float64 {
	days := max(until.Sub(w.asOf).Hours()/24, 1)
	return (w.plan.From.Mean - w.base(w.asOf.Add(time.Duration(days*24)*time.Hour)).Mean) / days
}

// dayLimit is what the doses of a day may add: the largest rise and what is lost
// meanwhile, less what the routines lift, but never more than the trade's ceiling.
func (w *worker) dayLimit(lost float64) float64 {
	return min(w.most+lost, w.rate.Ceiling*w.factor+min(lost, 0))
}

// dosesADay splits a day's dose in two where it is large or lifts the pH, and in
// four where one of two would still lift it much.
func (w *worker) dosesADay() int {
	if w.ask.DosesADay > 0 {
		return min(w.ask.DosesADay, 4)
	}
	whole := w.whole(w.most)
	jump, known := w.jump(whole)
	switch {
	case known && jump > 2*mostPHJump:
		return 4
	case known && jump > mostPHJump, w.ask.Quantity == units.Alkalinity:
		return 2
	case w.most > w.rate.Careful*w.factor*1.0001:
		return 2
	}
	return 1
}

// whole is the amount that raises the level by so much.
func (w *worker) whole(rise float64) float64 {
	amount, err := w.sub.Amount(w.ask.Quantity, rise/w.factor, w.litres)
	if err != nil {
		return 0
	}
	return amount
}

// lay puts the doses down: each a weight a person would weigh, the last making up
// the rest, which is no more than a dose may be.
func (w *worker) lay(slots []time.Time, need, most float64) error {
	total, n := w.whole(need), len(slots)
	each, last := 0.0, 0.0
	for figures := 2; figures <= 4; figures++ {
		each = weighed(plainer(total/float64(n), figures))
		if last = substance.Round(total - each*float64(n-1)); last <= most*1.005 {
			break
		}
	}
	if each == 0 || last > most*1.01 {
		w.plan.Refused = fmt.Sprintf("A dose of at most %.2g %s cannot be measured finely enough to stay under the ceiling of a day.", most, w.sub.Unit())
		w.plan.Instead = "Make up a weak solution, declare it with its strength, and work the correction out with that."
		return nil
	}
	given, risen := 0.0, 0.0
	for i, at := range slots {
		amount := each
		if i == n-1 {
			amount = substance.Round(total - given)
		}
		if amount <= 0 || given >= total {
			break
		}
		given += amount
		risen += w.raise(amount)
		base := w.base(at)
		w.plan.Steps = append(w.plan.Steps, Step{At: at, Substance: w.sub.Name, Amount: tidy(amount), Unit: w.sub.Unit(),
			Expected: standing.Estimate{Mean: base.Mean + risen, SD: math.Hypot(base.SD, doseDoubt*risen)}})
	}
	w.plan.Total.Amount = tidy(given)
	w.plan.After = w.plan.Steps[len(w.plan.Steps)-1].Expected
	return nil
}

// doseDoubt is the share by which a weighed dose may be off; common practice.
const doseDoubt = 0.03

// plainer cuts an amount to so many figures, one more when it begins with a 1, so
// that the same plain weight is taken each time. It never goes up: the last dose is
// what is left.
func plainer(v float64, figures int) float64 {
	if v <= 0 {
		return v
	}
	step := math.Pow(10, math.Floor(math.Log10(v))-float64(figures-1))
	if v/step < 2*math.Pow(10, float64(figures-1)) {
		step /= 2
	}
	return math.Floor(v/step+1e-9) * step
}

// weighed is the largest amount that can be weighed and is not above v.
func weighed(v float64) float64 {
	step := substance.Step(v)
	return tidy(math.Floor(v/step+1e-9) * step)
}

func tidy(v float64) float64 { return math.Round(v*1000) / 1000 }
