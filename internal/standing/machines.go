package standing

import (
	"math"
	"sort"
	"strings"

	"driftline/internal/book"
	"driftline/internal/drift"
)

// turn is a routine as the future sees it: what one turn does, when the next
// comes, and until when. Times are days.
type turn struct {
	hand, water bool
	next, every float64
	start, end  float64 // of the routine; end may be infinite
	input       drift.Input
	change      drift.Change
	source      int
}

// overdueLead is how long after as-of overdue hand work is taken to be done, in days.
const overdueLead = 0.25

// exchangeStep is the step in which a machine's small water changes are told
// to the engine, in days.
const exchangeStep = 1.0

// addMachines adds what machines did until as-of, and the turns of all
// routines from as-of on.
func (s *survey) addMachines(m *matter) {
	for _, v := range versions(s.tank) {
		if v.routine.Automatic {
			s.addMachine(m, v)
		}
	}
	for _, d := range s.schedule {
		if !d.Routine.Automatic {
			s.addHand(m, d)
		}
	}
	s.addPlanned(m)
}

func (v version) days() (start, end float64) {
	end = math.Inf(1)
	if !v.end.IsZero() {
		end = dayOf(v.end)
	}
	return dayOf(v.start), end
}

func (s *survey) addMachine(m *matter, v version) {
	start, end := v.days()
	switch book.Key(v.routine.Action) {
	case "dose":
		grams, mL, ok := amountOf(v.routine.Amount, v.routine.Unit)
		if !ok {
			return
		}
		delta, known := s.raises(m.q, v.routine.Substance, grams, mL, v.start)
		if !known || delta == 0 {
			return
		}
		src := m.source("routine", shortName(v.routine.Name))
		m.kase.Feeds = append(m.kase.Feeds, drift.Feed{From: max(start, m.begin()), To: end, Rate: delta / v.every, Source: src})
	case "water change":
		s.addExchange(m, v, start, end)
	}
}

// addExchange tells a machine's water changes as steps of a day or more.
func (s *survey) addExchange(m *matter, v version, start, end float64) {
	litres, ok := routineLitres(v.routine)
	if !ok {
		return
	}
	step, t := max(v.every, exchangeStep), start
	if v.every < exchangeStep {
		t += exchangeStep / 2
	}
	c := rawChange{litres: litres * step / v.every, mix: v.routine.Mix, composition: v.routine.Composition}
	src := m.source("routine", shortName(v.routine.Name))
	now := dayOf(s.asOf)
	if lag := m.begin() - t; lag > 0 {
		t += math.Ceil(lag/step) * step
	}
	for ; t <= min(end, now); t += step {
		c.at = timeOf(t, m.loc)
		m.addChange(t, c.litres/max(s.litresAt(c.at), c.litres), s.newWater(m.q, c), src)
	}
	if t < end {
		c.at = s.asOf
		m.schedule = append(m.schedule, turn{water: true, next: t, every: step, start: start, end: end, source: src,
			change: s.planned(m, c, src)})
	}
}

// planned is a water change to come, with the water its mix holds now.
func (s *survey) planned(m *matter, c rawChange, src int) drift.Change {
	w := s.newWater(m.q, c)
	return drift.Change{Fraction: min(1, c.litres/max(m.litres, c.litres)), Value: w.value, SD: w.sd, Mix: m.group(w), Source: src}
}

func routineLitres(r *book.Routine) (float64, bool) {
	n := r.Volume
	if n == "" {
		n = r.Amount
	}
	_, mL, ok := amountOf(n, r.Unit)
	return mL / 1000, ok && mL > 0
}

// addHand plans a routine of hand work from its next turn on. What is done more
// than once a day is planned by the day.
func (s *survey) addHand(m *matter, d Due) {
	every := max(d.EveryDays, exchangeStep)
	turns := every / d.EveryDays
	t := turn{hand: true, next: dayOf(d.Next), every: every, start: dayOf(d.Start), end: math.Inf(1)}
	if !d.End.IsZero() {
		t.end = dayOf(d.End)
	}
	t.source = m.source("routine", shortName(d.Routine.Name))
	switch book.Key(d.Routine.Action) {
	case "dose":
		grams, mL, ok := amountOf(d.Routine.Amount, d.Routine.Unit)
		delta, known := s.raises(m.q, d.Routine.Substance, grams*turns, mL*turns, s.asOf)
		if !ok || !known || delta == 0 {
			return
		}
		t.input = drift.Input{Delta: delta, SD: doseDoubt * math.Abs(delta), Source: t.source}
	case "water change":
		litres, ok := routineLitres(d.Routine)
		if !ok || m.litres <= 0 {
			return
		}
		t.water = true
		t.change = s.planned(m, rawChange{at: s.asOf, litres: litres * turns, mix: d.Routine.Mix, composition: d.Routine.Composition}, t.source)
	default:
		return
	}
	m.schedule = append(m.schedule, t)
}

// upTo is the case as the engine sees it at a moment: machines still running
// run until then.
func (m *matter) upTo(now float64) drift.Case {
	c := m.kase
	c.Feeds = nil
	for _, f := range m.kase.Feeds {
		if f.To = min(f.To, now); f.To > f.From {
			c.Feeds = append(c.Feeds, f)
		}
	}
	return c
}

// plan is what will be done from now on for so many days; hands off leaves
// only the machines.
func (m *matter) plan(now, days float64, handsOff bool) drift.Plan {
	var p drift.Plan
	for _, f := range m.kase.Feeds {
		f.From, f.To = max(f.From, now), min(f.To, now+days)
		if f.To > f.From {
			p.Feeds = append(p.Feeds, f)
		}
	}
	for _, t := range m.schedule {
		if t.hand && handsOff {
			continue
		}
		for _, at := range t.turns(now, days) {
			if t.water {
				t.change.T = at
				p.Changes = append(p.Changes, t.change)
			} else {
				t.input.T = at
				p.Inputs = append(p.Inputs, t.input)
			}
		}
	}
	p.Food = m.foodAhead(now, days, handsOff)
	sortPlan(&p)
	return p
}

// turns lists when a routine's turns come. Overdue hand work is taken to be
// done soon, and then at its interval.
func (t turn) turns(now, days float64) []float64 {
	at := t.next
	if at < now {
		at = now + overdueLead
		if !t.hand {
			at = t.next + math.Ceil((now-t.next)/t.every)*t.every
		}
	}
	every := max(t.every, 1.0/24) // a plan finer than an hour tells the engine nothing more
	var out []float64
	for ; at <= now+days && at < t.end; at += every {
		out = append(out, at)
	}
	return out
}

// shortName is a name as typed, without the space around it.
func shortName(name string) string { return strings.TrimSpace(name) }

func sortPlan(p *drift.Plan) {
	sort.SliceStable(p.Inputs, func(i, j int) bool { return p.Inputs[i].T < p.Inputs[j].T })
	sort.SliceStable(p.Changes, func(i, j int) bool { return p.Changes[i].T < p.Changes[j].T })
}
