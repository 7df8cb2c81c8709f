package seawater_test

import (
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
