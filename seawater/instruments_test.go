package seawater_test

import (
	"math"
	"testing"

	"driftline/seawater"
)

// Quan and Fry 1995, Appl. Opt. 34:3477, eq. 3, coefficients from memory, and the
// index of sodium chloride solutions at 20 °C, 3 % 1.3383 and 4 % 1.3400, handbook
// figures from memory: a check of the pair 36.5 and 35, to 0.3.
func TestSodiumChlorideScale(t *testing.T) {
	const sp, tempC, nm = 35.0, 20.0, 589.3
	index := 1.31405 + (1.779e-4-1.05e-6*tempC+1.6e-8*tempC*tempC)*sp - 2.02e-6*tempC*tempC +
		(15.868+0.01155*sp-0.00423*tempC)/nm - 4382/(nm*nm) + 1.1455e6/(nm*nm*nm)
	reading := 30 + 10*(index-1.3383)/(1.3400-1.3383)
	got, err := seawater.SalinityFromSodiumChlorideScale(reading)
	if err != nil || math.Abs(got-sp) > 0.3 {
		t.Errorf("reading %.2f gave salinity %.2f, %v, want %g", reading, got, err, sp)
	}
	back, err := seawater.SodiumChlorideScaleFromSalinity(got)
	if err != nil || math.Abs(back-reading) > 1e-9 {
		t.Errorf("came back as %g, %v, want %g", back, err, reading)
	}
}

func TestParsePair(t *testing.T) {
	for s, want := range map[string]seawater.Pair{
		"25C/25C": seawater.Pair25, "20 °C/4 °C": seawater.Pair20Over4, "25c/4c": seawater.Pair25Over4,
		"60F/60F": seawater.Pair60, "20/20": seawater.Pair20,
	} {
		if got, err := seawater.ParsePair(s); err != nil || got != want {
			t.Errorf("%q gave %v, %v, want %v", s, got, err, want)
		}
	}
	for _, s := range []string{"", "25", "25C", "warm/cold", "nan/25C", "900C/25C", "25C/25C/25C"} {
		if got, err := seawater.ParsePair(s); err == nil {
			t.Errorf("%q gave %v, want an error", s, got)
		}
	}
}

// Whatever is typed, a pair of temperatures the package answers for or an error; and
// a name is one that is known or an error.
func FuzzTypedChoices(f *testing.F) {
	for _, s := range []string{"25C/25C", "60F/60F", "20/4", "25", "1e309F/2", "NaN/NaN", "lueker2000", "Lee 2010", "eos80", "NBS", "", "\xff/\xff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if p, err := seawater.ParsePair(s); err == nil {
			if _, err := seawater.SpecificGravity(35, p); err != nil {
				t.Errorf("pair %+v of %q is refused: %v", p, s, err)
			}
		}
		if c, err := seawater.ParseCarbonSet(s); err == nil {
			if _, err := seawater.NewWater(35, 25, seawater.Basis{Carbon: c}); err != nil {
				t.Errorf("set %v of %q is refused: %v", c, s, err)
			}
		}
		if d, err := seawater.ParseDensityFormula(s); err == nil {
			if _, err := d.Density(35, 25); err != nil {
				t.Errorf("formula %v of %q is refused: %v", d, s, err)
			}
		}
	})
}

// By definition: full solubility is 100 %, and salinity 35 at 15 °C has ratio 1,
// which the printed coefficients of the scale keep to 1e-7.
func TestSaturationAndRatio(t *testing.T) {
	full, err := seawater.OxygenSolubilityMgPerL(34, 25)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := seawater.OxygenSaturationPercent(full/2, 34, 25); err != nil || math.Abs(got-50) > 1e-9 {
		t.Errorf("half the solubility is %g %%, %v", got, err)
	}
	ratio, err := seawater.ConductivityRatioFromSalinity(35, 15/1.00024, 0)
	if err != nil || math.Abs(ratio-1) > 1e-8 {
		t.Errorf("ratio %g, %v, want 1", ratio, err)
	}
	if sp, err := seawater.SalinityFromConductivityRatio(1, 15/1.00024, 0); err != nil || math.Abs(sp-35) > 1e-6 {
		t.Errorf("salinity %g, %v, want 35", sp, err)
	}
}
