package pace

import (
	"fmt"
	"slices"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/internal/substance"
	"driftline/units"
)

// Dose is an amount due at a moment. Its plan tells whose it is.
type Dose struct {
	At        time.Time
	Substance string
	Amount    float64
	Unit      string
	Plan      string
	Done      bool
}

// Excess is a day that would raise a quantity too much.
type Excess struct {
	Quantity units.Quantity
	Rise     float64 // in the quantity's default unit
	Ceiling  float64
	From     time.Time // when the day begins
	Plans    []string  // whose doses they are, in order
}

// slack is by how much rounding to weights a person would take may go above.
const slack = 1.02

// Over finds the first day in which doses raise a quantity of a tank above the
// ceiling, among those days that hold a dose for which the question is asked.
func Over(f *book.Facts, t *book.TankFacts, doses []Dose, asked func(Dose) bool, asOf time.Time) (Excess, bool) {
	volume, ok := t.Tank.NetVolume.Float()
	litres, err := units.Litres(volume, t.Tank.Unit)
	if !ok || err != nil || !(litres > 0) {
		return Excess{}, false
	}
	rises := make([]map[units.Quantity]float64, len(doses))
	for i, d := range doses {
		rises[i] = raises(f, d, litres, asOf)
	}
	order := make([]int, len(doses))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return doses[a].At.Compare(doses[b].At) })
	for k, first := range order {
		sum := map[units.Quantity]float64{}
		meant := false
		var plans []string
		for _, i := range order[k:] {
			if doses[i].At.Sub(doses[first].At) >= 24*time.Hour-time.Minute {
				break
			}
			meant = meant || asked(doses[i])
			if !slices.Contains(plans, doses[i].Plan) {
				plans = append(plans, doses[i].Plan)
			}
			for q, rise := range rises[i] {
				sum[q] += rise
			}
		}
		if !meant {
			continue
		}
		for _, q := range units.Quantities() {
			if e, over := above(f, q, sum[q]); over {
				e.From, e.Plans = doses[first].At, plans
				return e, true
			}
		}
	}
	return Excess{}, false
}

func above(f *book.Facts, q units.Quantity, rise float64) (Excess, bool) {
	rate, ok := substance.MostADay(f, q)
	if !ok || rise <= 0 {
		return Excess{}, false
	}
	return Excess{Quantity: q, Rise: rise, Ceiling: rate.Ceiling}, rise > rate.Ceiling*slack
}

// raises is what a dose adds to each quantity, in default units.
func raises(f *book.Facts, d Dose, litres float64, asOf time.Time) map[units.Quantity]float64 {
	s, err := substance.Find(f, d.Substance, asOf)
	if err != nil {
		return nil
	}
	amount, ok := inUnitOf(s, d.Amount, d.Unit)
	if !ok {
		return nil
	}
	out := map[units.Quantity]float64{}
	for _, q := range s.Quantities() {
		out[q] = s.Raise(q, amount, litres)
	}
	return out
}

// inUnitOf tells an amount in what the substance is measured out in.
func inUnitOf(s substance.Substance, amount float64, unit string) (float64, bool) {
	if s.Unit() == "mL" {
		litres, err := units.Litres(amount, unit)
		return 1000 * litres, err == nil
	}
	grams, err := units.Grams(amount, unit)
	return grams, err == nil
}

// Planned are the doses that accepted corrections and courses of a tank give from a
// day ago on, and those they gave.
func Planned(t *book.TankFacts, asOf time.Time) []Dose {
	var out []Dose
	for _, p := range standing.PlannedDoses(t, asOf) {
		amount, ok := p.Amount.Float()
		at := p.At
		switch {
		case p.Done != "":
			amount, at = p.Given, p.DoneAt
		case p.Stopped || p.At.Before(asOf.Add(-12*time.Hour)): // not asked for, or missed
			continue
		}
		if ok && at.After(asOf.Add(-24*time.Hour)) {
			out = append(out, Dose{At: at, Substance: p.Substance, Amount: amount, Unit: p.Unit, Plan: p.Plan, Done: p.Done != ""})
		}
	}
	return out
}

// Held says whether the next dose of an accepted plan would, with the others of a
// day, raise something too much, so that it must not be given.
func Held(f *book.Facts, t *book.TankFacts, plan string, asOf time.Time) (Excess, bool) {
	doses := Planned(t, asOf)
	next := slices.IndexFunc(doses, func(d Dose) bool { return d.Plan == plan && !d.Done })
	if next < 0 {
		return Excess{}, false
	}
	due := doses[next]
	return Over(f, t, doses, func(d Dose) bool { return d == due }, asOf)
}

// Says is the excess in a sentence, which begins with what does it: "6 g a day".
func (e Excess) Says(what string) string {
	return fmt.Sprintf("%s would raise %s by %s in a day; more than %s is never planned (common practice).", what, e.Quantity,
		units.Format(e.Quantity, e.Rise, e.Quantity.Default()), units.Format(e.Quantity, e.Ceiling, e.Quantity.Default()))
}
