package seawater

import (
	"fmt"
	"math"
)

// Density is the density of seawater at one atmosphere in kg/m³, from the Gibbs
// function of the Thermodynamic Equation of Seawater 2010 (IOC, SCOR and IAPSO
// 2010, Manuals and Guides 56, eq. 2.8.1: the inverse of its slope by pressure).
// Absolute Salinity is taken as Reference Salinity, 35.16504/35 g/kg per unit of
// practical salinity (Millero et al. 2008, Deep-Sea Res. I 55:50).
func Density(sp, tempC float64) (float64, error) {
	if err := checkState(sp, tempC); err != nil {
		return 0, err
	}
	return gibbsDensity(sp, tempC), nil
}

// DensityFormula names a formula of density, for a caller that offers the choice.
type DensityFormula int

// The formulas of density.
const (
	DensityExact   DensityFormula = iota // Density, the Gibbs function of TEOS-10
	DensityOfEOS80                       // DensityEOS80
)

// Density is that of seawater in kg/m³ by this formula.
func (d DensityFormula) Density(sp, tempC float64) (float64, error) {
	switch d {
	case DensityExact:
		return Density(sp, tempC)
	case DensityOfEOS80:
		return DensityEOS80(sp, tempC)
	}
	return 0, fmt.Errorf("density formula %d is not known, expected teos10 or eos80", int(d))
}

// gibbsDensity takes practical salinity and °C, ITS-90. With x² = SA/(40 · 35.16504/35)
// as the Gibbs function scales salinity, x² is practical salinity over 40.
func gibbsDensity(sp, tempC float64) float64 {
	x, y := math.Sqrt(sp/40), tempC/40
	volume := polynomial(waterVolume, y) + x*x*(polynomial(saltVolume2, y)+
		x*(polynomial(saltVolume3, y)+x*(polynomial(saltVolume4, y)+x*saltVolume5)))
	return 1e8 / volume
}

// Coefficients g(i, j, 1), by the power j of reduced temperature, of the pressure
// term at one atmosphere, in J/kg per 10⁸ Pa. Pure water: Feistel 2003, Progr.
// Oceanogr. 58:43, the form of IAPWS SR7-09. Salt, by the power i of x: Feistel
// 2008, Deep-Sea Res. I 55:1639, as in IAPWS R13-08, Table 2.
var (
	waterVolume = []float64{
		100015.695367145, -270.983805184062, 1455.0364540468, -672.50778314507,
		397.968445406972, -194.618310617595, 63.5113936641785, -9.63108119393062,
	}
	saltVolume2 = []float64{-3310.49154044839, 729.116529735046, -860.764303783977, 694.244814133268, -297.728741987187}
	saltVolume3 = []float64{199.459603073901, -175.292041186547, 383.058066002476, -460.319931801257, 234.565187611355}
	saltVolume4 = []float64{-54.7919133532887, -22.6683558512829}
)

const saltVolume5 = 36.0284195611086

// polynomial is c[0] + c[1]·y + c[2]·y² + …
func polynomial(c []float64, y float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = sum*y + c[i]
	}
	return sum
}
