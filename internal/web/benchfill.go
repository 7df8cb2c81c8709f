package web

import (
	"strconv"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/units"
)

// fillFromTank puts the newest reading of each quantity on the form, with the
// doubt the tank's own readings of it have shown, and says when it was taken.
func (s *Server) fillFromTank(w *benchWater, f *book.Facts, t *book.TankFacts) error {
	all, err := s.Desk.Tank(f, t.Tank.Name, f.AsOf, pictureDays)
	if err != nil {
		return err
	}
	w.Filled = true
	now := s.Now().In(t.Location)
	read := map[string]book.Line{}
	for _, l := range t.Events {
		if l.Kind == book.KindReading {
			read[l.ID] = l
		}
	}
	known := map[string]standing.Quantity{}
	for _, q := range all {
		known[q.Name] = q
	}
	w.all(func(m *measure) {
		q := known[m.Quantity]
		for i := len(q.Readings) - 1; i >= 0; i-- {
			r := q.Readings[i]
			l, ok := read[r.Line]
			if !ok || r.Misread >= likelyMisread {
				continue
			}
			m.takeReading(l.Body.(*book.Reading), r, q.Unit, moment(l.At, now), now)
			return
		}
	})
	return nil
}

// takeReading fills a measure with a reading as it was typed. One under the
// limit of its kit has no figure to work with.
func (m *measure) takeReading(b *book.Reading, r standing.Reading, unit, when string, now time.Time) {
	m.Age = "read " + when + " (" + ago(r.At, now) + ")"
	if daysBetween(r.At.In(now.Location()), now) < 2 {
		m.Age = "read " + when
	}
	if b.Below {
		m.Age = "below " + amount(b.Value, b.Unit) + " when " + m.Age
		return
	}
	m.Value = string(b.Value)
	own := canonicalUnit(m.Quantity, b.Unit)
	m.setUnit(own)
	if sd, err := units.ConvertSD(units.Quantity(m.Quantity), r.Value, r.SD, unit, own); err == nil && sd > 0 {
		m.Doubt = strconv.FormatFloat(roundTo2(sd), 'f', -1, 64)
	}
	if m.Sample != nil && b.SampleTemperature != "" {
		m.Sample.Value = string(b.SampleTemperature)
		m.Sample.setUnit(canonicalUnit(string(units.Temperature), b.TemperatureUnit))
	}
}

// roundTo2 keeps two figures of a doubt.
func roundTo2(v float64) float64 {
	out, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 2, 64), 64)
	if err != nil {
		return v
	}
	return out
}

// fillFromMix puts what is declared of a make-up water on the form.
func fillFromMix(w *benchWater, m *book.Mix) {
	w.Filled = true
	w.all(func(x *measure) {
		for _, c := range m.Composition {
			if same(canonicalQuantity(c.Quantity), x.Quantity) {
				x.Value, x.Age = string(c.Value), "as declared"
				x.setUnit(canonicalUnit(x.Quantity, c.Unit))
			}
		}
	})
}

func canonicalQuantity(name string) string {
	q, err := units.ParseQuantity(name)
	if err != nil {
		return name
	}
	return string(q)
}

// percentWords writes a share as a percentage: "10 %".
func percentWords(share float64) string {
	return strconv.FormatFloat(100*share, 'f', -1, 64) + " %"
}
