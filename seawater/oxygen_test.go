package seawater_test

import (
	"math"
	"testing"

	"driftline/seawater"
)

// Garcia and Gordon 1992, check value, which is reproduced with 10 °C as IPTS-68;
// fresh water by Benson and Krause 1984, from memory.
func TestPublishedOxygen(t *testing.T) {
	for _, r := range table(t, "oxygen_published.csv") {
		tempC := r.num(t, "t68_degC") / 1.00024
		if r["O2_umol_per_kg"] != "" {
			got, err := seawater.OxygenSolubility(r.num(t, "SP"), tempC)
			if err != nil {
				t.Fatal(err)
			}
			near(t, r, "µmol/kg", got, r.num(t, "O2_umol_per_kg"), 0.001)
			continue
		}
		got, err := seawater.OxygenSolubilityMgPerL(r.num(t, "SP"), tempC)
		if err != nil {
			t.Fatal(err)
		}
		near(t, r, "mg/L", got, r.num(t, "O2_mg_per_L"), 0.003)
	}
}

// Oxygen follows the pressure of the air less that of vapour (Henry's law, ideal
// gas): at 20 °C, fresh, vapour is 0.02305 atm (17.5 mmHg, handbook value from
// memory), so 0.85 atm leaves (0.85 - 0.02305)/(1 - 0.02305) = 0.8465 of what 1
// atm does. The equation with the printed θ is within 0.02 % of that.
func TestOxygenUnderOtherAir(t *testing.T) {
	full, err := seawater.OxygenSolubilityMgPerL(0, 20)
	if err != nil {
		t.Fatal(err)
	}
	same, err := seawater.OxygenSolubilityAt(0, 20, 1)
	if err != nil || math.Abs(same/full-1) > 1e-12 {
		t.Errorf("at one atmosphere %g instead of %g, %v", same, full, err)
	}
	thin, err := seawater.OxygenSolubilityAt(0, 20, 0.85)
	if err != nil || math.Abs(thin/full-0.8465) > 3e-4 {
		t.Errorf("at 0.85 atm %g of %g mg/L, %v", thin, full, err)
	}
	for _, atm := range []float64{0, 0.4, 2, math.NaN()} {
		if v, err := seawater.OxygenSolubilityAt(35, 25, atm); err == nil {
			t.Errorf("%g atm gave %g", atm, v)
		}
	}
}

func TestOxygenGrid(t *testing.T) {
	for _, r := range table(t, "oxygen_grid.csv") {
		sp, tempC := r.num(t, "SP"), r.num(t, "t90_degC")
		perKg, err := seawater.OxygenSolubility(sp, tempC)
		if err != nil {
			t.Fatal(err)
		}
		near(t, r, "µmol/kg", perKg, r.num(t, "O2_umol_per_kg"), 0.001)
		perL, err := seawater.OxygenSolubilityMgPerL(sp, tempC)
		if err != nil {
			t.Fatal(err)
		}
		near(t, r, "mg/L", perL, r.num(t, "O2_mg_per_L"), 1e-5)
		near(t, r, "mg/L by the other equation", perL, r.num(t, "O2_mg_per_L_BensonKrause1984"), 0.004)
	}
}
