package seawater

import (
	"fmt"
	"math"
)

// Carbonate is the carbonate system of one sample at one atmosphere:
// concentrations in µmol per kg of seawater, pressures in µatm, alkalinity also
// per litre at the sample's temperature. FCO2 is fugacity (Weiss 1974); the omegas
// are calcium times carbonate over the solubility of Mucci 1983, 1 at saturation.
type Carbonate struct {
	TA, DIC                            float64 // µmol/kg
	PHTotal, PHSeawater, PHFree, PHNBS float64
	PCO2, FCO2                         float64 // µatm
	CO2, HCO3, CO3, BOH4, OH, NH3      float64 // µmol/kg
	OmegaAragonite, OmegaCalcite       float64
	Revelle                            float64 // relative change of pCO2 over that of DIC at constant TA
	TAMeqPerL, TADKH, TAMgPerLCaCO3    float64 // meq/L, German degrees, mg/L of CaCO3
}

// What the solver answers for.
const (
	minPH   = 0.0
	maxPH   = 14.0
	maxTA   = 1e5  // µmol/kg
	minTA   = -1e5 // µmol/kg
	maxDIC  = 1e5  // µmol/kg
	maxPCO2 = 1e6  // µatm, one atmosphere
)

// German degrees (10 mg/L of CaO, of molar mass 56.077 g/mol) and mg/L of CaCO3
// (100.086 g/mol) in one meq/L; weights of Prohaska et al. 2022, Pure Appl. Chem. 94:573.
const (
	dkhPerMeq   = 56.077 / 20
	caco3PerMeq = 100.086 / 2
)

// Known names one of the four measures a carbonate system is worked out from.
type Known int

// The four measures.
const (
	KnownTA   Known = iota // total alkalinity, µmol/kg
	KnownDIC               // dissolved inorganic carbon, µmol/kg
	KnownPH                // pH on the total scale
	KnownPCO2              // partial pressure of CO2, µatm
)

// Measure is one of the four with its value.
type Measure struct {
	What  Known
	Value float64
}

// TA is total alkalinity in µmol/kg.
func TA(umolPerKg float64) Measure { return Measure{KnownTA, umolPerKg} }

// DIC is dissolved inorganic carbon in µmol/kg.
func DIC(umolPerKg float64) Measure { return Measure{KnownDIC, umolPerKg} }

// PH is pH on the total scale; ConvertPH leads there from the others.
func PH(total float64) Measure { return Measure{KnownPH, total} }

// PCO2 is the partial pressure of CO2 in µatm.
func PCO2(uatm float64) Measure { return Measure{KnownPCO2, uatm} }

func (m Measure) check() error {
	switch m.What {
	case KnownTA:
		return within("alkalinity", m.Value, minTA, maxTA, " µmol/kg")
	case KnownDIC:
		return within("dissolved inorganic carbon", m.Value, 0, maxDIC, " µmol/kg")
	case KnownPH:
		return within("pH", m.Value, minPH, maxPH, "")
	case KnownPCO2:
		return within("pressure of CO2", m.Value, 0, maxPCO2, " µatm")
	}
	return fmt.Errorf("measure %d is not known, expected alkalinity, dissolved carbon, pH or pressure of CO2", int(m.What))
}

// Solve works out the carbonate system from any two of the four measures, in any
// order: TA -1e5 to 1e5 and DIC 0 to 1e5 µmol/kg, pH 0 to 14 on the total scale,
// pCO2 0 to 1e6 µatm. Alkalinity is as Dickson 1981 defines it, Deep-Sea Res.
// 28A:609, with phosphate, silicate and ammonia, without sulfide. What no water can
// have (a pH its alkalinity cannot reach, say) is an error. The arithmetic is good
// to 1e-7; the constants leave about 0.0075 in pK1 and 0.015 in pK2 (Orr et al. 2018,
// Mar. Chem. 207:84, Table 1).
func (w *Water) Solve(a, b Measure) (Carbonate, error) {
	if err := a.check(); err != nil {
		return Carbonate{}, err
	}
	if err := b.check(); err != nil {
		return Carbonate{}, err
	}
	if a.What > b.What {
		a, b = b, a
	}
	h, dic, err := w.pair(a, b)
	if err != nil {
		return Carbonate{}, err
	}
	return w.speciate(h, dic)
}

