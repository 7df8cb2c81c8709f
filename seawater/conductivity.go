package seawater

import "math"

// C3515 is the conductivity of seawater of practical salinity 35 at 15 °C
// (IPTS-68) and one atmosphere, in mS/cm: Culkin and Smith 1980, IEEE J.
// Oceanic Eng. 5:22.
const C3515 = 42.9140

// SalinityFromConductivity gives practical salinity (0 to 42) from conductivity
// in mS/cm at -2 to 35 °C and 0 to 10000 dbar; ErrExtrapolated beyond. The scale
// defines salinity; between 2 and 42 its fit is good to 0.0015 (UNESCO 1981, from memory).
//
// Practical Salinity Scale 1978, UNESCO 1981; algorithm of Fofonoff and Millard
// 1983, Unesco Tech. Pap. Mar. Sci. 44, eqs. 1 to 4. Below 2 the extension of
// Hill, Dauphinee and Woods 1986, IEEE J. Oceanic Eng. 11:109, scaled so that
// the two meet at 2.
func SalinityFromConductivity(mSPerCm, tempC, dBar float64) (float64, error) {
	sp, beyond, err := ExtrapolateSalinity(mSPerCm, tempC, dBar)
	if err == nil && beyond {
		return PSS78.strict(sp, sp, tempC)
	}
	return sp, err
}

// ExtrapolateSalinity is SalinityFromConductivity with the scale continued to a
// salinity of 60 and 50 °C, for which nobody vouches; beyond tells that it was.
func ExtrapolateSalinity(mSPerCm, tempC, dBar float64) (sp float64, beyond bool, err error) {
	if err := checkProbe(tempC, dBar); err != nil {
		return 0, false, err
	}
	if err := within("conductivity", mSPerCm, 0, 200, " mS/cm"); err != nil {
		return 0, false, err
	}
	sp = salinity(mSPerCm, tempC*t68PerT90, dBar)
	if err := within("practical salinity", sp, MinSP, MaxSP+1e-9, ""); err != nil {
		return 0, false, err
	}
	sp = endKept(sp, MaxSP)
	sp = endKept(sp, published[PSS78].highSP)
	return sp, !published[PSS78].holds(sp, tempC), nil
}

// endKept takes a value a hair above the end of a range for the end, so that it
// survives a round trip.
func endKept(v, end float64) float64 {
	if v > end && v < end+1e-9 {
		return end
	}
	return v
}

// ConductivityFromSalinity gives conductivity in mS/cm at a practical salinity of
// 0 to 42, -2 to 35 °C and 0 to 10000 dbar; ErrExtrapolated beyond. It is the
// inverse of SalinityFromConductivity, found by bracketing.
func ConductivityFromSalinity(sp, tempC, dBar float64) (float64, error) {
	c, beyond, err := ExtrapolateConductivity(sp, tempC, dBar)
	if err == nil && beyond {
		return PSS78.strict(c, sp, tempC)
	}
	return c, err
}

// ExtrapolateConductivity is ConductivityFromSalinity with the scale continued to
// a salinity of 60 and 50 °C; beyond tells that it was.
func ExtrapolateConductivity(sp, tempC, dBar float64) (mSPerCm float64, beyond bool, err error) {
	if err := checkState(sp, tempC); err != nil {
		return 0, false, err
	}
	if err := checkProbe(tempC, dBar); err != nil {
		return 0, false, err
	}
	t := tempC * t68PerT90
	mSPerCm = root(func(c float64) float64 { return salinity(c, t, dBar) - sp }, 0, 200)
	return mSPerCm, !published[PSS78].holds(sp, tempC), nil
}

func checkProbe(tempC, dBar float64) error {
	if err := within("temperature", tempC, MinTempC, MaxTempC, " °C"); err != nil {
		return err
	}
	return within("pressure", dBar, 0, MaxPressure, " dbar")
}

// salinity is the whole scale for a conductivity in mS/cm and t in °C, IPTS-68.
func salinity(mSPerCm, t, dBar float64) float64 {
	rt := ratioAtSurface(mSPerCm/C3515, t, dBar)
	sp := pss78(rt, t)
	if sp >= 2 {
		return sp
	}
	atTwo := root(func(x float64) float64 { return pss78(x, t) - 2 }, 0, 1)
	return max(0, hill86(rt, t)*2/hill86(atTwo, t))
}

// ratioAtSurface frees the conductivity ratio of pressure and of the
// temperature dependence of the reference water: Rt of Fofonoff and Millard
// 1983, eqs. 3 and 4.
func ratioAtSurface(r, t, dBar float64) float64 {
	rt35 := 0.6766097 + t*(2.00564e-2+t*(1.104259e-4+t*(-6.9698e-7+t*1.0031e-9)))
	rp := 1 + dBar*(2.070e-5+dBar*(-6.370e-10+dBar*3.989e-15))/
		(1+t*(3.426e-2+t*4.464e-4)+(4.215e-1-3.107e-3*t)*r)
	return r / (rt35 * rp)
}

// pss78 is Fofonoff and Millard 1983, eqs. 1 and 2.
func pss78(rt, t float64) float64 {
	x := math.Sqrt(max(rt, 0))
	sum := 0.0080 + x*(-0.1692+x*(25.3851+x*(14.0941+x*(-7.0261+x*2.7081))))
	warm := 0.0005 + x*(-0.0056+x*(-0.0066+x*(-0.0375+x*(0.0636+x*-0.0144))))
	return sum + warmth(t)*warm
}

// hill86 is Hill, Dauphinee and Woods 1986, eq. 3: PSS-78 less what it is off at the fresh end.
func hill86(rt, t float64) float64 {
	rt = max(rt, 0)
	x, y := 400*rt, 100*rt
	root := math.Sqrt(y)
	return pss78(rt, t) - 0.0080/(1+x*(1.5+x)) - 0.0005*warmth(t)/(1+root*(1+root*(1+root)))
}

func warmth(t float64) float64 { return (t - 15) / (1 + 0.0162*(t-15)) }

// SalinityFromConductivityRatio is SalinityFromConductivity from the conductivity
// over that of seawater of 35 at 15 °C (IPTS-68) and one atmosphere, C3515.
func SalinityFromConductivityRatio(ratio, tempC, dBar float64) (float64, error) {
	if err := within("conductivity ratio", ratio, 0, 200/C3515, ""); err != nil {
		return 0, err
	}
	return SalinityFromConductivity(ratio*C3515, tempC, dBar)
}

// ConductivityRatioFromSalinity is the inverse of SalinityFromConductivityRatio,
// with the range of ConductivityFromSalinity.
func ConductivityRatioFromSalinity(sp, tempC, dBar float64) (float64, error) {
	c, err := ConductivityFromSalinity(sp, tempC, dBar)
	return c / C3515, err
}
