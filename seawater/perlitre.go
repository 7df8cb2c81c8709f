package seawater

// PerLitre turns an amount per kg of seawater into the same per litre, at the
// density of that water (TEOS-10, one atmosphere): mg/kg into mg/L, µmol/kg into
// µmol/L. tempC is that of the water when its volume was measured.
// Amounts of 0 to 1e9; range and error as of Density.
func PerLitre(perKg, sp, tempC float64) (float64, error) {
	rho, err := densityFor(perKg, sp, tempC)
	if err != nil {
		return 0, err
	}
	return perKg * rho / 1000, nil
}

// PerKilogram is the inverse of PerLitre, with the same range and error.
func PerKilogram(perL, sp, tempC float64) (float64, error) {
	rho, err := densityFor(perL, sp, tempC)
	if err != nil {
		return 0, err
	}
	return perL / rho * 1000, nil
}

func densityFor(amount, sp, tempC float64) (float64, error) {
	if err := within("concentration", amount, 0, 1e9, ""); err != nil {
		return 0, err
	}
	return Density(sp, tempC)
}
