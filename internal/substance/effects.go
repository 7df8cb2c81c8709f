package substance

import (
	"fmt"
	"math"

	"driftline/seawater"
	"driftline/stoichiometry"
	"driftline/units"
)

// Water is what the substance is given to.
type Water struct {
	Litres float64
	SP     float64 // practical salinity
	TempC  float64
	TA     float64 // alkalinity in dKH; 0 when not known
	PH     float64 // on the NBS scale; 0 when not known
}

// Ion is a constituent that comes along.
type Ion struct {
	Name     string
	MgPerL   float64 // rise
	Relative float64 // rise over what seawater of that salinity has
}

// SalinityRise is the rise of practical salinity by an amount, in Unit: the mass
// of dissolved salt, without its hydrate water, as if its ions were those of
// seawater. Reference Salinity: 35.16504/35 g/kg (Millero et al. 2008).
func (s *Substance) SalinityRise(amount float64, w Water) float64 {
	if !(w.Litres > 0) {
		return 0
	}
	grams := 0.0
	for _, p := range s.Parts {
		if per, _, ok := p.Formula.PerGram(units.Salinity); ok {
			grams += p.Fraction * per
		}
	}
	density, err := seawater.Density(w.SP, w.TempC)
	if err != nil {
		density = 1023
	}
	return grams * s.grams(amount) / (w.Litres * density / 1000) / (35.16504 / 35)
}

// grams is the mass of the salts in an amount.
func (s *Substance) grams(amount float64) float64 {
	if s.Form == Solution {
		return amount * s.PerLitre / 1000 * s.Purity
	}
	return amount * s.Purity
}

// along lists the ions that a salt may leave behind.
var along = []struct {
	name string
	ion  seawater.Ion
	per  func(f stoichiometry.Formula) float64 // mg of the ion a gram of the salt leaves
}{
	{"sodium", seawater.Sodium, func(f stoichiometry.Formula) float64 { return 1000 * f.MassFraction("Na") }},
	{"chloride", seawater.Chloride, func(f stoichiometry.Formula) float64 { return 1000 * f.MassFraction("Cl") }},
	{"sulfate", seawater.Sulfate, func(f stoichiometry.Formula) float64 {
		return 1000 * f.MassFraction("S") * 96.056 / 32.06 // SO4 over S, IUPAC 2021
	}},
	{"potassium", seawater.Potassium, func(f stoichiometry.Formula) float64 { return 1000 * f.MassFraction("K") }},
}

// Along is what comes along with an amount, beside the quantities it is given
// for: sodium, chloride, sulfate, potassium.
func (s *Substance) Along(amount float64, w Water) []Ion {
	var out []Ion
	if !(w.Litres > 0) {
		return nil
	}
	for _, a := range along {
		mg := 0.0
		for _, p := range s.Parts {
			mg += p.Fraction * a.per(p.Formula)
		}
		if mg == 0 {
			continue
		}
		rise := mg * s.grams(amount) / w.Litres
		ion := Ion{Name: a.name, MgPerL: rise}
		if natural, err := seawater.IonMgPerL(a.ion, w.SP, w.TempC); err == nil && natural > 0 {
			ion.Relative = rise / natural
		}
		out = append(out, ion)
	}
	return out
}

// PHJump is how far an amount moves the pH at once, before gas is exchanged with
// the air: alkalinity and carbon are added to the water and it is solved anew. It
// needs the water's alkalinity and pH.
func (s *Substance) PHJump(amount float64, w Water) (float64, error) {
	if w.TA <= 0 || w.PH <= 0 {
		return 0, fmt.Errorf("how far %s moves the pH cannot be told without the alkalinity and the pH", s.Name)
	}
	water, err := seawater.NewWater(w.SP, w.TempC, seawater.Basis{Carbon: seawater.Waters2014})
	if err != nil {
		return 0, err
	}
	ph, err := water.ConvertPH(w.PH, seawater.NBSScale, seawater.TotalScale)
	if err != nil {
		return 0, err
	}
	perL, err := units.Convert(units.Alkalinity, w.TA, "dKH", "meq/L")
	if err != nil {
		return 0, err
	}
	ta, err := seawater.PerKilogram(perL*1000, w.SP, w.TempC)
	if err != nil {
		return 0, err
	}
	before, err := water.Solve(seawater.TA(ta), seawater.PH(ph))
	if err != nil {
		return 0, err
	}
	dTA, dDIC, err := s.carbon(amount, w)
	if err != nil {
		return 0, err
	}
	after, err := water.Solve(seawater.TA(ta+dTA), seawater.DIC(before.DIC+dDIC))
	if err != nil {
		return 0, err
	}
	if jump := after.PHNBS - before.PHNBS; !math.IsNaN(jump) {
		return jump, nil
	}
	return 0, fmt.Errorf("how far %s moves the pH cannot be worked out", s.Name)
}

// carbon is what an amount adds of alkalinity and of carbon, in µmol/kg.
func (s *Substance) carbon(amount float64, w Water) (ta, dic float64, err error) {
	if len(s.Parts) == 0 {
		return 0, 0, fmt.Errorf("the formula of %s is not known", s.Name)
	}
	for _, p := range s.Parts {
		eq, known := p.Formula.Equivalents()
		if !known {
			return 0, 0, fmt.Errorf("the alkalinity of %s is not known", p.Name)
		}
		mol := s.grams(amount) * p.Fraction / p.Formula.MolarMass()
		ta += mol * eq
		dic += mol * p.Formula.Count("C")
	}
	perKg, err := seawater.PerKilogram(1e6/w.Litres, w.SP, w.TempC)
	return ta * perKg, dic * perKg, err
}
