package feeding

import (
	"cmp"
	"math"
	"slices"
	"time"

	"driftline/internal/book"
	"driftline/internal/food"
	"driftline/internal/standing"
)

// Served is a meal that was written down.
type Served struct {
	Line        string
	At          time.Time
	By          string
	Food        string
	Amount      book.Number
	Unit        string
	Grams, N, P float64 // as far as known
	Known       bool
	Machine     string // routine that gave it; empty for a meal by hand
	TimesToday  int    // a machine's meals so far
}

// Today lists what a tank was given on the day of a moment, in its own time, oldest
// first; machines after the hand meals, each once.
func Today(f *book.Facts, t *book.TankFacts, at time.Time) []Served {
	local := at.In(t.Location)
	start := time.Date(local.Year(), local.Month(), local.Day(), 0, 0, 0, 0, t.Location)
	var out []Served
	for i := len(t.Events) - 1; i >= 0 && !t.Events[i].At.Before(start); i-- {
		l := &t.Events[i]
		if b, ok := l.Body.(*book.Feeding); ok && !l.At.After(at) {
			s := Served{Line: l.ID, At: l.At, By: l.By, Food: b.Food, Amount: b.Amount, Unit: b.Unit}
			s.weigh(f)
			out = append(out, s)
		}
	}
	slices.Reverse(out)
	for _, r := range standing.HeldRoutines(t) {
		if !r.Routine.Automatic || book.Key(r.Routine.Action) != "feeding" || r.Start.After(at) || !r.End.IsZero() && !r.End.After(start) {
			continue
		}
		s := Served{Line: r.Line, At: start, Food: r.Routine.Food, Amount: r.Routine.Amount, Unit: r.Routine.Unit, Machine: r.Routine.Name}
		s.weigh(f)
		from := r.Start
		if from.Before(start) {
			from = start
		}
		s.TimesToday = int(math.Floor(at.Sub(from).Hours()/24/r.EveryDays)) + 1
		s.Grams, s.N, s.P = s.Grams*float64(s.TimesToday), s.N*float64(s.TimesToday), s.P*float64(s.TimesToday)
		out = append(out, s)
	}
	return out
}

func (s *Served) weigh(f *book.Facts) {
	grams, ok := food.GramsOf(f, s.Food, s.Amount, s.Unit, s.At)
	kind, known := food.Find(f, s.Food, s.At)
	s.Known = ok && known
	if s.Known {
		s.Grams, s.N, s.P = grams, grams*kind.N().Mean, grams*kind.P.Mean
	}
}

// Usual lists the meals by hand that a tank was given of late, each once, those given
// most often first, the latest first among equals.
func Usual(t *book.TankFacts, most int) []Served {
	const reach = 60 // meals looked back over
	var out []Served
	count := map[[3]string]int{}
	for i, seen := len(t.Events)-1, 0; i >= 0 && seen < reach; i-- {
		l := &t.Events[i]
		b, ok := l.Body.(*book.Feeding)
		if !ok {
			continue
		}
		seen++
		key := [3]string{book.Key(b.Food), string(b.Amount), book.Key(b.Unit)}
		if count[key]++; count[key] == 1 {
			out = append(out, Served{Line: l.ID, At: l.At, Food: b.Food, Amount: b.Amount, Unit: b.Unit})
		}
	}
	slices.SortStableFunc(out, func(a, b Served) int {
		return cmp.Compare(count[[3]string{book.Key(b.Food), string(b.Amount), book.Key(b.Unit)}], count[[3]string{book.Key(a.Food), string(a.Amount), book.Key(a.Unit)}])
	})
	return out[:min(most, len(out))]
}

// Pattern is how a day's nitrogen is spread over meals of late: hand meals of the
// last fortnight by the hour, machines by their routines.
func Pattern(f *book.Facts, t *book.TankFacts, at time.Time) []Meal {
	const days = 14
	hours := map[int]float64{}
	for i := len(t.Events) - 1; i >= 0 && t.Events[i].At.After(at.AddDate(0, 0, -days)); i-- {
		l := &t.Events[i]
		if b, ok := l.Body.(*book.Feeding); ok && !l.At.After(at) {
			s := Served{At: l.At, Food: b.Food, Amount: b.Amount, Unit: b.Unit}
			s.weigh(f)
			hours[l.At.In(t.Location).Hour()] += s.N / days
		}
	}
	for _, d := range standing.Schedule(t, at) {
		if !d.Routine.Automatic || book.Key(d.Routine.Action) != "feeding" || d.Start.After(at) {
			continue
		}
		s := Served{At: at, Food: d.Routine.Food, Amount: d.Routine.Amount, Unit: d.Routine.Unit}
		s.weigh(f)
		turns := max(int(math.Round(1/d.EveryDays)), 1)
		for k := range turns {
			when := d.Next.In(t.Location).Add(time.Duration(float64(k) * d.EveryDays * 24 * float64(time.Hour)))
			hours[when.Hour()] += s.N / math.Max(d.EveryDays*float64(turns), 1e-9)
		}
	}
	sum := 0.0
	for _, n := range hours {
		sum += n
	}
	var out []Meal
	for h := range 24 {
		if n := hours[h]; n > 0 && sum > 0 {
			out = append(out, Meal{Hour: float64(h) + 0.5, Share: n / sum})
		}
	}
	return out
}
