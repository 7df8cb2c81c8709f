package seawater

import "math"

// Doubts are standard deviations of what a carbonate system is worked out from:
// the two measures in their own units, practical salinity and °C. They are
// taken as independent; those of the constants are not in it.
type Doubts struct {
	A, B      float64
	SP, TempC float64
}

// SolveWithDoubts is Solve with the standard deviation of each result, to first
// order by differences over a hundredth of each doubt (JCGM 100:2008, 5.1).
func (w *Water) SolveWithDoubts(a, b Measure, d Doubts) (value, sd Carbonate, err error) {
	value, err = w.Solve(a, b)
	if err != nil {
		return Carbonate{}, Carbonate{}, err
	}
	var sum [carbonateFields]float64
	for i, s := range [...]float64{d.A, d.B, d.SP, d.TempC} {
		if err := within("standard deviation", s, 0, math.MaxFloat64, ""); err != nil {
			return Carbonate{}, Carbonate{}, err
		}
		if s == 0 {
			continue
		}
		change, err := w.change(value, a, b, i, s/100)
		if err != nil {
			return Carbonate{}, Carbonate{}, err
		}
		for j, v := range change {
			sum[j] += 1e4 * v * v
		}
	}
	for i, p := range sd.fields() {
		*p = math.Sqrt(sum[i])
	}
	return value, sd, nil
}

// change is what a step in input i does to each result: between both sides where
// both can be solved, else from the middle to the one that can.
func (w *Water) change(middle Carbonate, a, b Measure, i int, step float64) ([carbonateFields]float64, error) {
	up, errUp := w.stepped(a, b, i, step)
	down, errDown := w.stepped(a, b, i, -step)
	width := 2.0
	switch {
	case errUp != nil && errDown != nil:
		return [carbonateFields]float64{}, errUp
	case errUp != nil:
		up, width = middle, 1
	case errDown != nil:
		down, width = middle, 1
	}
	var change [carbonateFields]float64
	high, low := up.fields(), down.fields()
	for j := range change {
		change[j] = (*high[j] - *low[j]) / width
	}
	return change, nil
}

func (w *Water) stepped(a, b Measure, i int, step float64) (Carbonate, error) {
	switch i {
	case 0:
		a.Value += step
	case 1:
		b.Value += step
	default:
		sp, tempC := w.sp, w.tempC
		if i == 2 {
			sp += step
		} else {
			tempC += step
		}
		other, err := w.moved(sp, tempC)
		if err != nil {
			return Carbonate{}, err
		}
		return other.Solve(a, b)
	}
	return w.Solve(a, b)
}

const carbonateFields = 20

func (c *Carbonate) fields() [carbonateFields]*float64 {
	return [carbonateFields]*float64{
		&c.TA, &c.DIC, &c.PHTotal, &c.PHSeawater, &c.PHFree, &c.PHNBS, &c.PCO2, &c.FCO2,
		&c.CO2, &c.HCO3, &c.CO3, &c.BOH4, &c.OH, &c.NH3, &c.OmegaAragonite, &c.OmegaCalcite,
		&c.Revelle, &c.TAMeqPerL, &c.TADKH, &c.TAMgPerLCaCO3,
	}
}
