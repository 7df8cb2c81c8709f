package watersheet

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"driftline/seawater"
)

// figures are what a line gives, NaN where it gives nothing.
type figures [inputs]float64

// results are what follows, NaN where nothing does.
type results [outputs]float64

var nan = math.NaN()

func known(v float64) bool { return !math.IsNaN(v) }

// sheet works lines out; it remembers the last water, since tables dwell on one.
type sheet struct {
	layout
	o      Options
	water  seawater.Water
	sp, t  float64
	paired bool // water is for a pair of measures, within the range of K1 and K2
	warm   bool // water holds the constants of sp and t
	beyond []string
}

// read takes the figures out of a line.
func (s *sheet) read(cells []string) (figures, error) {
	var f figures
	for in := range f {
		f[in] = nan
		i := s.at[in]
		if i < 0 || i >= len(cells) || in == inGiven || in == inPair {
			continue
		}
		text := strings.TrimSpace(cells[i])
		if text == "" {
			continue
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return f, fmt.Errorf("%s %q is not a number", s.head[i], clip(text))
		}
		f[in] = v
	}
	if !known(f[inTemp]) && known(f[inTemp68]) {
		f[inTemp] = f[inTemp68] / 1.00024 // IPTS-68 to ITS-90, Saunders 1990
	}
	return f, nil
}

func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

func (s *sheet) cell(cells []string, in int) string {
	if i := s.at[in]; i >= 0 && i < len(cells) {
		return strings.TrimSpace(cells[i])
	}
	return ""
}

// work gives all that follows from a line. With an error, what was worked out
// before it stays.
func (s *sheet) work(cells []string) (r results, err error) {
	for i := range r {
		r[i] = nan
	}
	s.beyond = s.beyond[:0]
	f, err := s.read(cells)
	if err != nil {
		return r, err
	}
	err = s.workFrom(&r, f, s.cell(cells, inPair), s.cell(cells, inGiven))
	return r, err
}

func (s *sheet) workFrom(r *results, f figures, pairText, given string) error {
	pair, paired, err := s.pair(pairText)
	if err != nil {
		return err
	}
	sp, err := s.salinity(f, pair, paired)
	if err != nil || !known(sp) {
		return err
	}
	r[outSP] = sp
	if err := s.gravities(r, sp, pair, paired); err != nil {
		return err
	}
	if !known(f[inTemp]) {
		return nil
	}
	if err := s.physics(r, f, sp); err != nil {
		return err
	}
	return s.chemistry(r, f, sp, given)
}

func (s *sheet) pair(text string) (seawater.Pair, bool, error) {
	if text == "" {
		if s.o.Pair != nil {
			return *s.o.Pair, true, nil
		}
		return seawater.Pair{}, false, nil
	}
	p, err := seawater.ParsePair(text)
	return p, err == nil, err
}

// salinity is the column SP, else from conductivity, else from specific gravity.
func (s *sheet) salinity(f figures, pair seawater.Pair, paired bool) (float64, error) {
	switch {
	case known(f[inSP]):
		return f[inSP], nil
	case known(f[inC]):
		if !known(f[inTemp]) {
			return 0, errors.New("a conductivity needs the temperature of the sample, t_degC")
		}
		if !s.o.Basis.Extrapolate {
			return seawater.SalinityFromConductivity(f[inC], f[inTemp], orZero(f[inPressure]))
		}
		sp, _, err := seawater.ExtrapolateSalinity(f[inC], f[inTemp], orZero(f[inPressure]))
		return sp, err
	case known(f[inSG]):
		if !paired {
			return 0, errors.New("a specific gravity needs its temperature_pair, such as 25C/25C")
		}
		return seawater.SalinityFromSpecificGravity(f[inSG], pair)
	}
	return nan, nil
}

func orZero(v float64) float64 {
	if known(v) {
		return v
	}
	return 0
}

var usualPairs = []struct {
	out  int
	pair seawater.Pair
}{
	{outSG20, seawater.Pair20}, {outSG25, seawater.Pair25}, {outSG60, seawater.Pair60},
	{outSG20Over4, seawater.Pair20Over4}, {outSG25Over4, seawater.Pair25Over4},
}

func (s *sheet) gravities(r *results, sp float64, pair seawater.Pair, paired bool) (err error) {
	if paired {
		if r[outSG], err = seawater.SpecificGravity(sp, pair); err != nil {
			return err
		}
	}
	for _, usual := range usualPairs {
		if r[usual.out], err = seawater.SpecificGravity(sp, usual.pair); err != nil {
			return err
		}
	}
	return nil
}

// physics is what salinity and temperature lead to.
func (s *sheet) physics(r *results, f figures, sp float64) (err error) {
	t, p := f[inTemp], orZero(f[inPressure])
	if r[outRho], err = seawater.Density(sp, t); err != nil {
		return err
	}
	if s.answers(seawater.PSS78, sp, t) {
		if r[outConductivity], _, err = seawater.ExtrapolateConductivity(sp, t, p); err != nil {
			return err
		}
		r[outRatio] = r[outConductivity] / seawater.C3515
	}
	if s.o.EOS80 && s.answers(seawater.EOS80, sp, t) {
		if r[outRhoEOS80], _, err = seawater.ExtrapolateDensityEOS80(sp, t); err != nil {
			return err
		}
	}
	if s.answers(seawater.GarciaGordon1992, sp, t) {
		if r[outO2], _, err = seawater.ExtrapolateOxygenSolubility(sp, t); err != nil {
			return err
		}
		r[outO2mg] = r[outO2] * seawater.OxygenMolarMass * r[outRho] * 1e-6
	}
	return nil
}

// answers says whether a formula is to be used: within what it was published for,
// or beyond it on request. Either way the column beyond tells.
func (s *sheet) answers(formula seawater.Formula, sp, t float64) bool {
	err := formula.Published(sp, t)
	if err == nil {
		return true
	}
	name, _, _ := strings.Cut(err.Error(), ",")
	if !s.o.Basis.Extrapolate {
		name += " left out"
	}
	s.beyond = append(s.beyond, name)
	return s.o.Basis.Extrapolate
}
