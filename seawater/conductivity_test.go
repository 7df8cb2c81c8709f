package seawater_test

import (
	"fmt"
	"testing"

	"driftline/seawater"

	"pgregory.net/rapid"
)

// Fofonoff and Millard 1983, pp. 9 and 14.
func TestPublishedPracticalSalinity(t *testing.T) {
	for _, r := range table(t, "pss78_published.csv") {
		ratio, tempC, dBar, sp := r.num(t, "conductivity_ratio"), r.num(t, "t68_degC")/1.00024, r.num(t, "p_dbar"), r.num(t, "SP")
		if r["check"] == "SP_from_R" {
			got, err := seawater.SalinityFromConductivity(ratio*seawater.C3515, tempC, dBar)
			if err != nil {
				t.Fatal(err)
			}
			near(t, r, "salinity", got, sp, 1e-6)
			continue
		}
		got, err := seawater.ConductivityFromSalinity(sp, tempC, dBar)
		if err != nil {
			t.Fatal(err)
		}
		near(t, r, "ratio", got/seawater.C3515, ratio, 1e-6)
	}
}

// gsw SP_from_C and C_from_SP, also below 2 and where the scale is continued to 60.
func TestSalinityAndConductivityTables(t *testing.T) {
	for _, r := range table(t, "pss78_c_to_sp.csv") {
		want := r.num(t, "SP")
		if want > seawater.MaxSP {
			continue
		}
		got, beyond, err := seawater.ExtrapolateSalinity(r.num(t, "C_mS_per_cm"), r.num(t, "t90_degC"), r.num(t, "p_dbar"))
		if err != nil {
			t.Fatal(err)
		}
		near(t, r, "salinity", got, want, 1e-5)
		if beyond != (want > 42) {
			t.Errorf("%v: beyond the published range is %v", r, beyond)
		}
	}
	for _, r := range table(t, "pss78_sp_to_c.csv") {
		got, _, err := seawater.ExtrapolateConductivity(r.num(t, "SP"), r.num(t, "t90_degC"), r.num(t, "p_dbar"))
		if err != nil {
			t.Fatal(err)
		}
		near(t, r, "conductivity", got, r.num(t, "C_mS_per_cm"), 1e-5)
	}
}

func TestConductivityRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := rapid.Float64Range(0.01, 60).Draw(t, "sp")
		tempC := rapid.Float64Range(0, 40).Draw(t, "temp")
		c, _, err := seawater.ExtrapolateConductivity(sp, tempC, 0)
		if err != nil {
			t.Fatal(err)
		}
		back, _, err := seawater.ExtrapolateSalinity(c, tempC, 0)
		if err != nil {
			t.Fatal(err)
		}
		if d := back - sp; d > 1e-9 || d < -1e-9 {
			t.Fatalf("salinity %g came back as %g", sp, back)
		}
	})
}

func ExampleSalinityFromConductivity() {
	sp, _ := seawater.SalinityFromConductivity(seawater.C3515, 15/1.00024, 0)
	fmt.Printf("%.4f\n", sp)
	// Output: 35.0000
}
