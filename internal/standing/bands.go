package standing

import (
	"math"

	"driftline/internal/book"
	"driftline/units"
)

// The default bands below are the trade's common practice, without a source:
// what keepers of such a tank usually aim for. They stand only until the
// keeper declares a band. Fish only and quarantine are wider by the same kind
// of practice. The unit is the quantity's default.

type bandRow struct{ low, aim, high float64 }

var none = math.NaN()

// everySystem holds bands that do not depend on the kind of tank.
var everySystem = map[units.Quantity]bandRow{
	units.Potassium:    {380, 400, 420},
	units.Strontium:    {7, 8, 10},
	units.TotalAmmonia: {none, 0, 0.05},
	units.Nitrite:      {none, 0, 0.1},
	units.Silicate:     {none, 0.1, 0.5},
	units.Iodine:       {0.04, 0.06, 0.08},
	units.Boron:        {4, 4.6, 6},
	units.Redox:        {250, 350, 450},
	units.Oxygen:       {5.5, 6.5, none},
}

var bySystem = map[string]map[units.Quantity]bandRow{
	"soft coral": {
		units.Salinity: {33.5, 35, 36}, units.Temperature: {24, 25.5, 27}, units.PH: {7.8, 8.1, 8.4},
		units.Alkalinity: {7, 8.5, 10}, units.Calcium: {380, 415, 450}, units.Magnesium: {1250, 1320, 1420},
		units.Nitrate: {2, 8, 20}, units.Phosphate: {0.03, 0.08, 0.15},
	},
	"mixed": {
		units.Salinity: {34, 35, 36}, units.Temperature: {24.5, 25.5, 26.5}, units.PH: {7.9, 8.15, 8.4},
		units.Alkalinity: {7.5, 8.3, 9}, units.Calcium: {400, 425, 450}, units.Magnesium: {1250, 1320, 1400},
		units.Nitrate: {2, 5, 10}, units.Phosphate: {0.03, 0.06, 0.10},
	},
	"large-polyp stony": {
		units.Salinity: {34, 35, 36}, units.Temperature: {24.5, 25.3, 26.5}, units.PH: {7.9, 8.15, 8.4},
		units.Alkalinity: {7.5, 8.5, 9.5}, units.Calcium: {400, 425, 450}, units.Magnesium: {1250, 1320, 1400},
		units.Nitrate: {3, 7, 15}, units.Phosphate: {0.03, 0.07, 0.12},
	},
	"small-polyp stony": {
		units.Salinity: {34.5, 35, 35.5}, units.Temperature: {25, 25.8, 26.5}, units.PH: {8.0, 8.2, 8.4},
		units.Alkalinity: {7, 8, 9}, units.Calcium: {410, 430, 450}, units.Magnesium: {1280, 1340, 1400},
		units.Nitrate: {1, 3, 8}, units.Phosphate: {0.02, 0.04, 0.08},
	},
	"fish only": {
		units.Salinity: {31, 34, 36}, units.Temperature: {24, 25.5, 27}, units.PH: {7.8, 8.1, 8.4},
		units.Alkalinity: {7, 8.5, 11}, units.Calcium: {350, 410, 480}, units.Magnesium: {1150, 1300, 1450},
		units.Nitrate: {none, 15, 40}, units.Phosphate: {none, 0.1, 0.5},
	},
	"quarantine": {
		units.Salinity: {30, 34, 36}, units.Temperature: {24, 25.5, 27}, units.PH: {7.8, 8.1, 8.4},
		units.Alkalinity: {6.5, 8, 11}, units.Calcium: {350, 410, 480}, units.Magnesium: {1150, 1300, 1450},
		units.Nitrate: {none, 10, 50}, units.Phosphate: {none, 0.1, 0.5},
	},
}

// limits is a band in the default unit; NaN for a side that does not apply.
type limits struct{ low, aim, high float64 }

// defaultLimits is the band of a tank whose keeper has not said; a kind of
// tank it does not know counts as mixed.
func defaultLimits(system string, q units.Quantity) limits {
	rows, ok := bySystem[book.Key(system)]
	if !ok {
		rows = bySystem["mixed"]
	}
	if r, ok := rows[q]; ok {
		return limits(r)
	}
	if r, ok := everySystem[q]; ok {
		return limits(r)
	}
	return limits{none, none, none}
}

// keeperBand is the band the keeper declared last for the quantity, or nil.
func keeperBand(t *book.TankFacts, q units.Quantity) *book.Band {
	for i := len(t.Bands) - 1; i >= 0; i-- {
		b := t.Bands[i].Body
		if b == nil {
			continue
		}
		if got, err := units.ParseQuantity(b.Quantity); err == nil && got == q {
			return b
		}
	}
	return nil
}

// bandLimits turns a declared band into the default unit. A limit that cannot
// be read does not apply.
func bandLimits(q units.Quantity, b *book.Band) limits {
	read := func(n book.Number) float64 {
		v, ok := n.Float()
		if !ok {
			return none
		}
		v, err := toDefault(q, v, b.Unit)
		if err != nil {
			return none
		}
		return v
	}
	return limits{read(b.Low), read(b.Aim), read(b.High)}
}

// width is the distance between the limits; for a band with one limit, twice
// the distance from aim to limit, else a third of the limit. Infinite when
// nothing is known.
func (l limits) width() float64 {
	switch lo, hi := !math.IsNaN(l.low), !math.IsNaN(l.high); {
	case lo && hi:
		return l.high - l.low
	case lo:
		return oneSided(l.low, l.aim)
	case hi:
		return oneSided(l.high, l.aim)
	}
	return math.Inf(1)
}

func oneSided(limit, aim float64) float64 {
	if d := 2 * math.Abs(limit-aim); d > 0 { // false for a missing aim
		return d
	}
	return math.Abs(limit) / 3
}

func (l limits) any() bool { return !math.IsNaN(l.low) || !math.IsNaN(l.high) }
