package seawater_test

import (
	"math"
	"testing"

	"driftline/seawater"
)

func mustWater(t testing.TB, sp, tempC float64, basis seawater.Basis) seawater.Water {
	t.Helper()
	w, err := seawater.NewWater(sp, tempC, basis)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// column is a column of the tables with what is computed for it. A relative
// tolerance below goes with concentrations, an absolute one with pH.
type column struct {
	name      string
	of        func(seawater.Carbonate) float64
	tolerance float64
	absolute  bool
}

var columns = []column{
	{"TA_umol_per_kg", func(c seawater.Carbonate) float64 { return c.TA }, 5e-5, false},
	{"DIC_umol_per_kg", func(c seawater.Carbonate) float64 { return c.DIC }, 5e-5, false},
	{"pCO2_uatm", func(c seawater.Carbonate) float64 { return c.PCO2 }, 5e-5, false},
	{"fCO2_uatm", func(c seawater.Carbonate) float64 { return c.FCO2 }, 5e-5, false},
	{"CO2_umol_per_kg", func(c seawater.Carbonate) float64 { return c.CO2 }, 5e-5, false},
	{"HCO3_umol_per_kg", func(c seawater.Carbonate) float64 { return c.HCO3 }, 5e-5, false},
	{"CO3_umol_per_kg", func(c seawater.Carbonate) float64 { return c.CO3 }, 5e-5, false},
	{"BOH4_umol_per_kg", func(c seawater.Carbonate) float64 { return c.BOH4 }, 2e-4, false},
	{"OH_umol_per_kg", func(c seawater.Carbonate) float64 { return c.OH }, 5e-5, false},
	{"omega_aragonite", func(c seawater.Carbonate) float64 { return c.OmegaAragonite }, 3e-4, false},
	{"omega_calcite", func(c seawater.Carbonate) float64 { return c.OmegaCalcite }, 3e-4, false},
	{"pH_total", func(c seawater.Carbonate) float64 { return c.PHTotal }, 2e-5, true},
	{"pH_sws", func(c seawater.Carbonate) float64 { return c.PHSeawater }, 2e-5, true},
	{"pH_free", func(c seawater.Carbonate) float64 { return c.PHFree }, 2e-5, true},
	{"pH_nbs", func(c seawater.Carbonate) float64 { return c.PHNBS }, 2e-5, true},
	{"TA_meq_per_L", func(c seawater.Carbonate) float64 { return c.TAMeqPerL }, 2e-5, false},
	{"TA_dKH", func(c seawater.Carbonate) float64 { return c.TADKH }, 2e-5, false},
	{"TA_mg_per_L_CaCO3", func(c seawater.Carbonate) float64 { return c.TAMgPerLCaCO3 }, 2e-5, false},
}

var second = map[string]func(*testing.T, row) seawater.Measure{
	"TA+pH_total": func(t *testing.T, r row) seawater.Measure { return seawater.PH(r.num(t, "pH_total")) },
	"TA+DIC":      func(t *testing.T, r row) seawater.Measure { return seawater.DIC(r.num(t, "DIC_umol_per_kg")) },
	"TA+pCO2":     func(t *testing.T, r row) seawater.Measure { return seawater.PCO2(r.num(t, "pCO2_uatm")) },
}

// The tables of two reference libraries named in testdata/SOURCES.md, with the
// tolerances stated there.
func TestCarbonateTables(t *testing.T) {
	for _, c := range []struct {
		file  string
		boron seawater.BoronRatio
	}{
		{"carbonate_ta_ph", seawater.Uppstrom1974}, {"carbonate_ta_dic", seawater.Uppstrom1974},
		{"carbonate_ta_pco2", seawater.Uppstrom1974}, {"carbonate_ta_ph_lee2010", seawater.Lee2010},
	} {
		for _, file := range []string{c.file + ".csv", c.file + "_second.csv"} {
			t.Run(file, func(t *testing.T) { compareCarbonate(t, file, seawater.Basis{Boron: c.boron}) })
		}
	}
}

func compareCarbonate(t *testing.T, file string, basis seawater.Basis) {
	worst := map[string]float64{}
	for _, r := range table(t, file) {
		w := mustWater(t, r.num(t, "SP"), r.num(t, "t_degC"), basis)
		got, err := w.Solve(seawater.TA(r.num(t, "TA_umol_per_kg")), second[r["given"]](t, r))
		if err != nil {
			t.Fatalf("%v: %v", r, err)
		}
		for _, c := range columns {
			if r[c.name] == "" {
				continue
			}
			want, scale := r.num(t, c.name), 1.0
			if !c.absolute {
				scale = math.Abs(want)
			}
			near(t, r, c.name, c.of(got), want, c.tolerance*scale)
			worst[c.name] = math.Max(worst[c.name], math.Abs(c.of(got)-want)/scale)
		}
	}
	t.Log("largest differences:", worst)
}

func BenchmarkTAAndPH(b *testing.B) {
	w := mustWater(b, 35, 25, seawater.Basis{})
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if _, err := w.Solve(seawater.TA(2300), seawater.PH(7.7+float64(i%100)*0.008)); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTAAndDIC(b *testing.B) {
	w := mustWater(b, 35, 25, seawater.Basis{})
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if _, err := w.Solve(seawater.TA(2300), seawater.DIC(1700+float64(i%100)*6)); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNewWater(b *testing.B) {
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if _, err := seawater.NewWater(35, 20+float64(i%100)*0.1, seawater.Basis{}); err != nil {
			b.Fatal(err)
		}
	}
}
