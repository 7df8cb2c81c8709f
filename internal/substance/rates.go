package substance

import (
	"strings"

	"driftline/internal/book"
	"driftline/units"
)

// Rate is the largest change of a quantity in a day, in its default unit.
type Rate struct {
	Careful, Ceiling float64
	Keeper           bool // set by the keeper, who then has no careful one apart
}

// The largest rises a day. Common practice, no source; those of strontium,
// iodine, boron, nitrate and phosphate are judgement: a tenth or less of the
// band, since nothing of them is ever urgent.
var rises = map[units.Quantity]Rate{
	units.Alkalinity: {Careful: 0.5, Ceiling: 1.0},    // dKH
	units.Calcium:    {Careful: 20, Ceiling: 50},      // mg/L
	units.Magnesium:  {Careful: 50, Ceiling: 100},     // mg/L
	units.Potassium:  {Careful: 10, Ceiling: 20},      // mg/L
	units.Salinity:   {Careful: 0.5, Ceiling: 1.0},    // PSU
	units.Strontium:  {Careful: 0.5, Ceiling: 1},      // mg/L
	units.Iodine:     {Careful: 0.005, Ceiling: 0.01}, // mg/L
	units.Boron:      {Careful: 0.3, Ceiling: 0.6},    // mg/L
	units.Nitrate:    {Careful: 1, Ceiling: 2},        // mg/L NO3
	units.Phosphate:  {Careful: 0.01, Ceiling: 0.03},  // mg/L PO4
}

// MostADay is the largest rise of a quantity in a day: the keeper's preference
// "most a day of magnesium", written "60 mg/L", else the trade's. A preference
// above the trade's ceiling is cut to it: what a keeper sets may only be slower.
func MostADay(f *book.Facts, q units.Quantity) (Rate, bool) {
	r, ok := rises[q]
	if !ok || f == nil {
		return r, ok
	}
	text := strings.TrimSpace(f.Preferences[book.Key("most a day of "+string(q))])
	end := strings.IndexFunc(text, func(r rune) bool { return !strings.ContainsRune("0123456789.", r) })
	if end < 0 {
		end = len(text)
	}
	v, isNumber := book.Number(text[:end]).Float()
	if !isNumber || v <= 0 {
		return r, true
	}
	unit := strings.TrimSpace(text[end:])
	if unit == "" {
		unit = q.Default()
	}
	at, err1 := difference(q, v, unit)
	if err1 != nil || at <= 0 {
		return r, true
	}
	return Rate{Careful: min(at, r.Ceiling), Ceiling: r.Ceiling, Keeper: true}, true
}

// difference turns a difference in a unit into the default unit.
func difference(q units.Quantity, v float64, unit string) (float64, error) {
	u, err := units.ParseUnit(q, unit)
	if err != nil {
		return 0, err
	}
	return units.ConvertSD(q, middle[q], v, u, q.Default())
}

// middle is a usual level, for units that are not proportional.
var middle = map[units.Quantity]float64{units.Salinity: 35}
