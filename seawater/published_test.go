package seawater_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"driftline/seawater"
)

// The ranges are those of the papers named beside them, from memory.
func TestPublishedRanges(t *testing.T) {
	cases := map[string]struct {
		formula   seawater.Formula
		sp, tempC float64
		beyond    bool
	}{
		"salinity of the sea":      {seawater.PSS78, 35, 25, false},
		"strong brine":             {seawater.PSS78, 45, 25, true},
		"hot probe":                {seawater.PSS78, 35, 38, true},
		"brine by EOS-80":          {seawater.EOS80, 45, 25, true},
		"brine by TEOS-10":         {seawater.GibbsAtOneAtm, 45, 25, false},
		"oxygen in hot water":      {seawater.GarciaGordon1992, 35, 45, true},
		"no number is not covered": {seawater.GarciaGordon1992, math.NaN(), 25, true},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			err := c.formula.Published(c.sp, c.tempC)
			if errors.Is(err, seawater.ErrExtrapolated) != c.beyond {
				t.Errorf("got %v", err)
			}
		})
	}
	if err := seawater.Formula(99).Published(35, 25); err == nil {
		t.Error("an unknown formula passed")
	}
}

// Beyond the published range there is no value but on request, and then marked.
func TestBeyondOnlyOnRequest(t *testing.T) {
	type asked func(sp, tempC float64) (float64, bool, error)
	type plain func(sp, tempC float64) (float64, error)
	for name, c := range map[string]struct {
		formula seawater.Formula
		plain   plain
		asked   asked
	}{
		"conductivity": {seawater.PSS78,
			func(sp, tempC float64) (float64, error) { return seawater.ConductivityFromSalinity(sp, tempC, 0) },
			func(sp, tempC float64) (float64, bool, error) { return seawater.ExtrapolateConductivity(sp, tempC, 0) }},
		"salinity": {seawater.PSS78, salinityThere, askedSalinityThere},
		"EOS-80":   {seawater.EOS80, seawater.DensityEOS80, seawater.ExtrapolateDensityEOS80},
		"oxygen":   {seawater.GarciaGordon1992, seawater.OxygenSolubility, seawater.ExtrapolateOxygenSolubility},
	} {
		t.Run(name, func(t *testing.T) {
			for _, at := range [][2]float64{{35, 25}, {42, 35}, {0, -2}, {43, 25}, {60, 25}, {35, 40.5}, {60, 50}} {
				sp, tempC := at[0], at[1]
				inside := c.formula.Published(sp, tempC) == nil
				v, err := c.plain(sp, tempC)
				asked, beyond, askedErr := c.asked(sp, tempC)
				if askedErr != nil || beyond == inside {
					t.Errorf("at %v on request: %g, beyond %v, %v", at, asked, beyond, askedErr)
				}
				if inside && (err != nil || v != asked) || !inside && (!errors.Is(err, seawater.ErrExtrapolated) || v != 0) {
					t.Errorf("at %v: %g, %v; on request %g", at, v, err, asked)
				}
			}
		})
	}
}

func salinityThere(sp, tempC float64) (float64, error) {
	c, _, err := seawater.ExtrapolateConductivity(sp, tempC, 0)
	if err != nil {
		return 0, err
	}
	return seawater.SalinityFromConductivity(c, tempC, 0)
}

func askedSalinityThere(sp, tempC float64) (float64, bool, error) {
	c, _, err := seawater.ExtrapolateConductivity(sp, tempC, 0)
	if err != nil {
		return 0, false, err
	}
	return seawater.ExtrapolateSalinity(c, tempC, 0)
}

func TestRefusedConstantsSayWhy(t *testing.T) {
	if _, err := seawater.NewWater(5, 25, seawater.Basis{}); !errors.Is(err, seawater.ErrExtrapolated) {
		t.Errorf("Lueker in brackish water: %v", err)
	}
	if _, err := seawater.AmmoniaPKTotal(41, 25); !errors.Is(err, seawater.ErrExtrapolated) {
		t.Errorf("ammonia in strong water: %v", err)
	}
}

// Which constants of a water are continued; the ranges are those the papers
// named in Formula state.
func TestWaterTellsWhatIsContinued(t *testing.T) {
	for _, c := range []struct {
		sp, tempC float64
		basis     seawater.Basis
		want      []seawater.Formula
	}{
		{35, 25, seawater.Basis{}, nil},
		{42, 25, seawater.Basis{}, []seawater.Formula{seawater.CO2Solubility, seawater.FluoridePerezFraga}},
		{42, 25, seawater.Basis{Fluoride: seawater.DicksonRiley1979}, []seawater.Formula{seawater.CO2Solubility}},
		{4, 25, seawater.Basis{Carbon: seawater.Waters2014}, []seawater.Formula{
			seawater.BoricAcid1990, seawater.Bisulfate1990, seawater.FluoridePerezFraga, seawater.CarbonateSolubility}},
	} {
		w := mustWater(t, c.sp, c.tempC, c.basis)
		if got := w.Beyond(); !slices.Equal(got, c.want) {
			t.Errorf("salinity %g at %g °C: %v, want %v", c.sp, c.tempC, got, c.want)
		}
	}
	w := mustWater(t, 41, 25, seawater.Basis{})
	w, err := w.With(seawater.Content{Ammonia: 1})
	if err != nil || !slices.Contains(w.Beyond(), seawater.CleggWhitfield1995) {
		t.Errorf("ammonia at 41: %v, %v", w.Beyond(), err)
	}
}
