package seawater_test

import (
	"fmt"
	"math"
	"testing"

	"driftline/seawater"

	"pgregory.net/rapid"
)

// Millero et al. 2008, Table 4; molar masses of Prohaska et al. 2022.
func TestReferenceComposition(t *testing.T) {
	rows := table(t, "composition.csv")
	if len(rows) != len(seawater.Ions()) {
		t.Errorf("%d rows for %d ions", len(rows), len(seawater.Ions()))
	}
	for _, r := range rows {
		ion, sp, tempC := seawater.Ion(r["species"]), r.num(t, "SP"), r.num(t, "t90_degC")
		amount, err := seawater.IonMolPerKg(ion, sp)
		if err != nil {
			t.Fatal(err)
		}
		near(t, r, "mol/kg", amount, r.num(t, "mol_per_kg"), 1e-9)
		perKg, err := seawater.IonMgPerKg(ion, sp)
		if err != nil {
			t.Fatal(err)
		}
		near(t, r, "mg/kg", perKg, r.num(t, "mg_per_kg"), 1e-6*perKg)
		perL, err := seawater.IonMgPerL(ion, sp, tempC)
		if err != nil {
			t.Fatal(err)
		}
		near(t, r, "mg/L", perL, r.num(t, "mg_per_L"), 1e-6*perL)
	}
}

// The charges of the reference composition cancel, by its definition (Millero
// et al. 2008, section 5); the amounts are given to 1e-7 mol/kg.
func TestReferenceCompositionIsNeutral(t *testing.T) {
	charge := map[seawater.Ion]float64{
		seawater.Sodium: 1, seawater.Magnesium: 2, seawater.Calcium: 2, seawater.Potassium: 1, seawater.Strontium: 2,
		seawater.Chloride: -1, seawater.Sulfate: -2, seawater.Bicarbonate: -1, seawater.Bromide: -1, seawater.CarbonateIon: -2,
		seawater.Borate: -1, seawater.Fluoride: -1, seawater.Hydroxide: -1,
	}
	sum := 0.0
	for ion, z := range charge {
		amount, err := seawater.IonMolPerKg(ion, 35)
		if err != nil {
			t.Fatal(err)
		}
		sum += z * amount
	}
	if math.Abs(sum) > 3e-7 {
		t.Errorf("the charges add up to %g mol/kg, want 0", sum)
	}
}

func TestDiluteWaterKeepsItsRatios(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ion := rapid.SampledFrom(seawater.Ions()).Draw(t, "ion")
		sp, tempC := rapid.Float64Range(1, 60).Draw(t, "sp"), rapid.Float64Range(0, 40).Draw(t, "temp")
		perL, err := seawater.IonMgPerL(ion, sp, tempC)
		if err != nil {
			t.Fatal(err)
		}
		ratio, err := seawater.IonRatio(ion, perL, sp, tempC)
		if err != nil || math.Abs(ratio-1) > 1e-12 {
			t.Fatalf("ratio %g, %v", ratio, err)
		}
		perKg, err := seawater.PerKilogram(perL, sp, tempC)
		if err != nil {
			t.Fatal(err)
		}
		direct, err := seawater.IonMgPerKg(ion, sp)
		if err != nil || math.Abs(perKg-direct) > 1e-9*direct {
			t.Fatalf("%g mg/kg through the litre, %g straight, %v", perKg, direct, err)
		}
	})
}

func TestAnUnknownIonIsAnError(t *testing.T) {
	if _, err := seawater.IonMgPerKg("Xx", 35); err == nil {
		t.Error("want an error")
	}
	if v, err := seawater.IonRatio(seawater.Calcium, 400, 0, 25); err == nil {
		t.Errorf("calcium in fresh water gave a ratio of %g, want an error", v)
	}
}

func ExampleIonRatio() {
	ratio, _ := seawater.IonRatio(seawater.Magnesium, 1180, 33, 25)
	fmt.Printf("%.2f of what salinity 33 would give\n", ratio)
	// Output: 0.95 of what salinity 33 would give
}
