package seawater_test

import (
	"fmt"
	"testing"

	"driftline/seawater"
)

// Fofonoff and Millard 1983, p. 19, the rows at the surface.
func TestPublishedDensity(t *testing.T) {
	for _, r := range table(t, "density_published.csv") {
		if r.num(t, "p_dbar") != 0 {
			continue
		}
		got, err := seawater.DensityEOS80(r.num(t, "SP"), r.num(t, "t68_degC")/1.00024)
		if err != nil {
			t.Fatal(err)
		}
		near(t, r, "density", got, r.num(t, "rho_eos80_kg_per_m3"), 1e-5)
	}
}

func TestDensityGrid(t *testing.T) {
	for _, r := range table(t, "density_grid.csv") {
		sp, tempC := r.num(t, "SP"), r.num(t, "t90_degC")
		got, _, err := seawater.ExtrapolateDensityEOS80(sp, tempC)
		if err != nil {
			t.Fatal(err)
		}
		exact, err := seawater.Density(sp, tempC)
		if err != nil {
			t.Fatal(err)
		}
		near(t, r, "density", exact, r.num(t, "rho_exact_kg_per_m3"), 1e-6)
		near(t, r, "EOS-80", got, r.num(t, "rho_eos80_kg_per_m3"), 1e-6)
		tolerance := 0.02
		if sp >= 28 && sp <= 42 && tempC >= 15 && tempC <= 35 {
			tolerance = 0.006
		}
		near(t, r, "EOS-80 against the Gibbs function", got, r.num(t, "rho_exact_kg_per_m3"), tolerance)
	}
}

func ExampleDensity() {
	rho, _ := seawater.Density(35, 25)
	fmt.Printf("%.3f kg/m³\n", rho)
	// Output: 1023.344 kg/m³
}

func ExampleDensityEOS80() {
	rho, _ := seawater.DensityEOS80(35, 25/1.00024) // 25 °C on the older scale, as published
	fmt.Printf("%.5f kg/m³\n", rho)
	// Output: 1023.34306 kg/m³
}
