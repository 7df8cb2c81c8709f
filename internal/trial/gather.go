package trial

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/effect"
	"driftline/internal/standing"
	"driftline/units"
)

func sortByStart(list []Trial) {
	slices.SortStableFunc(list, func(a, b Trial) int { return b.Start.Compare(a.Start) })
}

// bench gathers figures of a trial from the log.
type bench struct {
	desk *standing.Desk
	f    *book.Facts
	asOf time.Time
}

// series are the figures of one outcome in one tank between two moments.
func (g bench) series(o book.Outcome, tank string, from, until time.Time, trial *book.Trial) ([]effect.Point, error) {
	t, ok := g.f.Tank(tank)
	if !ok {
		return nil, fmt.Errorf("tank %q is not in the book", tank)
	}
	switch book.Key(o.What) {
	case "score":
		return scores(t, o.Of, from, until), nil
	case "interval":
		return intervals(t, o.Of, from, until, trial), nil
	case "count":
		return counts(t, o.Of, from, until, trial), nil
	case "peak":
		p, err := g.readings(t, o, from, until, trial)
		return peaks(p, t.Location), err
	}
	return g.readings(t, o, from, until, trial)
}

func within(at, from, until time.Time) bool { return !at.Before(from) && !at.After(until) }

func scores(t *book.TankFacts, sign string, from, until time.Time) []effect.Point {
	var out []effect.Point
	for i := range t.Events {
		b, ok := t.Events[i].Body.(*book.Score)
		if !ok || book.Key(b.Sign) != book.Key(sign) || !within(t.Events[i].At, from, until) {
			continue
		}
		if v, ok := b.Value.Float(); ok {
			out = append(out, effect.Point{At: t.Events[i].At, Value: v})
		}
	}
	return out
}

// intervals are the days from each turn of a chore to the next, told at their
// end. Those over which the change came or went belong to neither side and are
// left out; the last one is open.
func intervals(t *book.TankFacts, chore string, from, until time.Time, trial *book.Trial) []effect.Point {
	var out []effect.Point
	var last time.Time
	crosses := func(a, b time.Time) bool {
		for _, p := range trial.On {
			for _, turn := range []*time.Time{p.From, p.Until} {
				if turn != nil && a.Before(*turn) && b.After(*turn) {
					return true
				}
			}
		}
		return false
	}
	for i := range t.Events {
		b, ok := t.Events[i].Body.(*book.Chore)
		at := t.Events[i].At
		if !ok || book.Key(b.Name) != book.Key(chore) || !within(at, from, until) {
			continue
		}
		if days := at.Sub(last).Hours() / 24; !last.IsZero() && days > 0 && !crosses(last, at) {
			out = append(out, effect.Point{At: at, Value: days})
		}
		last = at
	}
	if days := until.Sub(last).Hours() / 24; !last.IsZero() && days > 0 && !crosses(last, until) {
		out = append(out, effect.Point{At: until, Value: days, Open: true})
	}
	return out
}

// counts are how often a chore was done in each whole week counted from the
// start.
func counts(t *book.TankFacts, chore string, from, until time.Time, trial *book.Trial) []effect.Point {
	const week = 7 * 24 * time.Hour
	start := *trial.On[0].From
	first, last := int(from.Sub(start)/week), int(until.Sub(start)/week)
	out := make([]effect.Point, 0, max(0, last-first))
	for w := first; w < last; w++ {
		out = append(out, effect.Point{At: start.Add(time.Duration(w)*week + week/2)})
	}
	for i := range t.Events {
		b, ok := t.Events[i].Body.(*book.Chore)
		at := t.Events[i].At
		if !ok || book.Key(b.Name) != book.Key(chore) {
			continue
		}
		since := at.Sub(start)
		w := int(since / week)
		if since < 0 && since%week != 0 {
			w--
		}
		if w >= first && w < last {
			out[w-first].Value++
		}
	}
	return out
}

// peaks keeps the highest figure of each day.
func peaks(points []effect.Point, loc *time.Location) []effect.Point {
	var out []effect.Point
	for _, p := range points {
		day := p.At.In(loc).Format(time.DateOnly)
		if n := len(out); n > 0 && out[n-1].At.In(loc).Format(time.DateOnly) == day {
			if p.Value > out[n-1].Value {
				out[n-1] = p
			}
			continue
		}
		out = append(out, p)
	}
	return out
}

