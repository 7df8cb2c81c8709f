package rounds

import "driftline/units"

// weight is how serious it is for a quantity to be outside on either side,
// 0 to 1. Common practice and judgement, no source: what kills within hours
// first, what slows growth last.
type weight struct{ low, high float64 }

var weights = map[units.Quantity]weight{
	units.TotalAmmonia: {0.1, 1},
	units.Temperature:  {0.8, 1},
	units.Oxygen:       {1, 0.3},
	units.Salinity:     {0.9, 0.8},
	units.Alkalinity:   {0.8, 0.8},
	units.Nitrite:      {0.1, 0.6},
	units.PH:           {0.6, 0.6},
	units.Magnesium:    {0.6, 0.5},
	units.Calcium:      {0.6, 0.5},
	units.Phosphate:    {0.5, 0.4},
	units.Nitrate:      {0.5, 0.4},
	units.Potassium:    {0.3, 0.3},
	units.Redox:        {0.3, 0.4},
	units.Silicate:     {0.1, 0.3},
	units.Iodine:       {0.2, 0.4},
	units.Strontium:    {0.2, 0.3},
	units.Boron:        {0.2, 0.2},
}

func seriousness(quantity, side string) float64 {
	w, ok := weights[units.Quantity(quantity)]
	switch {
	case !ok:
		return 0.3
	case side == "low":
		return w.low
	case side == "high":
		return w.high
	}
	return max(w.low, w.high)
}
