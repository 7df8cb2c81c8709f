package watersheet

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"driftline/seawater"
)

// nitrogen and ammonia are molar masses in g/mol: IUPAC 2021, abridged.
const (
	nitrogen = 14.007
	ammonia  = 17.031
)

// chemistry is what the carbonate measures of a line lead to.
func (s *sheet) chemistry(r *results, f figures, sp float64, given string) error {
	if !anyKnown(f, inTA, inTAdKH, inTAmeq, inDIC, inPHTotal, inPHNBS, inPHFree, inPHSWS, inPCO2) {
		return nil
	}
	w, err := s.waterOf(f, sp, pairs(f))
	if err != nil {
		return err
	}
	m, err := s.measures(w, f, r[outRho])
	if err != nil {
		return err
	}
	if known(m[seawater.KnownTA]) {
		alkalinities(r, m[seawater.KnownTA], r[outRho])
	}
	if ph := m[seawater.KnownPH]; known(ph) {
		if err := scales(r, w, ph); err != nil {
			return err
		}
	}
	a, b, both, err := choose(m, given)
	if err != nil {
		return err
	}
	if both {
		c, err := w.Solve(a, b)
		if err != nil {
			return err
		}
		fill(r, c)
	}
	return s.ammonia(r, f, sp)
}

// pairs says whether a line holds two of the four measures. With one alone K1 and
// K2 are not used, so that their range does not matter.
func pairs(f figures) bool {
	count := 0
	for _, group := range [][]int{{inTA, inTAdKH, inTAmeq}, {inDIC}, {inPHTotal, inPHNBS, inPHFree, inPHSWS}, {inPCO2}} {
		if anyKnown(f, group...) {
			count++
		}
	}
	return count >= 2
}

func anyKnown(f figures, ins ...int) bool {
	for _, in := range ins {
		if known(f[in]) {
			return true
		}
	}
	return false
}

// waterOf makes the water of a line, or takes the one of the line before.
func (s *sheet) waterOf(f figures, sp float64, paired bool) (*seawater.Water, error) {
	t := f[inTemp]
	if !s.warm || s.sp != sp || s.t != t || s.paired != paired {
		basis := s.o.Basis
		basis.Extrapolate = basis.Extrapolate || !paired
		w, err := seawater.NewWater(sp, t, basis)
		if err != nil {
			s.warm = false
			return nil, err
		}
		s.water, s.sp, s.t, s.paired, s.warm = w, sp, t, paired, true
	}
	if paired && s.water.Extrapolated() {
		s.beyond = append(s.beyond, s.o.Basis.Carbon.String())
	}
	if !anyKnown(f, inCalcium, inPhosphate, inSilicate, inTAN) {
		return &s.water, nil
	}
	c := seawater.Content{Phosphate: orZero(f[inPhosphate]), Silicate: orZero(f[inSilicate])}
	kgPerL := s.water.CalciumFromMgPerL(1) // µmol/kg for 1 mg/L; zero calcium means not measured
	if known(f[inCalcium]) {
		if f[inCalcium] <= 0 {
			return nil, fmt.Errorf("calcium_mg_per_L %g is not possible, expected more than 0", f[inCalcium])
		}
		c.Calcium = kgPerL * f[inCalcium]
	}
	if known(f[inTAN]) {
		perKg, err := seawater.PerKilogram(f[inTAN], sp, t)
		if err != nil {
			return nil, err
		}
		c.Ammonia = perKg / nitrogen * 1000
	}
	w, err := s.water.With(c)
	return &w, err
}

// measures are the four on their standard scales, NaN where the line has none.
func (s *sheet) measures(w *seawater.Water, f figures, rho float64) (m [4]float64, err error) {
	ta := f[inTA]
	if !known(ta) && known(f[inTAmeq]) {
		ta = f[inTAmeq] * 1e6 / rho
	}
	if !known(ta) && known(f[inTAdKH]) {
		ta = f[inTAdKH] * meqPerDKH * 1e6 / rho
	}
	m[seawater.KnownTA], m[seawater.KnownDIC], m[seawater.KnownPCO2] = ta, f[inDIC], f[inPCO2]
	m[seawater.KnownPH] = math.NaN()
	for _, scale := range []struct {
		in    int
		scale seawater.PHScale
	}{{inPHTotal, seawater.TotalScale}, {inPHNBS, seawater.NBSScale}, {inPHFree, seawater.FreeScale}, {inPHSWS, seawater.SeawaterScale}} {
		if known(f[scale.in]) && !known(m[seawater.KnownPH]) {
			if m[seawater.KnownPH], err = w.ConvertPH(f[scale.in], scale.scale, seawater.TotalScale); err != nil {
				return m, err
			}
		}
	}
	return m, nil
}

