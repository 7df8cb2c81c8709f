package seawater

import "math"

// OxygenMolarMass is that of O2 in g/mol, with the standard atomic weight of
// oxygen 15.999 (Prohaska et al. 2022, Pure Appl. Chem. 94:573).
const OxygenMolarMass = 2 * 15.999

// OxygenSolubility is the oxygen seawater holds in balance with moist air at
// one atmosphere, in µmol per kg: Garcia and Gordon 1992, Limnol. Oceanogr.
// 37:1307, eq. 8 with the Benson and Krause coefficients of Table 1.
func OxygenSolubility(sp, tempC float64) (float64, error) {
	if err := checkState(sp, tempC); err != nil {
		return 0, err
	}
	t := tempC * t68PerT90
	ts := math.Log((298.15 - t) / (273.15 + t))
	a := 5.80871 + ts*(3.20291+ts*(4.17887+ts*(5.10006+ts*(-9.86643e-2+ts*3.80369))))
	b := -7.01577e-3 + ts*(-7.70028e-3+ts*(-1.13864e-2+ts*-9.51519e-3))
	return math.Exp(a + sp*(b-2.75915e-7*sp)), nil
}

// OxygenSolubilityMgPerL is the same in mg/L.
func OxygenSolubilityMgPerL(sp, tempC float64) (float64, error) {
	perKg, err := OxygenSolubility(sp, tempC)
	if err != nil {
		return 0, err
	}
	rho, err := Density(sp, tempC)
	if err != nil {
		return 0, err
	}
	return perKg * OxygenMolarMass * rho * 1e-6, nil
}

// OxygenSaturationPercent is measured oxygen in mg/L as a percentage of what the
// water holds in balance with moist air at one atmosphere. At another air
// pressure the percentage is off by about as much as the pressure is.
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
