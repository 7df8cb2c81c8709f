package seawater_test

import (
	"math"
	"testing"

	"driftline/seawater"
)

func TestAlkalinityPerLitre(t *testing.T) {
	for _, r := range table(t, "alkalinity_units.csv") {
		w := mustWater(t, r.num(t, "SP"), r.num(t, "t90_degC"), seawater.Basis{Extrapolate: true})
		c, err := w.Solve(seawater.TA(r.num(t, "TA_umol_per_kg")), seawater.PH(8))
		if err != nil {
			t.Fatal(err)
		}
		near(t, r, "meq/L", c.TAMeqPerL, r.num(t, "TA_meq_per_L"), 2e-5*c.TAMeqPerL)
		near(t, r, "dKH", c.TADKH, r.num(t, "TA_dKH"), 2e-5*c.TADKH)
		near(t, r, "mg/L CaCO3", c.TAMgPerLCaCO3, r.num(t, "TA_mg_per_L_CaCO3"), 2e-5*c.TAMgPerLCaCO3)
	}
}

// Warming at constant carbon lowers the pH of ocean water by about 0.016 per °C
// (Millero 2007, Chem. Rev. 107:308, from memory), and more CO2 in the air lowers it too.
func TestWarmingAndAir(t *testing.T) {
	w := mustWater(t, 35, 25, seawater.Basis{})
	fresh, err := w.InAir(2300, 420)
	if err != nil {
		t.Fatal(err)
	}
	stuffy, err := w.InAir(2300, 1200)
	if err != nil {
		t.Fatal(err)
	}
	if fresh.PCO2 >= 420 || stuffy.PHTotal >= fresh.PHTotal-0.3 {
		t.Errorf("fresh air %+v, stuffy air %+v", fresh, stuffy)
	}
	warm, err := w.AtTemperature(fresh, 26)
	if err != nil {
		t.Fatal(err)
	}
	if slope := warm.PHTotal - fresh.PHTotal; math.Abs(slope+0.0155) > 0.0015 {
		t.Errorf("pH changes by %.4f per °C", slope)
	}
}

func TestMeasuredCalcium(t *testing.T) {
	w := mustWater(t, 35, 25, seawater.Basis{})
	plain, err := w.Solve(seawater.TA(2300), seawater.PH(8.1))
	if err != nil {
		t.Fatal(err)
	}
	more, err := w.With(seawater.Content{Calcium: 2e6 * w.Constants().Calcium})
	if err != nil {
		t.Fatal(err)
	}
	twice, err := more.Solve(seawater.TA(2300), seawater.PH(8.1))
	if err != nil || math.Abs(twice.OmegaAragonite/plain.OmegaAragonite-2) > 1e-12 {
		t.Errorf("twice the calcium gives %v instead of twice %v: %v", twice.OmegaAragonite, plain.OmegaAragonite, err)
	}
}
