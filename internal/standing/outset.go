package standing

import (
	"math"
	"sync"
	"time"

	"driftline/internal/book"
	"driftline/internal/drift"
	"driftline/units"
)

// DoseDoubt is the share by which a weighed or measured dose may be off; common
// practice, no source.
const DoseDoubt = doseDoubt

// Outset is where a quantity sets out from when it is to be followed on under
// other plans than the declared one. Figures are in the default unit.
type Outset struct {
	Quantity units.Quantity
	Unit     string // shown
	Band     Band   // in the shown unit
	Limits   drift.Band
	State    *drift.State

	scale  scale
	survey *survey
	asking *sync.Mutex // the outsets of a tank share a survey, which remembers as it is asked
	matter *matter
}

// NewWater is what new salt water holds of a quantity. Mix is the place of its
// standing error among those the engine follows, -1 when the doubt is its own.
type NewWater struct {
	Mean, SD float64
	Mix      int
}

// Outsets gives every quantity of a tank that keeps a balance and has a reading
// the engine can use, in the usual order.
func (d *Desk) Outsets(f *book.Facts, tank string, asOf time.Time) ([]*Outset, error) {
	t, err := tankOf(f, tank)
	if err != nil {
		return nil, err
	}
	s := newSurvey(f, t, newShelf(f), asOf)
	var all []*Outset
	var wait sync.WaitGroup
	asking := new(sync.Mutex)
	for _, q := range s.quantities() {
		if simple(q) || len(s.readings[q]) == 0 {
			continue
		}
		m := s.newMatter(q)
		o := &Outset{Quantity: q, Unit: m.unit, Limits: m.kase.Band, survey: s, asking: asking, matter: m}
		all = append(all, o)
		wait.Go(func() {
			d.slots <- struct{}{}
			defer func() { <-d.slots }()
			o.set()
		})
	}
	wait.Wait()
	out := all[:0]
	for _, o := range all {
		if o.State != nil {
			out = append(out, o)
		}
	}
	return out, nil
}

// set works the state out; a quantity whose readings fit no picture keeps none.
func (o *Outset) set() {
	m := o.matter
	state, err := m.analyse(dayOf(m.asOf))
	if err != nil {
		return
	}
	o.State = state
	level, _ := state.Now()
	o.scale = newScale(m.q, m.unit, level.Mean)
	o.Band = Band{Low: o.scale.limit(m.limits.low), Aim: o.scale.limit(m.limits.aim), High: o.scale.limit(m.limits.high), FromKeeper: m.fromKeeper}
}

// Shown is a level in the unit the keeper uses.
func (o *Outset) Shown(level float64) float64 { return o.scale.level(level) }

// Aim is the keeper's aim, else that of the tank's system, in the default unit.
func (o *Outset) Aim() (float64, bool) {
	aim := o.matter.limits.aim
	return aim, !math.IsNaN(aim) && aim > 0
}

// NewWater finds what the water of a change to come holds: its own composition,
// else its mix as declared by now, else an unstated salt. It may be asked from
// several goroutines.
func (o *Outset) NewWater(mix string, composition []book.Contained) NewWater {
	o.asking.Lock()
	defer o.asking.Unlock()
	w := o.survey.newWater(o.Quantity, rawChange{at: o.survey.asOf, mix: mix, composition: composition})
	if i, ok := o.matter.groupIndex[w.group]; ok && o.matter.places[i] >= 0 {
		return NewWater{w.value, 0, o.matter.places[i]}
	}
	return NewWater{w.value, w.sd, -1}
}
