package web

import (
	"strings"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/units"
)

// unitPreference is the name of the preference line for a quantity's shown unit.
func unitPreference(quantity string) string { return "unit of " + quantity }

// shownUnit is the unit the keeper wants a quantity told in, empty for the
// unit of its band or readings.
func shownUnit(f *book.Facts, quantity string) string {
	u := strings.TrimSpace(f.Preferences[book.Key(unitPreference(quantity))])
	if u == "" {
		return ""
	}
	q, err := units.ParseQuantity(quantity)
	if err != nil {
		return ""
	}
	if u, err = units.ParseUnit(q, u); err != nil {
		return ""
	}
	return u
}

// inShownUnit tells every figure of a standing in the keeper's unit.
func inShownUnit(f *book.Facts, q standing.Quantity) standing.Quantity {
	unit := shownUnit(f, q.Name)
	if unit == "" || unit == q.Unit {
		return q
	}
	c := conversion{units.Quantity(q.Name), q.Unit, unit, q.Level.Mean}
	q.Unit = unit
	q.Band.Low, q.Band.Aim, q.Band.High = c.limit(q.Band.Low), c.limit(q.Band.Aim), c.limit(q.Band.High)
	q.Level, q.Demand, q.DailySwing = c.level(q.Level), c.change(q.Demand), c.change(q.DailySwing)
	q.Forecast, q.HandsOff = c.days(q.Forecast), c.days(q.HandsOff)
	q.Readings = append([]standing.Reading(nil), q.Readings...)
	for i := range q.Readings {
		r := &q.Readings[i]
		e := c.level(standing.Estimate{Mean: r.Value, SD: r.SD})
		r.Value, r.SD, r.Expected = e.Mean, e.SD, c.level(r.Expected)
	}
	q.History = append([]standing.Point(nil), q.History...)
	for i := range q.History {
		h := &q.History[i]
		e := c.level(standing.Estimate{Mean: h.Mean, SD: h.SD})
		h.Mean, h.SD = e.Mean, e.SD
	}
	q.Deeds = append([]standing.Deed(nil), q.Deeds...)
	for i := range q.Deeds {
		q.Deeds[i].Effect = c.change(standing.Estimate{Mean: q.Deeds[i].Effect}).Mean
	}
	q.Kits = append([]standing.Kit(nil), q.Kits...)
	for i := range q.Kits {
		k := &q.Kits[i]
		k.Bias, k.SD = c.change(k.Bias), c.change(standing.Estimate{SD: k.SD}).SD
	}
	return q
}

// conversion tells figures of one unit in another; differences go by the
// slope at the level where the tank stands.
type conversion struct {
	q        units.Quantity
	from, to string
	at       float64
}

func (c conversion) value(v float64) float64 {
	out, err := units.Convert(c.q, v, c.from, c.to)
	if err != nil { // outside what the unit's own scale reaches: go on in a straight line
		base, _ := units.Convert(c.q, c.at, c.from, c.to)
		return base + (v-c.at)*c.slope()
	}
	return out
}

func (c conversion) slope() float64 {
	d, err := units.ConvertSD(c.q, c.at, 1, c.from, c.to)
	if err != nil {
		return 1
	}
	return d
}

func (c conversion) level(e standing.Estimate) standing.Estimate {
	return standing.Estimate{Mean: c.value(e.Mean), SD: e.SD * c.slope()}
}

func (c conversion) change(e standing.Estimate) standing.Estimate {
	k := c.slope()
	return standing.Estimate{Mean: e.Mean * k, SD: e.SD * k}
}

func (c conversion) limit(v *float64) *float64 {
	if v == nil {
		return nil
	}
	out := c.value(*v)
	return &out
}

func (c conversion) days(days []standing.Day) []standing.Day {
	out := append([]standing.Day(nil), days...)
	for i := range out {
		d := &out[i]
		e := c.level(standing.Estimate{Mean: d.Mean, SD: d.SD})
		d.Mean, d.SD = e.Mean, e.SD
		for _, p := range []*float64{&d.P05, &d.P10, &d.P25, &d.P50, &d.P75, &d.P90, &d.P95} {
			*p = c.value(*p)
		}
	}
	return out
}

// ledgerInShownUnit does the same for a ledger, whose sum stays exact because
// every change goes by one slope and the end is counted from the start.
func ledgerInShownUnit(f *book.Facts, l standing.Ledger) standing.Ledger {
	unit := shownUnit(f, l.Quantity)
	if unit == "" || unit == l.Unit {
		return l
	}
	c := conversion{units.Quantity(l.Quantity), l.Unit, unit, l.To.Mean}
	l.Unit = unit
	l.From, l.To = c.level(l.From), c.level(l.To)
	l.Entries = append([]standing.Entry(nil), l.Entries...)
	sum := l.From.Mean
	for i := range l.Entries {
		l.Entries[i].Change = c.change(l.Entries[i].Change)
		sum += l.Entries[i].Change.Mean
	}
	for i := range l.Entries { // a unit that bends leaves a rest, which no source explains
		if l.Entries[i].Name == "unexplained" {
			l.Entries[i].Change.Mean += l.To.Mean - sum
		}
	}
	return l
}
