package seawater

import (
	"fmt"
	"math"
)

// otherAlkalinity is alkalinity without carbon in mol per kg at hydrogen h on
// the total scale, and its slope by ln h, which is never above zero. Dickson
// 1981, Deep-Sea Res. 28A:609, eq. 7, with ammonia and without sulfide.
func (w *Water) otherAlkalinity(h float64) (alk, slope float64) {
	c := &w.c
	free := h / w.freeRatio
	water := c.KW / h
	alk, slope = water-free, -water-free
	for _, acid := range [...]struct{ total, k, offset float64 }{
		{c.Boron, c.KB, 0}, {c.Sulfate, w.ksTotal, 1}, {c.Fluoride, c.KF, 1},
	} {
		base := acid.k / (acid.k + h)
		alk += acid.total * (base - acid.offset)
		slope -= acid.total * base * (1 - base)
	}
	if c.Phosphate+c.Silicate+c.Ammonia > 0 {
		a, s := w.nutrientAlkalinity(h)
		alk, slope = alk+a, slope+s
	}
	return alk, slope
}

// nutrientAlkalinity is the share of phosphate, silicate and ammonia.
func (w *Water) nutrientAlkalinity(h float64) (alk, slope float64) {
	c := &w.c
	si, n := c.KSi/(c.KSi+h), c.KNH4/(c.KNH4+h)
	alk = c.Silicate*si + c.Ammonia*n
	slope = -c.Silicate*si*(1-si) - c.Ammonia*n*(1-n)
	// Phosphoric acid in terms relative to H2PO4, whose charge is the zero level.
	acid, two, three := h/c.KP1, c.KP2/h, c.KP2/h*c.KP3/h
	sum := acid + 1 + two + three
	mean := (two + 2*three - acid) / sum
	square := (two + 4*three + acid) / sum
	return alk + c.Phosphate*mean, slope - c.Phosphate*(square-mean*mean)
}

// carbonShare is the alkalinity of carbon per mol of DIC and its slope by ln h.
func (w *Water) carbonShare(h float64) (share, slope float64) {
	one := w.c.K1 / h
	two := one * w.c.K2 / h
	sum := 1 + one + two
	share = (one + 2*two) / sum
	return share, share*share - (one+4*two)/sum
}

// carbonKnown says what fixes carbon while alkalinity is solved.
type carbonKnown int

const (
	carbonFromDIC carbonKnown = iota
	carbonFromCO2
)

// excess is alkalinity at hydrogen h over what it should be, and its slope by ln h.
func (w *Water) excess(known carbonKnown, carbon, ta, h float64) (f, slope float64) {
	f, slope = w.otherAlkalinity(h)
	if known == carbonFromDIC {
		share, shareSlope := w.carbonShare(h)
		return f + carbon*share - ta, slope + carbon*shareSlope
	}
	hco3 := carbon * w.c.K1 / h
	co3 := hco3 * w.c.K2 / h
	return f + hco3 + 2*co3 - ta, slope - hco3 - 4*co3
}

// solve finds the hydrogen at which alkalinity is ta. Alkalinity falls steadily
// with hydrogen, so there is one root at most; it is kept between two bounds
// while Newton's steps in ln h approach it, as in Munhoven 2013, Geosci. Model
// Dev. 6:1367, and halved where a step leaves them.
func (w *Water) solve(known carbonKnown, carbon, ta float64) (float64, error) {
	low, high := -maxPH*math.Ln10, -minPH*math.Ln10
	x := w.guess(known, carbon, ta)
	for range 200 {
		h := math.Exp(x)
		f, slope := w.excess(known, carbon, ta, h)
		if f > 0 {
			low = x
		} else {
			high = x
		}
		step := -f / slope
		next := x + step
		if math.Abs(step) < 1e-5 && next >= low && next <= high {
			return math.Exp(next), nil // the error left is about the square of the step
		}
		if !(next > low && next < high) || math.Abs(step) > 3 {
			next = low + (high-low)/2
		}
		if high-low < 1e-13 {
			break
		}
		x = next
	}
	return w.edge(x, ta)
}

