package seawater

import "math"

// DensityEOS80 is the density of seawater at one atmosphere in kg/m³, by the
// one-atmosphere equation of state of Millero and Poisson 1981, Deep-Sea Res.
// 28A:625, eqs. 2 to 6, for practical salinity 0 to 42 and -2 to 40 °C;
// ErrExtrapolated beyond. It is off Density by less than 0.006 kg/m³ at 15 to 35
// °C and salinities 28 to 42, and is here for comparison with older work.
func DensityEOS80(sp, tempC float64) (float64, error) {
	rho, beyond, err := ExtrapolateDensityEOS80(sp, tempC)
	if err == nil && beyond {
		return EOS80.strict(rho, sp, tempC)
	}
	return rho, err
}

// ExtrapolateDensityEOS80 is DensityEOS80 continued to a salinity of 60 and 50
// °C; beyond tells that it was.
func ExtrapolateDensityEOS80(sp, tempC float64) (kgPerM3 float64, beyond bool, err error) {
	if err := checkState(sp, tempC); err != nil {
		return 0, false, err
	}
	return eos80(sp, tempC*t68PerT90), !published[EOS80].holds(sp, tempC), nil
}

// eos80 takes t in °C, IPTS-68.
func eos80(sp, t float64) float64 {
	a := 8.24493e-1 + t*(-4.0899e-3+t*(7.6438e-5+t*(-8.2467e-7+t*5.3875e-9)))
	b := -5.72466e-3 + t*(1.0227e-4+t*-1.6546e-6)
	const c = 4.8314e-4
	return pureWater(t) + sp*(a+b*math.Sqrt(sp)+c*sp)
}

// pureWater is the density of air-free water (Standard Mean Ocean Water) at one
// atmosphere in kg/m³: Bigg 1967 as taken up by Millero and Poisson 1981, eq. 6.
func pureWater(t float64) float64 {
	return 999.842594 + t*(6.793952e-2+t*(-9.095290e-3+t*(1.001685e-4+t*(-1.120083e-6+t*6.536332e-9))))
}
