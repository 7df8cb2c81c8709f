package seawater

import (
	"errors"
	"fmt"
)

// ErrExtrapolated is what an error wraps when a value lies outside the range its
// formula was published for, though within what this package can continue it to.
var ErrExtrapolated = errors.New("outside the published range")

// Formula names a formula of this package. The functions of the first three
// refuse what lies outside their published range with ErrExtrapolated; a twin
// whose name begins with Extrapolate computes it and tells. Those of ammonia refuse
// and have no twin. The formulas from CO2Solubility on work inside a Water, whose
// Beyond names them.
type Formula int

// The formulas with a published range of salinity and temperature.
const (
	PSS78                Formula = iota // conductivity and salinity, with Hill et al. 1986 below 2
	EOS80                               // DensityEOS80
	GarciaGordon1992                    // oxygen
	GibbsAtOneAtm                       // Density and specific gravity
	CleggWhitfield1995                  // ammonia
	CO2Solubility                       // CO2 and its pressure
	BoricAcid1990                       // borate, and what alkalinity leaves for carbon
	Bisulfate1990                       // the free pH scale
	FluoridePerezFraga                  // the seawater and NBS pH scales
	FluorideDicksonRiley                // the same
	WaterAndNutrients                   // hydroxide, phosphate and silicate
	CarbonateSolubility                 // saturation of aragonite and calcite
	formulas
)

// span is a range of practical salinity and °C.
type span struct{ lowSP, highSP, lowC, highC float64 }

func (s span) holds(sp, tempC float64) bool {
	return sp >= s.lowSP && sp <= s.highSP && tempC >= s.lowC && tempC <= s.highC
}

// published are the ranges as the papers state them; from memory but for PSS-78
// and EOS-80. PSS-78: UNESCO 1981, Tech. Pap. Mar. Sci. 36, with the extension of
// Hill et al. 1986. EOS-80: Fofonoff and Millard 1983. Gibbs function: IAPWS
// R13-08, at one atmosphere to 120 g/kg and 80 °C, cut here to what this package
// answers. The others stand with their formulas.
var published = [formulas]struct {
	name string
	span
}{
	PSS78:                {"PSS-78", span{0, 42, -2, 35}},
	EOS80:                {"EOS-80", span{0, 42, -2, 40}},
	GarciaGordon1992:     {"Garcia and Gordon 1992", span{0, 42, -2, 40}},
	GibbsAtOneAtm:        {"TEOS-10", span{MinSP, MaxSP, MinTempC, MaxTempC}},
	CleggWhitfield1995:   {"Clegg and Whitfield 1995", span{0, maxAmmoniaSP, MinTempC, maxAmmoniaTempC}},
	CO2Solubility:        {"Weiss 1974", span{0, 40, -1, 40}},
	BoricAcid1990:        {"boric acid of Dickson 1990", span{5, 45, 0, 45}},
	Bisulfate1990:        {"bisulfate of Dickson 1990", span{5, 45, 0, 45}},
	FluoridePerezFraga:   {"Perez and Fraga 1987", span{10, 40, 9, 33}},
	FluorideDicksonRiley: {"Dickson and Riley 1979", span{5, 45, 0, 45}},
	WaterAndNutrients:    {"Millero 1995", span{0, 45, 0, 45}},
	CarbonateSolubility:  {"Mucci 1983", span{5, 44, 5, 40}},
}

// String is what a sentence calls the formula.
func (f Formula) String() string {
	if f < 0 || f >= formulas {
		return fmt.Sprintf("unknown formula %d", int(f))
	}
	return published[f].name
}

// Published is nil where the formula was published for this practical salinity
// and temperature in °C, and otherwise one sentence that wraps ErrExtrapolated.
func (f Formula) Published(sp, tempC float64) error {
	if f < 0 || f >= formulas {
		return fmt.Errorf("formula %d is not known, expected 0 to %d", int(f), int(formulas)-1)
	}
	p := &published[f]
	if p.holds(sp, tempC) {
		return nil
	}
	return fmt.Errorf("%s, %w: practical salinity %g at %g °C, expected %g to %g and %g to %g °C",
		p.name, ErrExtrapolated, sp, tempC, p.lowSP, p.highSP, p.lowC, p.highC)
}

// strict is the value where the formula was published for it, and else the error.
func (f Formula) strict(v, sp, tempC float64) (float64, error) {
	if err := f.Published(sp, tempC); err != nil {
		return 0, err
	}
	return v, nil
}
