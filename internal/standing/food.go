package standing

import (
	"math"
	"slices"

	"driftline/internal/book"
	"driftline/internal/drift"
	"driftline/internal/food"
	"driftline/units"
)

// A log of food is used when it tells of enough days, and of nearly all that was
// fed; what it leaves out is taken to be as usual. Judgements, no source.
const (
	leastFedDays  = 10
	mostUncounted = 0.25 // of the meals
	recentFedDays = 14   // that the days to come are taken to be like, at most
	fastingDays   = 3    // more without a meal means that nobody wrote it down
)

// larder is what a tank was fed, as one quantity would see it if all of it ended in
// the water: grams a day.
type larder struct {
	q         units.Quantity
	facts     *book.Facts
	hand      map[int]float64 // by day
	meals     int
	uncounted int
	machines  []drift.Feed
}

// addFood tells the engine of the food.
func (s *survey) addFood(m *matter) {
	if m.q != units.Nitrate && m.q != units.Phosphate || m.litres <= 0 {
		return
	}
	l := larder{q: m.q, facts: s.facts, hand: map[int]float64{}}
	for i := range s.tank.Events {
		e := &s.tank.Events[i]
		if e.At.After(s.asOf) {
			break
		}
		if b, ok := e.Body.(*book.Feeding); ok {
			l.meal(e, b)
		}
	}
	for _, v := range versions(s.tank) {
		l.feeder(m, v)
	}
	if float64(l.uncounted) > mostUncounted*float64(l.meals) || len(l.hand) < leastFedDays && len(l.machines) == 0 {
		return
	}
	if len(l.hand) < leastFedDays {
		l.hand = nil // a few meals beside a machine tell nothing
	}
	now := dayOf(s.asOf)
	byHand, recent := l.byHand(m.begin(), now)
	m.kase.Food = l.pieces(m.begin(), now, byHand, m.litres)
	if toldDays(m.kase.Food) < leastFedDays {
		m.kase.Food = nil
		return
	}
	m.handFood = recent * 1000 / m.litres
	m.feeders = l.machines
}

func (l *larder) meal(e *book.Line, b *book.Feeding) {
	l.meals++
	grams, ok := food.GramsOf(l.facts, b.Food, b.Amount, b.Unit, e.At)
	kind, known := food.Find(l.facts, b.Food, e.At)
	if !ok || !known {
		l.uncounted++
		return
	}
	l.hand[int(math.Floor(dayOf(e.At)))] += grams * kind.Makes(l.q)
}

// feeder adds what a machine gives.
func (l *larder) feeder(m *matter, v version) {
	r := v.routine
	if !r.Automatic || book.Key(r.Action) != "feeding" {
		return
	}
	grams, ok := food.GramsOf(l.facts, r.Food, r.Amount, r.Unit, v.start)
	kind, known := food.Find(l.facts, r.Food, v.start)
	if !ok || !known {
		l.meals, l.uncounted = l.meals+1, l.uncounted+1
		return
	}
	from, to := v.days()
	l.machines = append(l.machines, drift.Feed{From: from, To: to, Rate: grams * kind.Makes(l.q) / v.every, Source: m.source("routine", shortName(r.Name))})
}

// byHand gives each day from the first meal to now what was fed by hand, days that
// nobody wrote down as the fed days before them, and what was usual of late. Where a
// machine is known to have fed before the first meal by hand, hands are taken to have
// fed as they did at first.
func (l *larder) byHand(begin, now float64) (days map[int]float64, recent float64) {
	if len(l.hand) == 0 {
		return nil, 0
	}
	fed := make([]int, 0, len(l.hand))
	for d := range l.hand {
		fed = append(fed, d)
	}
	slices.Sort(fed)
	days = map[int]float64{}
	longest := max(fastingDays, 4*usualGap(fed))
	last := int(math.Floor(now)) - 1 // the day that runs is not over
	for i, d := range fed {
		days[d] = l.hand[d]
		until := last + 1
		if i+1 < len(fed) {
			until = fed[i+1]
		}
		fill := 0.0
		if until-d-1 > longest {
			fill = l.usual(fed[:i+1], longest)
		}
		for g := d + 1; g < until; g++ {
			days[g] = fill
		}
	}
	l.before(begin, fed[0], days)
	var late []float64
	for d := max(fed[0], last-2*recentFedDays+1); d <= last; d++ {
		late = append(late, days[d])
	}
	if len(late) == 0 {
		return days, l.hand[fed[len(fed)-1]]
	}
	return days, ofLate(late)
}

