package seawater_test

import (
	"math"
	"testing"

	"driftline/seawater"
)

// Check values printed in Dickson, Sabine and Christian 2007, chapter 5.
func TestPublishedConstants(t *testing.T) {
	for _, r := range table(t, "carbonate_constants_published.csv") {
		w := mustWater(t, r.num(t, "SP"), r.num(t, "t_degC"), seawater.Basis{Minor: seawater.Guide2007})
		c := w.Constants()
		got, known := map[string]float64{
			"ln_K0": math.Log(c.K0), "log10_K1": math.Log10(c.K1), "log10_K2": math.Log10(c.K2),
			"ln_KB": math.Log(c.KB), "ln_KW": math.Log(c.KW), "ln_KS": math.Log(c.KS), "ln_KF": math.Log(c.KF),
			"ln_K1P": math.Log(c.KP1), "ln_K2P": math.Log(c.KP2), "ln_K3P": math.Log(c.KP3), "ln_KSi": math.Log(c.KSi),
		}[r["quantity"]]
		if !known {
			t.Errorf("no constant for %s", r["quantity"])
		}
		near(t, r, r["quantity"], got, r.num(t, "value"), r.num(t, "half_last_digit"))
	}
}

func TestConstantsTable(t *testing.T) {
	for _, r := range table(t, "carbonate_constants.csv") {
		sp, tempC := r.num(t, "SP"), r.num(t, "t_degC")
		w := mustWater(t, sp, tempC, seawater.Basis{Extrapolate: true})
		g := mustWater(t, sp, tempC, seawater.Basis{Extrapolate: true, Minor: seawater.Guide2007, Boron: seawater.Lee2010})
		c := w.Constants()
		for name, got := range map[string]float64{
			"ln_K0": math.Log(c.K0), "pK1_total": -math.Log10(c.K1), "pK2_total": -math.Log10(c.K2),
			"ln_KB_total": math.Log(c.KB), "ln_KW_total": math.Log(c.KW), "ln_KS_free": math.Log(c.KS),
			"ln_KF_total": math.Log(c.KF), "ln_KW_total_guide": math.Log(g.Constants().KW),
			"pKsp_aragonite": -math.Log10(c.KspAragonite), "pKsp_calcite": -math.Log10(c.KspCalcite),
		} {
			near(t, r, name, got, r.num(t, name), 1e-6)
		}
		for name, got := range map[string]float64{
			"B_total_umol_per_kg_Uppstrom1974": c.Boron, "B_total_umol_per_kg_Lee2010": g.Constants().Boron,
		} {
			near(t, r, name, got*1e6, r.num(t, name), 1e-6*r.num(t, name))
		}
	}
}

// Lueker 2000 and the sets of Millero's group rest on the same measurements
// (Mehrbach et al. 1973 and later); in ocean water they agree within the doubts
// usually given for them, 0.0075 in pK1 and 0.015 in pK2 (Orr et al. 2018, Mar.
// Chem. 207:84, Table 1), here doubled as both may be off.
func TestCarbonSetsAgreeInOceanWater(t *testing.T) {
	for _, tempC := range []float64{15, 20, 25, 30} {
		l := mustWater(t, 35, tempC, seawater.Basis{})
		for _, set := range []seawater.CarbonSet{seawater.Waters2014, seawater.Millero2010} {
			w := mustWater(t, 35, tempC, seawater.Basis{Carbon: set})
			one := math.Log10(w.Constants().K1 / l.Constants().K1)
			two := math.Log10(w.Constants().K2 / l.Constants().K2)
			if math.Abs(one) > 0.015 || math.Abs(two) > 0.03 {
				t.Errorf("%v at %g °C: pK1 off by %.4f, pK2 by %.4f", set, tempC, one, two)
			}
		}
	}
}

func TestRangeOfTheCarbonSets(t *testing.T) {
	for _, c := range []struct {
		name      string
		sp, tempC float64
		basis     seawater.Basis
		fails     bool
	}{
		{"Lueker in fresh water", 5, 25, seawater.Basis{}, true},
		{"Lueker too warm", 35, 36, seawater.Basis{}, true},
		{"Lueker on request", 5, 25, seawater.Basis{Extrapolate: true}, false},
		{"Waters in brackish water", 5, 25, seawater.Basis{Carbon: seawater.Waters2014}, false},
		{"Waters in strong water", 50, 25, seawater.Basis{Carbon: seawater.Waters2014}, false},
		{"unknown set", 35, 25, seawater.Basis{Carbon: 9, Extrapolate: true}, true},
		{"unknown boron", 35, 25, seawater.Basis{Boron: 9}, true},
		{"not a number", math.NaN(), 25, seawater.Basis{Extrapolate: true}, true},
	} {
		w, err := seawater.NewWater(c.sp, c.tempC, c.basis)
		if (err != nil) != c.fails {
			t.Errorf("%s: error %v", c.name, err)
		}
		if err == nil && w.Extrapolated() != c.basis.Extrapolate {
			t.Errorf("%s: extrapolated is %v", c.name, w.Extrapolated())
		}
	}
}

func TestPHScalesAreInverse(t *testing.T) {
	w := mustWater(t, 35, 25, seawater.Basis{})
	for from := seawater.TotalScale; from <= seawater.NBSScale; from++ {
		for to := seawater.TotalScale; to <= seawater.NBSScale; to++ {
			there, err := w.ConvertPH(8.1, from, to)
			if err != nil {
				t.Fatal(err)
			}
			back, err := w.ConvertPH(there, to, from)
			if err != nil || math.Abs(back-8.1) > 1e-12 {
				t.Errorf("%v to %v and back: %v, %v", from, to, back, err)
			}
		}
	}
	if _, err := w.ConvertPH(8.1, 7, seawater.TotalScale); err == nil {
		t.Error("an unknown scale passed")
	}
}