// pair finds hydrogen on the total scale and DIC, in mol per kg; a comes before b.
func (w *Water) pair(a, b Measure) (h, dic float64, err error) {
	switch {
	case a.What == KnownTA && b.What == KnownDIC:
		dic = b.Value * 1e-6
		h, err = w.solve(carbonFromDIC, dic, a.Value*1e-6)
	case a.What == KnownTA && b.What == KnownPH:
		h = hydrogen(b.Value)
		dic, err = w.dicFromTA(a.Value*1e-6, h)
	case a.What == KnownTA && b.What == KnownPCO2:
		co2 := w.co2(b.Value)
		h, err = w.solve(carbonFromCO2, co2, a.Value*1e-6)
		dic = co2 * w.dicPerCO2(h)
	case a.What == KnownDIC && b.What == KnownPH:
		h, dic = hydrogen(b.Value), a.Value*1e-6
	case a.What == KnownDIC && b.What == KnownPCO2:
		dic = a.Value * 1e-6
		h, err = w.hydrogenFromShare(dic, w.co2(b.Value))
	case a.What == KnownPH && b.What == KnownPCO2:
		h = hydrogen(a.Value)
		dic = w.co2(b.Value) * w.dicPerCO2(h)
	default:
		err = fmt.Errorf("the same measure was given twice, expected two different ones")
	}
	return h, dic, err
}

func hydrogen(pH float64) float64 { return math.Exp(-math.Ln10 * pH) }

// dicPerCO2 is DIC over CO2.
func (w *Water) dicPerCO2(h float64) float64 { return 1 + w.c.K1/h*(1+w.c.K2/h) }

// dicFromTA takes all that is not carbon from alkalinity.
func (w *Water) dicFromTA(ta, h float64) (float64, error) {
	rest, _ := w.otherAlkalinity(h)
	perDIC, _ := w.carbonShare(h)
	if ta < rest {
		return 0, fmt.Errorf("alkalinity %.6g µmol/kg is too low for pH %.4g, which takes %.6g without any carbon",
			ta*1e6, -math.Log10(h), rest*1e6)
	}
	return (ta - rest) / perDIC, nil
}

// hydrogenFromShare solves DIC·h² = CO2·(h² + K1·h + K1·K2) for h.
func (w *Water) hydrogenFromShare(dic, co2 float64) (float64, error) {
	if !(co2 > 0 && dic > co2) {
		return 0, fmt.Errorf("dissolved inorganic carbon %.6g µmol/kg has to be more than its CO2, %.6g, and CO2 more than none",
			dic*1e6, co2*1e6)
	}
	a, b, c := dic-co2, co2*w.c.K1, co2*w.c.K1*w.c.K2
	h := (b + math.Sqrt(b*b+4*a*c)) / (2 * a)
	return h, nil
}

// speciate shares DIC out at a known hydrogen, both in mol per kg.
func (w *Water) speciate(h, dic float64) (Carbonate, error) {
	c := &w.c
	pH := -math.Log10(h)
	rest, slope := w.otherAlkalinity(h)
	perDIC, perDICSlope := w.carbonShare(h)
	ta := dic*perDIC + rest
	if !(pH >= minPH && pH <= maxPH) || !(dic <= 1.001*maxDIC*1e-6) || !(math.Abs(ta) <= 1.001*maxTA*1e-6) {
		return Carbonate{}, fmt.Errorf("no water has this: pH would be %.4g, dissolved carbon %.4g and alkalinity %.4g µmol/kg",
			pH, dic*1e6, ta*1e6)
	}
	co2 := dic / w.dicPerCO2(h)
	hco3 := co2 * c.K1 / h
	co3 := hco3 * c.K2 / h
	fCO2 := co2 / c.K0
	meq := ta * 1e3 * w.kgPerL
	return Carbonate{
		TA: ta * 1e6, DIC: dic * 1e6,
		PHTotal: pH, PHSeawater: pH + w.toSeawater, PHFree: pH + w.toFree, PHNBS: pH + w.toNBS,
		PCO2: w.pressureAtm(fCO2) * 1e6, FCO2: fCO2 * 1e6,
		CO2: co2 * 1e6, HCO3: hco3 * 1e6, CO3: co3 * 1e6,
		BOH4: c.Boron * c.KB / (c.KB + h) * 1e6, OH: c.KW / h * 1e6, NH3: c.Ammonia * c.KNH4 / (c.KNH4 + h) * 1e6,
		OmegaAragonite: c.Calcium * co3 / c.KspAragonite, OmegaCalcite: c.Calcium * co3 / c.KspCalcite,
		Revelle:   1 - dic*perDIC*perDIC/(dic*perDICSlope+slope),
		TAMeqPerL: meq, TADKH: meq * dkhPerMeq, TAMgPerLCaCO3: meq * caco3PerMeq,
	}, nil
}