// meqPerDKH: 1 dKH is 10 mg/L of CaO (40.078 + 15.999 g/mol, two equivalents).
const meqPerDKH = 2 * 10 / (40.078 + 15.999)

func alkalinities(r *results, ta, rho float64) {
	r[outTA] = ta
	r[outTAmeq] = ta * rho * 1e-6
	r[outTAdKH] = r[outTAmeq] / meqPerDKH
	r[outTAmg] = r[outTAmeq] * (40.078 + 12.011 + 3*15.999) / 2
}

func scales(r *results, w *seawater.Water, total float64) (err error) {
	r[outPHTotal] = total
	for _, to := range []struct {
		out   int
		scale seawater.PHScale
	}{{outPHSWS, seawater.SeawaterScale}, {outPHFree, seawater.FreeScale}, {outPHNBS, seawater.NBSScale}} {
		if r[to.out], err = w.ConvertPH(total, seawater.TotalScale, to.scale); err != nil {
			return err
		}
	}
	return nil
}

// choose takes the pair that the line names, or the first two there are.
func choose(m [4]float64, given string) (a, b seawater.Measure, both bool, err error) {
	order := []seawater.Known{seawater.KnownTA, seawater.KnownPH, seawater.KnownDIC, seawater.KnownPCO2}
	if given != "" {
		if order, err = pairNamed(given); err != nil {
			return a, b, false, err
		}
	}
	var found []seawater.Measure
	for _, k := range order {
		if known(m[k]) {
			found = append(found, seawater.Measure{What: k, Value: m[k]})
		} else if given != "" {
			return a, b, false, fmt.Errorf("given is %q, but the line lacks one of the two", clip(given))
		}
	}
	if len(found) < 2 {
		return a, b, false, nil
	}
	return found[0], found[1], true, nil
}

func pairNamed(given string) ([]seawater.Known, error) {
	names := strings.FieldsFunc(given, func(r rune) bool { return strings.ContainsRune("+,; &", r) })
	var out []seawater.Known
	for _, name := range names {
		switch lower := strings.ToLower(name); {
		case strings.HasPrefix(lower, "ta"):
			out = append(out, seawater.KnownTA)
		case strings.HasPrefix(lower, "dic"):
			out = append(out, seawater.KnownDIC)
		case strings.HasPrefix(lower, "ph"):
			out = append(out, seawater.KnownPH)
		case strings.HasPrefix(lower, "pco2"):
			out = append(out, seawater.KnownPCO2)
		}
	}
	if len(out) != 2 || len(names) != 2 || out[0] == out[1] {
		return nil, fmt.Errorf("given %q is not understood, expected two of TA, DIC, pH and pCO2 such as TA+DIC", clip(given))
	}
	return out, nil
}

func fill(r *results, c seawater.Carbonate) {
	r[outTA], r[outDIC], r[outPHTotal], r[outPCO2], r[outFCO2] = c.TA, c.DIC, c.PHTotal, c.PCO2, c.FCO2
	r[outCO2], r[outHCO3], r[outCO3], r[outBOH4], r[outOH] = c.CO2, c.HCO3, c.CO3, c.BOH4, c.OH
	r[outOmegaA], r[outOmegaC], r[outRevelle] = c.OmegaAragonite, c.OmegaCalcite, c.Revelle
	r[outPHSWS], r[outPHFree], r[outPHNBS] = c.PHSeawater, c.PHFree, c.PHNBS
	r[outTAmeq], r[outTAdKH], r[outTAmg] = c.TAMeqPerL, c.TADKH, c.TAMgPerLCaCO3
}

// ammonia is the un-ionised share, and how much of it there is.
func (s *sheet) ammonia(r *results, f figures, sp float64) error {
	if !known(r[outPHTotal]) {
		return nil
	}
	share, err := seawater.AmmoniaFractionTotal(sp, f[inTemp], r[outPHTotal])
	if errors.Is(err, seawater.ErrExtrapolated) {
		s.beyond = append(s.beyond, "Clegg and Whitfield 1995")
		return nil
	}
	if err != nil {
		return err
	}
	r[outFraction] = share
	if known(f[inTAN]) {
		r[outNH3] = share * f[inTAN] * ammonia / nitrogen
	}
	return nil
}
