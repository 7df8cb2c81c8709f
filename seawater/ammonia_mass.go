package seawater

import "fmt"

// AmmoniaAs says what a mass of ammonia is counted as.
type AmmoniaAs int

// What total or un-ionised ammonia may be given as, by molar mass: nitrogen
// 14.007, NH3 17.031 and NH4 18.039 g/mol (Prohaska et al. 2022, Pure Appl. Chem.
// 94:573).
const (
	AsNitrogen AmmoniaAs = iota
	AsNH3
	AsNH4
)

var ammoniaMass = [...]float64{AsNitrogen: massN, AsNH3: massN + 3*massH, AsNH4: massN + 4*massH}

const massN = 14.007 // g/mol

// MassOfAmmonia turns mg/L of ammonia counted as one thing into mg/L counted as
// another: 1 mg/L as NH3 is 0.822 mg/L as nitrogen. Exact but for the weights.
func MassOfAmmonia(mgPerL float64, from, to AmmoniaAs) (float64, error) {
	if err := within("ammonia", mgPerL, 0, 1e6, " mg/L"); err != nil {
		return 0, err
	}
	a, err := from.gramsPerMol()
	if err != nil {
		return 0, err
	}
	b, err := to.gramsPerMol()
	if err != nil {
		return 0, err
	}
	return mgPerL / a * b, nil
}

func (a AmmoniaAs) gramsPerMol() (float64, error) {
	if a < 0 || int(a) >= len(ammoniaMass) {
		return 0, fmt.Errorf("form of ammonia %d is not known, expected nitrogen, NH3 or NH4", int(a))
	}
	return ammoniaMass[a], nil
}

// AmmoniaFraction is the share, 0 to 1, of total ammonia in this water that is
// un-ionised NH3 at a pH on any scale, by the total-scale constant of Clegg and
// Whitfield 1995 and ConvertPH. Practical salinity 0 to 40, -2 to 40 °C;
// ErrExtrapolated beyond. They claim 5 %; a pH off by 0.05 adds 12 %.
func (w *Water) AmmoniaFraction(pH float64, scale PHScale) (float64, error) {
	total, err := w.ConvertPH(pH, scale, TotalScale)
	if err != nil {
		return 0, err
	}
	return AmmoniaFractionTotal(w.sp, w.tempC, min(max(total, minPH), maxPH))
}

// UnionisedAmmonia is the un-ionised part, in mg/L, of total ammonia in mg/L, each
// counted as told, at a pH on any scale. Kits print mg/L as NH3, NH4 or nitrogen
// and all mean the total; what harms animals is the un-ionised part, usually
// given as NH3 or as nitrogen. Range and error are those of AmmoniaFraction.
func (w *Water) UnionisedAmmonia(totalMgPerL float64, as AmmoniaAs, pH float64, scale PHScale, in AmmoniaAs) (float64, error) {
	total, err := MassOfAmmonia(totalMgPerL, as, in)
	if err != nil {
		return 0, err
	}
	share, err := w.AmmoniaFraction(pH, scale)
	return share * total, err
}

// AmmoniaFromMgPerL is total ammonia in µmol per kg, as Content takes it, from
// mg/L counted as told, at the density of this water.
func (w *Water) AmmoniaFromMgPerL(mgPerL float64, as AmmoniaAs) (float64, error) {
	n, err := MassOfAmmonia(mgPerL, as, AsNitrogen)
	return n / massN * 1000 / w.kgPerL, err
}
