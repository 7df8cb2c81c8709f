package standing

import (
	"fmt"
	"math"
	"time"

	"driftline/internal/book"
	"driftline/units"
)

// ReadingIn is the value of a reading in another unit of its quantity. Where the
// line carries the sample's temperature, specific gravity and conductivity are
// corrected for it; a temperature that no such reading can have had is left out
// of account.
func ReadingIn(q units.Quantity, b *book.Reading, unit string) (float64, error) {
	v, ok := b.Value.Float()
	if !ok {
		return 0, fmt.Errorf("the reading of %s has no value", q)
	}
	typed, err := units.ParseUnit(q, b.Unit)
	if err != nil {
		return 0, err
	}
	return readingIn(q, v, typed, unit, b)
}

func readingIn(q units.Quantity, v float64, typed, unit string, b *book.Reading) (float64, error) {
	if b.SampleTemperature != "" && units.MindsTemperature(q, typed) {
		if tempC, ok := sampleTempC(b); ok {
			if out, err := units.ConvertSample(q, v, typed, unit, tempC); err == nil {
				return out, nil
			}
		}
	}
	if typed == unit {
		return v, nil
	}
	return units.Convert(q, v, typed, unit)
}

func sampleTempC(b *book.Reading) (float64, bool) {
	v, ok := b.SampleTemperature.Float()
	if !ok {
		return 0, false
	}
	tempC, err := toDefault(units.Temperature, v, b.TemperatureUnit)
	return tempC, err == nil
}

// Measured is a reading in the default unit of its quantity, corrected for the
// sample's temperature, with the doubts its instrument deserves.
type Measured struct {
	At         time.Time
	Value      float64
	SD         float64 // of repetition and of the scale's steps
	Bias       float64 // how far the instrument may sit off, one standard deviation
	Unit       string  // as typed, canonical
	Instrument string
	Below      bool // under the kit's limit Value
}

// Doubt is both doubts together.
func (m *Measured) Doubt() float64 { return math.Hypot(m.SD, m.Bias) }

// Measurements are the readings of a tank up to as-of that stand, oldest first.
// It fails when the tank is not declared.
func Measurements(f *book.Facts, tank string, asOf time.Time) (map[units.Quantity][]Measured, error) {
	t, err := tankOf(f, tank)
	if err != nil {
		return nil, err
	}
	s := newSurvey(f, t, newShelf(f), asOf)
	out := make(map[units.Quantity][]Measured, len(s.readings))
	for q, raw := range s.readings {
		kits, of := s.kitsOf(q)
		list := make([]Measured, len(raw))
		for i, r := range raw {
			e := kits[of[i]].errors
			list[i] = Measured{At: r.at, Value: r.value, Unit: r.unit, Instrument: r.name, Below: r.below,
				SD:   math.Sqrt(sq(e.SD) + sq(e.RelSD*r.value) + sq(e.Resolution)/12),
				Bias: math.Hypot(e.BiasSD, e.RelBiasSD*r.value)}
		}
		out[q] = list
	}
	return out, nil
}

// UsualDoubt is one standard deviation of a single reading at a level, by what
// is usual of a method in a keeper's hands ("" where it is not known), in the
// default unit: repetition, steps of the scale and how far it may sit off.
func UsualDoubt(q units.Quantity, method string, at float64) float64 {
	e := methodErrors(q, method)
	return math.Sqrt(sq(e.sd) + sq(e.rel*at) + sq(e.resolution)/12 + sq(e.bias) + sq(e.relBias*at))
}

// BandOf is the band of a tank for a quantity, in the default unit: the
// keeper's, else that of the tank's system.
func BandOf(t *book.TankFacts, q units.Quantity) Band {
	l, fromKeeper := defaultLimits(book.Key(t.Tank.System), q), false
	if b := keeperBand(t, q); b != nil {
		l, fromKeeper = bandLimits(q, b), true
	}
	side := func(v float64) *float64 {
		if math.IsNaN(v) {
			return nil
		}
		return &v
	}
	return Band{Low: side(l.low), Aim: side(l.aim), High: side(l.high), FromKeeper: fromKeeper}
}

// ShownUnit is the unit the keeper uses for a quantity: that of the band, else
// of the newest of the readings.
func ShownUnit(t *book.TankFacts, q units.Quantity, readings []Measured) string {
	if b := keeperBand(t, q); b != nil {
		if u, err := units.ParseUnit(q, b.Unit); err == nil {
			return u
		}
	}
	if n := len(readings); n > 0 {
		return readings[n-1].Unit
	}
	return q.Default()
}
