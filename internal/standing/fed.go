package standing

import (
	"math"
	"time"

	"driftline/internal/book"
	"driftline/internal/drift"
	"driftline/statespace"
	"driftline/units"
)

// Fed is what a tank was fed over a span, as one nutrient would see it if all of it
// ended in the water, with how much of it does and how fast it goes again.
type Fed struct {
	food         []drift.Feed
	yield, relax float64
	from, until  float64
	unit         float64 // of the shown unit in one of the default
}

// Fed gives a nutrient's food over a span; false when the book tells of too little.
func (d *Desk) Fed(f *book.Facts, tank string, q units.Quantity, shown string, from, until time.Time) (Fed, bool) {
	t, ok := f.Tank(tank)
	if !ok || q != units.Nitrate && q != units.Phosphate {
		return Fed{}, false
	}
	m := newSurvey(f, t, newShelf(f), until).newMatter(q)
	if len(m.raw) == 0 || len(m.kase.Food) == 0 {
		return Fed{}, false
	}
	e := d.stateOf(m)
	e.use.Lock()
	defer e.use.Unlock()
	e.once.Do(func() { e.state, e.err = m.analyse(dayOf(m.asOf)) })
	if e.err != nil {
		return Fed{}, false
	}
	y, ok := e.state.Yield()
	unit, err := units.Convert(q, 1, q.Default(), shown)
	if !ok || err != nil {
		return Fed{}, false
	}
	return Fed{m.kase.Food, math.Max(y.Mean, 0), e.state.Relax(), dayOf(from), dayOf(until), unit}, true
}

// Rate is what was fed a day between two moments, on average over the days the book
// tells of; false when it tells of none.
func (f Fed) Rate(from, until time.Time) (float64, bool) {
	a, b := math.Max(dayOf(from), f.from), math.Min(dayOf(until), f.until)
	sum, days := 0.0, 0.0
	for _, p := range f.food {
		if span := math.Min(p.To, b) - math.Max(p.From, a); span > 0 {
			sum += p.Rate * span
			days += span
		}
	}
	return sum / math.Max(days, 1e-9), days > 0
}

// Moved is how far the level stands, at a moment, from where it would with the
// span's average food every day, in the shown unit.
func (f Fed) Moved(at time.Time) float64 {
	t, moved := dayOf(at), 0.0
	mean, ok := f.Rate(timeOf(f.from, time.UTC), timeOf(f.until, time.UTC))
	if !ok {
		return 0
	}
	for _, p := range f.food {
		from, to := math.Max(p.From, f.from), math.Min(p.To, t)
		if to > from {
			moved += f.yield * (p.Rate - mean) * statespace.Decayed(f.relax, to-from) * math.Exp(-f.relax*(t-to))
		}
	}
	return moved * f.unit
}
