package seawater

import (
	"fmt"
	"math"
)

// CarbonSet names a published pair of K1 and K2.
type CarbonSet int

// The sets of K1 and K2, with the salinity and temperature each was published for.
const (
	// Lueker2000 is Lueker, Dickson and Keeling 2000, Mar. Chem. 70:105, total
	// scale, practical salinity 19 to 43 and 2 to 35 °C.
	Lueker2000 CarbonSet = iota
	// Waters2014 is Waters, Millero and Woosley 2014, Mar. Chem. 165:66 (correcting
	// Waters and Millero 2013), seawater scale, practical salinity 1 to 50 and 0 to 50 °C.
	Waters2014
	// Millero2010 is Millero 2010, Mar. Freshw. Res. 61:139, Tables 2 and 3,
	// seawater scale, practical salinity 1 to 50 and 0 to 50 °C.
	Millero2010
)

// carbonFit is one set: pK = a + b/T + c·ln T, each linear in √S, S and S².
type carbonFit struct {
	name string
	span
	onSeawater       bool
	fresh1, fresh2   [3]float64
	saltA1, saltA2   [3]float64
	saltB1, saltB2   [2]float64
	saltLog1, saltL2 float64
}

var carbonFits = [...]carbonFit{
	Lueker2000: {
		name: "Lueker 2000", span: span{19, 43, 2, 35},
		fresh1: [3]float64{-61.2172, 3633.86, 9.67770}, saltA1: [3]float64{0, -0.011555, 0.0001152},
		fresh2: [3]float64{25.9290, 471.78, -3.16967}, saltA2: [3]float64{0, -0.01781, 0.0001122},
	},
	Waters2014: {
		name: "Waters 2014", span: span{1, 50, 0, 50}, onSeawater: true,
		fresh1: freshK1, saltA1: [3]float64{13.409160, 0.031646, -5.1895e-5},
		saltB1: [2]float64{-531.3642, -5.713}, saltLog1: -2.0669166,
		fresh2: freshK2, saltA2: [3]float64{21.225890, 0.12450870, -3.7243e-4},
		saltB2: [2]float64{-779.3444, -19.91739}, saltL2: -3.3534679,
	},
	Millero2010: {
		name: "Millero 2010", span: span{1, 50, 0, 50}, onSeawater: true,
		fresh1: freshK1, saltA1: [3]float64{13.4038, 0.03206, -5.242e-5},
		saltB1: [2]float64{-530.659, -5.8210}, saltLog1: -2.0664,
		fresh2: freshK2, saltA2: [3]float64{21.3728, 0.1218, -3.688e-4},
		saltB2: [2]float64{-788.289, -19.189}, saltL2: -3.374,
	},
}

// The fresh water ends of Millero's fits, which are those of Harned and others.
var (
	freshK1 = [3]float64{-126.34048, 6320.813, 19.568224}
	freshK2 = [3]float64{-90.18333, 5143.692, 14.613358}
)

// Source is the author and year of the set, for a sentence.
func (c CarbonSet) Source() string {
	if !c.known() {
		return c.String()
	}
	return carbonFits[c].name
}

// Published gives the practical salinities and temperatures in °C the set was
// published for.
func (c CarbonSet) Published() (lowSP, highSP, lowC, highC float64, err error) {
	if !c.known() {
		return 0, 0, 0, 0, fmt.Errorf("%s", c)
	}
	f := &carbonFits[c]
	return f.lowSP, f.highSP, f.lowC, f.highC, nil
}

// check reports a water outside what the set was published for.
func (c CarbonSet) check(sp, tempC float64) error {
	if !c.known() {
		return fmt.Errorf("set of carbonic constants %d is not known, expected 0 to %d", int(c), len(carbonFits)-1)
	}
	f := &carbonFits[c]
	if !f.holds(sp, tempC) {
		return fmt.Errorf("%s, %w: practical salinity %g at %g °C, expected %g to %g and %g to %g °C",
			f.name, ErrExtrapolated, sp, tempC, f.lowSP, f.highSP, f.lowC, f.highC)
	}
	return nil
}

// lnK are the logarithms of K1 and K2 on the scale of the set.
func (f *carbonFit) lnK(x state) (ln1, ln2 float64) {
	pk := func(fresh, a [3]float64, b [2]float64, log float64) float64 {
		return fresh[0] + fresh[1]/x.k + fresh[2]*x.lnK +
			a[0]*x.rootS + a[1]*x.s + a[2]*x.s*x.s + (b[0]*x.rootS+b[1]*x.s)/x.k + log*x.rootS*x.lnK
	}
	return -math.Ln10 * pk(f.fresh1, f.saltA1, f.saltB1, f.saltLog1),
		-math.Ln10 * pk(f.fresh2, f.saltA2, f.saltB2, f.saltL2)
}

func (c CarbonSet) known() bool { return c >= 0 && int(c) < len(carbonFits) }
