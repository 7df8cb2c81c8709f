package standing

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"time"

	"driftline/internal/book"
	"driftline/internal/drift"
	"driftline/units"
)

// matter is all that is known of one quantity of one tank: the engine's case
// with the names that its numbers stand for. Figures are in the default unit.
type matter struct {
	tank, system string
	q            units.Quantity
	unit         string // shown
	asOf         time.Time
	loc          *time.Location
	limits       limits
	fromKeeper   bool
	tolerance    float64
	litres       float64
	raw          []rawReading
	kits         []kit
	kitOf        []int
	kase         drift.Case
	sources      []source
	deeds        []deed
	schedule     []turn
	handFood     float64      // a day of late, as the case tells it
	feeders      []drift.Feed // grams a day

	sourceIndex map[source]int
	groups      []mixGroup
	places      []int // of each group's standing error in the case, -1 for none
	groupIndex  map[string]int
}

// deed is a dose or a change; Effect of a change waits for the level it met.
type deed struct {
	Deed
	t        float64
	dose     *rawDose // its label is written when it is told
	known    bool
	fraction float64 // of new water
	value    float64 // of new water
}

// source names what an index of the engine stands for.
type source struct{ name, detail string }

// doseDoubt is the share by which a weighed or measured dose may be off; common practice.
const doseDoubt = 0.03

func (m *matter) source(name, detail string) int {
	s := source{name, detail}
	if i, ok := m.sourceIndex[s]; ok {
		return i
	}
	m.sourceIndex[s] = len(m.sources)
	m.sources = append(m.sources, s)
	return len(m.sources) - 1
}

// newMatter gathers one quantity from a survey.
func (s *survey) newMatter(q units.Quantity) *matter {
	m := &matter{tank: s.tank.Tank.Name, system: book.Key(s.tank.Tank.System), q: q, unit: s.shownUnit(q), asOf: s.asOf,
		loc: s.tank.Location, tolerance: Tolerance(s.facts), litres: s.litresAt(s.asOf), raw: s.readings[q],
		sourceIndex: map[source]int{}, groupIndex: map[string]int{}}
	if m.loc == nil {
		m.loc = time.UTC
	}
	m.limits = defaultLimits(m.system, q)
	if b := keeperBand(s.tank, q); b != nil {
		m.limits, m.fromKeeper = bandLimits(q, b), true
	}
	m.kits, m.kitOf = s.kitsOf(q)
	if simple(q) || len(m.raw) == 0 {
		return m
	}
	m.kase = drift.Case{Habit: drift.HabitOf(string(q), m.system, 1), Readings: engineReadings(m.raw, m.kits, m.kitOf),
		Band: drift.Band{Low: m.limits.low, High: m.limits.high}}
	for _, k := range m.kits {
		m.kase.Kits = append(m.kase.Kits, k.errors)
	}
	s.addInputs(m)
	s.addWater(m)
	s.addMachines(m)
	s.addFood(m)
	m.order()
	return m
}

// begin is the engine's first day: what was done before the first reading
// cannot be told apart from the level it found.
func (m *matter) begin() float64 { return m.raw[0].t }

func (s *survey) addInputs(m *matter) {
	for i := range s.doses {
		d := &s.doses[i]
		delta, known := s.raises(m.q, d.substance, d.grams, d.mL, d.at)
		if known && delta == 0 {
			continue
		}
		m.deeds = append(m.deeds, deed{t: d.t, dose: d, known: known, Deed: Deed{Line: d.line, At: d.at, Effect: delta}})
		if known && d.t >= m.begin() {
			m.kase.Inputs = append(m.kase.Inputs, drift.Input{T: d.t, Delta: delta, SD: doseDoubt * math.Abs(delta),
				Source: m.source(d.kind, shortName(d.substance))})
		}
	}
}

func (s *survey) addWater(m *matter) {
	doses := m.deeds
	m.deeds = make([]deed, 0, len(doses)+len(s.changes))
	for _, c := range s.changes {
		for len(doses) > 0 && doses[0].t < c.t { // both are in order
			m.deeds, doses = append(m.deeds, doses[0]), doses[1:]
		}
		d := deed{t: c.t, Deed: Deed{Line: c.line, At: c.at, Label: c.label}}
		if litres := s.litresAt(c.at); d.t >= m.begin() && litres > 0 {
			w := s.newWater(m.q, c)
			d.fraction, d.value = min(1, c.litres/litres), w.value
			m.addChange(d.t, d.fraction, w, m.source("water change", changeDetail(c)))
		}
		m.deeds = append(m.deeds, d)
	}
	m.deeds = append(m.deeds, doses...)
}

func changeDetail(c rawChange) string {
	switch {
	case book.Key(c.mix) != "":
		return shortName(c.mix)
	case len(c.composition) > 0:
		return "stated composition"
	}
	return "mix not named"
}

// addChange notes a change; its standing error is sorted out by order.
func (m *matter) addChange(t, fraction float64, w water, src int) {
	m.kase.Changes = append(m.kase.Changes, drift.Change{T: t, Fraction: min(fraction, 1), Value: w.value, SD: w.sd,
		Mix: m.group(w), Source: src})
}

// order sorts the case by time and keeps shared standing errors for the mixes
// that were used most; the rest carry their doubt one by one.
func (m *matter) order() {
	c := &m.kase
	slices.SortStableFunc(c.Inputs, func(a, b drift.Input) int { return cmp.Compare(a.T, b.T) })
	slices.SortStableFunc(c.Changes, func(a, b drift.Change) int { return cmp.Compare(a.T, b.T) })
	slices.SortStableFunc(c.Feeds, func(a, b drift.Feed) int { return cmp.Compare(a.From, b.From) })
	keep := m.sharedGroups()
	m.places = keep
	for i := range c.Changes {
		c.Changes[i].Mix = keep[c.Changes[i].Mix]
		if c.Changes[i].Mix >= 0 {
			c.Changes[i].SD = 0
		}
	}
	for i := range m.schedule {
		if m.schedule[i].water {
			m.schedule[i].change.Mix = keep[m.schedule[i].change.Mix]
			if m.schedule[i].change.Mix >= 0 {
				m.schedule[i].change.SD = 0
			}
		}
	}
}

func trimFloat(v float64) string { return strconv.FormatFloat(v, 'g', 9, 64) }