// before fills the days ahead of the first meal by hand.
func (l *larder) before(begin float64, first int, days map[int]float64) {
	if len(l.machines) == 0 {
		return
	}
	sum, n := 0.0, 0
	for d := first; d < first+recentFedDays; d++ {
		if v, told := days[d]; told {
			sum, n = sum+v, n+1
		}
	}
	for d := int(math.Floor(begin)); d < first; d++ {
		days[d] = sum / float64(max(n, 1))
	}
}

// ofLate is what was fed a day of late: on average over the newest days, none of
// them before the last clear change.
func ofLate(days []float64) float64 {
	since, n := 0, float64(len(days))
	whole := scatter(days)
	best := whole * math.Exp(-(2*math.Log(n)+4)/n) // a split must beat chance, by the information criterion and some more
	for at := 1; at+1 < len(days); at++ {
		if s := scatter(days[:at]) + scatter(days[at:]); s < best {
			best, since = s, at
		}
	}
	days = days[max(since, len(days)-recentFedDays):]
	return sum(days) / float64(len(days))
}

func sum(v []float64) (s float64) {
	for _, x := range v {
		s += x
	}
	return s
}

// scatter is the sum of squares around the mean.
func scatter(v []float64) (s float64) {
	m := sum(v) / float64(len(v))
	for _, x := range v {
		s += (x - m) * (x - m)
	}
	return s
}

// usualGap is the middle distance of days with a meal.
func usualGap(fed []int) int {
	gaps := make([]int, 0, len(fed))
	for i := 1; i < len(fed); i++ {
		gaps = append(gaps, fed[i]-fed[i-1])
	}
	if len(gaps) == 0 {
		return 1
	}
	slices.Sort(gaps)
	return gaps[len(gaps)/2]
}

// usual is what was fed a day of late, up to the newest of the given days.
func (l *larder) usual(fed []int, longest int) float64 {
	end := fed[len(fed)-1]
	sum, first := 0.0, end
	for i := len(fed) - 1; i >= 0 && fed[i] > end-recentFedDays && first-fed[i] <= longest; i-- {
		sum += l.hand[fed[i]]
		first = fed[i]
	}
	return sum / float64(end-first+1)
}

// pieces joins hand and machines into pieces of one rate each, from the first day
// that is told. Where hand meals are known at all, days before the first are not.
func (l *larder) pieces(begin, now float64, hand map[int]float64, litres float64) []drift.Feed {
	from := math.Floor(begin)
	if first, ok := firstDay(hand); ok {
		from = math.Max(from, float64(first))
	} else {
		from = math.Max(from, l.machines[0].From)
		for _, f := range l.machines {
			from = math.Max(math.Floor(begin), math.Min(from, f.From))
		}
	}
	var out []drift.Feed
	for t := math.Floor(from); t < now; t++ {
		start, end := math.Max(t, from), math.Min(t+1, now)
		rate := hand[int(t)]
		for _, f := range l.machines {
			rate += f.Rate * math.Max(0, math.Min(f.To, end)-math.Max(f.From, start)) / math.Max(end-start, 1e-9)
		}
		if hand != nil && t+1 > now {
			break // the day that runs is not over
		}
		rate *= 1000 / litres
		if n := len(out); n > 0 && out[n-1].Rate == rate && out[n-1].To == start {
			out[n-1].To = end
			continue
		}
		if end > start {
			out = append(out, drift.Feed{From: start, To: end, Rate: rate})
		}
	}
	return out
}

func firstDay(hand map[int]float64) (first int, ok bool) {
	for d := range hand {
		if !ok || d < first {
			first, ok = d, true
		}
	}
	return first, ok
}

func toldDays(food []drift.Feed) (days float64) {
	for _, f := range food {
		days += f.To - f.From
	}
	return days
}

// foodAhead is what will be fed from now on: machines as declared, and by hand as
// of late unless nobody comes.
func (m *matter) foodAhead(now, days float64, handsOff bool) []drift.Feed {
	if len(m.kase.Food) == 0 {
		return nil
	}
	edges := []float64{now, now + days}
	for _, f := range m.feeders {
		edges = append(edges, math.Min(math.Max(f.From, now), now+days), math.Min(math.Max(f.To, now), now+days))
	}
	slices.Sort(edges)
	var out []drift.Feed
	for i := 1; i < len(edges); i++ {
		from, to := edges[i-1], edges[i]
		if !(to > from) {
			continue
		}
		rate := m.handFood
		if handsOff {
			rate = 0
		}
		for _, f := range m.feeders {
			if f.From <= from && f.To >= to {
				rate += f.Rate * 1000 / m.litres
			}
		}
		out = append(out, drift.Feed{From: from, To: to, Rate: rate})
	}
	return out
}
