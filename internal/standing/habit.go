package standing

import (
	"math"
	"slices"
	"time"

	"driftline/internal/book"
	"driftline/units"
)

// Habit is a dose that the keeper gives as if by a routine that was never declared:
// a forecast takes it as stopped.
type Habit struct {
	Substance string
	Amount    float64 // the usual one
	Unit      string
	EveryDays float64
	Times     int // how often of late
	Last      time.Time
}

// What makes a habit of doses; judgements.
const (
	habitTimes  = 4    // and no fewer
	habitLooks  = 8    // of the last so many
	habitGaps   = 0.35 // spread of the time between them, over its middle
	habitSizes  = 0.3  // spread of the amounts, over their middle
	habitLonger = 21   // days between: no habit any more
	habitOver   = 3    // usual gaps without one: stopped
)

// Habits finds regular doses of a tank that no routine declares and no plan asked
// for.
func Habits(t *book.TankFacts, asOf time.Time) []Habit {
	type seen struct {
		name, unit string
		at         []time.Time
		amounts    []float64
	}
	var all []*seen
	declared := declaredDoses(t, asOf)
	for i := len(t.Events) - 1; i >= 0; i-- {
		l := &t.Events[i]
		if asOf.Sub(l.At) > habitLooks*habitLonger*24*time.Hour {
			break
		}
		b, ok := l.Body.(*book.Dose)
		amount, known := float64(0), false
		if ok {
			amount, known = b.Amount.Float()
		}
		if !ok || !known || !(amount > 0) || b.Plan != "" || l.At.After(asOf) || declared[book.Key(b.Substance)] {
			continue
		}
		at := slices.IndexFunc(all, func(s *seen) bool { return book.Key(s.name) == book.Key(b.Substance) && s.unit == b.Unit })
		if at < 0 {
			at, all = len(all), append(all, &seen{name: b.Substance, unit: b.Unit})
		}
		if s := all[at]; len(s.at) < habitLooks {
			s.at, s.amounts = append(s.at, l.At), append(s.amounts, amount)
		}
	}
	var out []Habit
	for _, s := range all {
		if h, ok := habitOf(s.at, s.amounts, asOf); ok {
			h.Substance, h.Unit = s.name, s.unit
			out = append(out, h)
		}
	}
	return out
}

// habitOf looks for a rhythm in doses, the newest first.
func habitOf(at []time.Time, amounts []float64, asOf time.Time) (Habit, bool) {
	if len(at) < habitTimes {
		return Habit{}, false
	}
	var gaps []float64
	for i := 1; i < len(at); i++ {
		gaps = append(gaps, at[i-1].Sub(at[i]).Hours()/24)
	}
	gap, apart := middleAndSpread(gaps)
	amount, uneven := middleAndSpread(amounts)
	if !(gap > 0.2) || gap > habitLonger || apart > habitGaps || uneven > habitSizes || asOf.Sub(at[0]).Hours()/24 > habitOver*gap {
		return Habit{}, false
	}
	return Habit{Amount: amount, EveryDays: gap, Times: len(at), Last: at[0]}, true
}

// middleAndSpread are the median, and the root mean square distance from it over it.
func middleAndSpread(v []float64) (middle, spread float64) {
	s := slices.Sorted(slices.Values(v))
	middle = (s[(len(s)-1)/2] + s[len(s)/2]) / 2
	for _, x := range v {
		spread += (x - middle) * (x - middle) / float64(len(v))
	}
	return middle, math.Sqrt(spread) / middle
}

// declaredDoses are the substances that a routine in force doses, by their keys.
func declaredDoses(t *book.TankFacts, asOf time.Time) map[string]bool {
	out := map[string]bool{}
	for _, d := range Schedule(t, asOf) {
		if d.Routine.Substance != "" && (d.End.IsZero() || d.End.After(asOf)) {
			out[book.Key(d.Routine.Substance)] = true
		}
	}
	return out
}

// Words says a habit: "12 mL of carbonate stock every 2 days".
func (h Habit) Words() string {
	every := "a day"
	if n := math.Round(2*h.EveryDays) / 2; n != 1 {
		every = "every " + units.FormatAmount(n) + " days"
	}
	return units.FormatAmount(h.Amount) + " " + h.Unit + " of " + h.Substance + " " + every
}