// edge tells a root pinched between the bounds from one that lies beyond them.
func (w *Water) edge(x, ta float64) (float64, error) {
	if x > -maxPH*math.Ln10+1e-9 && x < -minPH*math.Ln10-1e-9 {
		return math.Exp(x), nil
	}
	return 0, fmt.Errorf("no pH between %g and %g gives the alkalinity %.6g µmol/kg", minPH, maxPH, ta*1e6)
}

// guess is ln h from carbon alone, kept to where seawater usually is.
func (w *Water) guess(known carbonKnown, carbon, ta float64) float64 {
	h := hydrogen(8)
	k1, k2 := w.c.K1, w.c.K2
	ca := math.Max(ta-w.c.Boron*0.25, ta*0.5)
	switch {
	case known == carbonFromCO2 && ca > 0 && carbon > 0:
		// ca·h² = co2·(K1·h + 2·K1·K2)
		b := carbon * k1
		h = (b + math.Sqrt(b*b+8*ca*b*k2)) / (2 * ca)
	case known == carbonFromDIC && ca > 0 && ca < 2*carbon:
		// ca·(h² + K1·h + K1·K2) = dic·(K1·h + 2·K1·K2)
		b := (ca - carbon) * k1
		h = (-b + math.Sqrt(b*b-4*ca*k1*k2*(ca-2*carbon))) / (2 * ca)
	}
	return math.Log(math.Min(math.Max(h, 1e-11), 1e-3))
}

// fugacityFactor is the fugacity of CO2 over its partial pressure at one
// atmosphere, for a share x of the gas.
func (w *Water) fugacityFactor(x float64) float64 {
	return math.Exp(w.c.FugacityShift + w.c.FugacityMix*(1-x)*(1-x))
}

// co2 is dissolved CO2 in mol per kg at a partial pressure in µatm.
func (w *Water) co2(uatm float64) float64 {
	x := uatm * 1e-6
	return w.c.K0 * x * w.fugacityFactor(x)
}

// pressureAtm is the partial pressure at a fugacity in atm; two rounds leave less than 1e-9.
func (w *Water) pressureAtm(fugacity float64) float64 {
	x := math.Min(fugacity, 1)
	x = math.Min(fugacity/w.fugacityFactor(x), 1)
	return fugacity / w.fugacityFactor(x)
}

// AirPCO2 is the pressure of CO2 in µatm over this water, in air with so many
// ppm of CO2 (0 to 1e6) when dry, saturated with moisture at one atmosphere: Weiss
// and Price 1980, Mar. Chem. 8:347, eq. 10 for the vapour.
func (w *Water) AirPCO2(dryPPM float64) (float64, error) {
	if err := within("carbon dioxide of the air", dryPPM, 0, 1e6, " ppm"); err != nil {
		return 0, err
	}
	return dryPPM * (1 - w.vapourAtm), nil
}

// InAir is the water with alkalinity ta, in µmol/kg, once it has come to rest
// with air of so many ppm of CO2 (dry): what airing the room or the water leads to.
func (w *Water) InAir(ta, dryPPM float64) (Carbonate, error) {
	p, err := w.AirPCO2(dryPPM)
	if err != nil {
		return Carbonate{}, err
	}
	return w.Solve(TA(ta), PCO2(p))
}

// AtTemperature is the same water, alkalinity and carbon at another temperature
// in °C, no gas leaving or entering, with the range of NewWater.
func (w *Water) AtTemperature(sample Carbonate, tempC float64) (Carbonate, error) {
	other, err := w.moved(w.sp, tempC)
	if err != nil {
		return Carbonate{}, err
	}
	return other.Solve(TA(sample.TA), DIC(sample.DIC))
}

// moved is a water of the same basis and content at another salinity and temperature.
func (w *Water) moved(sp, tempC float64) (Water, error) {
	other, err := NewWater(sp, tempC, w.basis)
	if err != nil {
		return Water{}, err
	}
	return other.With(w.content)
}