// readings are those of a quantity, each with its kit's bias taken off, and with
// what one-off doses and water changes, and food, had moved it by.
func (g bench) readings(t *book.TankFacts, o book.Outcome, from, until time.Time, trial *book.Trial) ([]effect.Point, error) {
	q, err := units.ParseQuantity(o.Of)
	if err != nil {
		return nil, err
	}
	level, err := g.desk.Quantity(g.f, t.Tank.Name, string(q), until, 0)
	if err != nil {
		return nil, fmt.Errorf("%s of %s: %w", q, t.Tank.Name, err)
	}
	unit := unitOf(o)
	bias := map[string]float64{}
	for _, k := range level.Kits {
		bias[k.Name] = k.Bias.Mean
	}
	known := oneOffs(level.Deeds, from, until)
	fed := g.foodMoved(t, q, level.Unit, from, until, trial)
	var out []effect.Point
	for _, r := range level.Readings {
		if !within(r.At, from, until) {
			continue
		}
		v := r.Value - bias[r.Instrument]
		if r.Below {
			v = r.Value / 2 // somewhere between nothing and the limit
		}
		moved := fed(r.At)
		for _, d := range known {
			if d.At.Before(r.At) {
				moved += d.Effect
			}
		}
		p := effect.Point{At: r.At}
		with, err := units.Convert(q, v, level.Unit, unit)
		if err != nil {
			return nil, err
		}
		without, err := units.Convert(q, v-moved, level.Unit, unit)
		if err != nil {
			return nil, err
		}
		p.Value, p.Known = with, with-without
		out = append(out, p)
	}
	return out, nil
}

// mostFoodApart is by what share the food of a trial's two sides may differ and still
// be a circumstance rather than what is tried.
const mostFoodApart = 0.15

// foodMoved is how far food had moved a nutrient at a moment, by the tank's own budget:
// more on some days than on others. Where the two sides of the trial were fed unlike,
// food is what is tried, and nothing is taken off.
func (g bench) foodMoved(t *book.TankFacts, q units.Quantity, unit string, from, until time.Time, trial *book.Trial) func(time.Time) float64 {
	none := func(time.Time) float64 { return 0 }
	fed, ok := g.desk.Fed(g.f, t.Tank.Name, q, unit, from, until)
	if !ok || trial == nil || len(trial.On) == 0 || trial.On[0].From == nil {
		return none
	}
	off, on, days, onDays := 0.0, 0.0, 0.0, 0.0
	for day := from; day.Before(until); day = day.AddDate(0, 0, 1) {
		rate, told := fed.Rate(day, day.AddDate(0, 0, 1))
		switch {
		case !told:
		case changed(trial, day):
			on, onDays = on+rate, onDays+1
		default:
			off, days = off+rate, days+1
		}
	}
	if days == 0 || onDays == 0 {
		return none
	}
	if off, on = off/days, on/onDays; on > off*(1+mostFoodApart) || on < off*(1-mostFoodApart) {
		return none
	}
	return fed.Moved
}

// changed says whether the change is on at a moment.
func changed(trial *book.Trial, at time.Time) bool {
	for _, p := range trial.On {
		if p.From != nil && !at.Before(*p.From) && (p.Until == nil || at.Before(*p.Until)) {
			return true
		}
	}
	return false
}

// regular is how often a deed of one kind is done in the time of a trial before it
// counts as a habit, which both sides have, rather than a one-off.
const regular = 4

// oneOffs are the deeds whose effect is known and that were not done again and
// again, so that a single large water change is not taken for the trial's effect.
func oneOffs(deeds []standing.Deed, from, until time.Time) []standing.Deed {
	kind := func(d standing.Deed) string { // "dose, 40 g magnesium chloride" is a dose of magnesium chloride
		words := strings.Fields(d.Label)
		return strings.Join(slices.DeleteFunc(words, func(w string) bool { return strings.ContainsAny(w[:1], "0123456789") }), " ")
	}
	count := map[string]int{}
	for _, d := range deeds {
		if within(d.At, from, until) {
			count[kind(d)]++
		}
	}
	var out []standing.Deed
	for _, d := range deeds {
		if within(d.At, from, until) && d.Effect != 0 && count[kind(d)] < regular {
			out = append(out, d)
		}
	}
	return out
}
