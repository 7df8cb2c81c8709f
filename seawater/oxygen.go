package seawater

import "math"

// OxygenMolarMass is that of O2 in g/mol, with the standard atomic weight of
// oxygen 15.999 (Prohaska et al. 2022, Pure Appl. Chem. 94:573).
const OxygenMolarMass = 2 * 15.999

// OxygenSolubility is the oxygen seawater holds in balance with moist air at
// one atmosphere, in µmol per kg: Garcia and Gordon 1992, Limnol. Oceanogr.
// 37:1307, eq. 8 with the Benson and Krause coefficients of Table 1, for
// practical salinity 0 to 42 and -2 to 40 °C; ErrExtrapolated beyond. Good to 0.3
// % (from memory).
func OxygenSolubility(sp, tempC float64) (float64, error) {
	v, beyond, err := ExtrapolateOxygenSolubility(sp, tempC)
	if err == nil && beyond {
		return GarciaGordon1992.strict(v, sp, tempC)
	}
	return v, err
}

// ExtrapolateOxygenSolubility is OxygenSolubility continued to a salinity of 60
// and 50 °C; beyond tells that it was.
func ExtrapolateOxygenSolubility(sp, tempC float64) (umolPerKg float64, beyond bool, err error) {
	if err := checkState(sp, tempC); err != nil {
		return 0, false, err
	}
	t := tempC * t68PerT90
	ts := math.Log((298.15 - t) / (273.15 + t))
	a := 5.80871 + ts*(3.20291+ts*(4.17887+ts*(5.10006+ts*(-9.86643e-2+ts*3.80369))))
	b := -7.01577e-3 + ts*(-7.70028e-3+ts*(-1.13864e-2+ts*-9.51519e-3))
	v := math.Exp(a + sp*(b-2.75915e-7*sp))
	return v, !published[GarciaGordon1992].holds(sp, tempC), nil
}

// OxygenSolubilityMgPerL is OxygenSolubility in mg/L at the density of the water,
// with the same range.
func OxygenSolubilityMgPerL(sp, tempC float64) (float64, error) {
	perKg, err := OxygenSolubility(sp, tempC)
	if err != nil {
		return 0, err
	}
	return oxygenMgPerL(perKg, sp, tempC), nil
}

func oxygenMgPerL(umolPerKg, sp, tempC float64) float64 {
	return umolPerKg * OxygenMolarMass * gibbsDensity(sp, tempC) * 1e-6
}

// OxygenSolubilityAt is OxygenSolubilityMgPerL under air of a pressure of 0.5 to
// 1.1 atm (1 atm is 1013.25 hPa), moist as over this water: Benson and Krause
// 1984, Limnol. Oceanogr. 29:620, for pressure (the equation from memory, with
// its θ in °C); the vapour by Weiss and Price 1980, Mar. Chem. 8:347, eq. 10.
func OxygenSolubilityAt(sp, tempC, airAtm float64) (float64, error) {
	if err := within("pressure of the air", airAtm, 0.5, 1.1, " atm"); err != nil {
		return 0, err
	}
	standard, err := OxygenSolubilityMgPerL(sp, tempC)
	if err != nil {
		return 0, err
	}
	vapour := stateOf(sp, tempC).vapourAtm()
	theta := 9.75e-4 + tempC*(-1.426e-5+tempC*6.436e-8)
	share := (1 - vapour/airAtm) * (1 - theta*airAtm) / ((1 - vapour) * (1 - theta))
	return standard * airAtm * share, nil
}

// OxygenSaturationPercent is measured oxygen (0 to 100 mg/L) as a percentage of
// what the water holds in balance with moist air at one atmosphere, with the range
// of OxygenSolubility. At another pressure of the air the percentage is off by
// about as much as the pressure is: divide by OxygenSolubilityAt instead.
func OxygenSaturationPercent(mgPerL, sp, tempC float64) (float64, error) {
	if err := within("oxygen", mgPerL, 0, 100, " mg/L"); err != nil {
		return 0, err
	}
	full, err := OxygenSolubilityMgPerL(sp, tempC)
	if err != nil {
		return 0, err
	}
	return 100 * mgPerL / full, nil
}
