package seawater

import (
	"fmt"
	"math"
)

// Density is the density of seawater at one atmosphere in kg/m³, from the Gibbs
// function of the Thermodynamic Equation of Seawater 2010 (IOC, SCOR and IAPSO
// 2010, Manuals and Guides 56, eq. 2.8.1: the inverse of its slope by pressure).
// Absolute Salinity is taken as Reference Salinity, 35.16504/35 g/kg per unit of
// practical salinity (Millero et al. 2008, Deep-Sea Res. I 55:50), which holds for
// water of the make-up of the sea. For practical salinity 0 to 60 and -2 to 50 °C;
// good to 0.004 kg/m³ in the waters of the ocean (from memory).
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
	x2, y := sp/40, tempC/40
	x, y2 := math.Sqrt(x2), y*y
	// Pairs of powers are summed side by side, which the processor does at once.
	water := v00 + v01*y + y2*(v02+v03*y+y2*(v04+v05*y+y2*(v06+v07*y)))
	salt2 := v20 + v21*y + y2*(v22+v23*y+y2*v24)
	salt3 := v30 + v31*y + y2*(v32+v33*y+y2*v34)
	salt4 := v40 + v41*y
	return 1e8 / (water + x2*(salt2+x*salt3+x2*(salt4+x*v50)))
}

// Coefficients g(i, j, 1), by the power i of x and j of reduced temperature y, of
// the pressure term at one atmosphere, in J/kg per 10⁸ Pa. Pure water, i = 0:
// Feistel 2003, Progr. Oceanogr. 58:43, the form of IAPWS SR7-09. Salt: Feistel
// 2008, Deep-Sea Res. I 55:1639, as in IAPWS R13-08, Table 2.
const (
	v00, v01 = 100015.695367145, -270.983805184062
	v02, v03 = 1455.0364540468, -672.50778314507
	v04, v05 = 397.968445406972, -194.618310617595
	v06, v07 = 63.5113936641785, -9.63108119393062

	v20, v21, v22 = -3310.49154044839, 729.116529735046, -860.764303783977
	v23, v24      = 694.244814133268, -297.728741987187
	v30, v31, v32 = 199.459603073901, -175.292041186547, 383.058066002476
	v33, v34      = -460.319931801257, 234.565187611355
	v40, v41      = -54.7919133532887, -22.6683558512829
	v50           = 36.0284195611086
)
