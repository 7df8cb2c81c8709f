package standing

import (
	"math"
	"time"

	"driftline/units"
)

// epoch is the origin of the engine's days; any fixed moment would do.
var epoch = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

const dayLong = 24 * time.Hour

func dayOf(t time.Time) float64 {
	return float64(t.Unix()-epoch.Unix())/86400 + float64(t.Nanosecond())/86400e9
}

// addDays moves a time by days, to the second.
func addDays(t time.Time, days float64) time.Time {
	return t.Add(time.Duration(math.Round(days*86400)) * time.Second)
}

// timeOf is the time of a day of the engine, in a zone.
func timeOf(day float64, loc *time.Location) time.Time {
	return addDays(epoch, day).In(loc)
}

func toDefault(q units.Quantity, v float64, unit string) (float64, error) {
	u, err := units.ParseUnit(q, unit)
	if err != nil {
		return 0, err
	}
	return units.Convert(q, v, u, q.Default())
}

// scale turns figures in the default unit into the shown one. Where a unit's
// own scale does not reach (a doubtful quantile below zero), it goes on in a
// straight line from the point it was made at.
type scale struct {
	q      units.Quantity
	unit   string
	same   bool
	factor float64 // not 0: one unit is that many times the other
	at0    float64 // the point, in the default unit
	to0    float64 // the same, shown
	slope  float64
}

// newScale makes a scale that is straightened at a level.
func newScale(q units.Quantity, unit string, at float64) scale {
	s := scale{q: q, unit: unit, same: unit == q.Default(), slope: 1, at0: at, to0: at}
	if s.same {
		return s
	}
	if v, err := units.Convert(q, at, q.Default(), unit); err == nil {
		s.to0 = v
	}
	if d, err := units.ConvertSD(q, at, 1, q.Default(), unit); err == nil && d > 0 {
		s.slope = d
	}
	if math.Abs(s.to0-at*s.slope) < 1e-9*math.Abs(s.to0) {
		s.factor = s.slope
	}
	return s
}

func (s scale) level(v float64) float64 {
	switch {
	case s.same:
		return v
	case s.factor != 0:
		return v * s.factor
	}
	if out, err := units.Convert(s.q, v, s.q.Default(), s.unit); err == nil {
		return out
	}
	return s.to0 + s.slope*(v-s.at0)
}

// change scales a difference, a rate or a standard deviation.
func (s scale) change(v float64) float64 { return v * s.slope }

func (s scale) levelOf(mean, sd float64) Estimate { return Estimate{s.level(mean), s.change(sd)} }
func (s scale) changeOf(mean, sd float64) Estimate {
	return Estimate{s.change(mean), s.change(sd)}
}

func (s scale) limit(v float64) *float64 {
	if math.IsNaN(v) {
		return nil
	}
	out := s.level(v)
	return &out
}

// natural is about what sea water of salinity 35 holds, in default units: where
// a scale is straightened before a level is known. Calcium, magnesium,
// potassium and boron after Millero et al. 2008; the rest common practice.
var natural = map[units.Quantity]float64{
	units.Salinity: 35, units.Temperature: 25.5, units.PH: 8.1, units.Alkalinity: 8, units.Calcium: 420,
	units.Magnesium: 1310, units.Potassium: 408, units.Strontium: 8, units.Boron: 4.6, units.Iodine: 0.06,
	units.Redox: 350, units.Oxygen: 6.5, units.Nitrate: 5, units.Phosphate: 0.06, units.Nitrite: 0.05,
	units.TotalAmmonia: 0.02, units.Silicate: 0.1,
}
