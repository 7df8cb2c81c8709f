package waterbench_test

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"driftline/internal/waterbench"
	"driftline/units"

	"pgregory.net/rapid"
)

func entry(q units.Quantity, v float64, unit string, sd float64) waterbench.Entry {
	return waterbench.Entry{Quantity: q, Value: v, Unit: unit, SD: sd}
}

// standard is water of 35 and 25.5 °C, both well known.
func standard(more ...waterbench.Entry) waterbench.Sample {
	return waterbench.Sample{Entries: append([]waterbench.Entry{
		entry(units.Salinity, 35, "PSU", 0.001), entry(units.Temperature, 25.5, "°C", 0.001)}, more...)}
}

func sheetOf(t testing.TB, s waterbench.Sample) waterbench.Sheet {
	t.Helper()
	out, err := waterbench.Read(s)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func find(t testing.TB, s waterbench.Sheet, key string) waterbench.Finding {
	t.Helper()
	f, ok := s.Find(key)
	if !ok {
		t.Fatalf("no finding %q", key)
	}
	return f
}

func contains(t testing.TB, text string, parts ...string) {
	t.Helper()
	for _, p := range parts {
		if !strings.Contains(text, p) {
			t.Errorf("%q lacks %q", text, p)
		}
	}
}

// table reads a small CSV of testdata without its head.
func table(t testing.TB, name string) [][]string {
	t.Helper()
	raw, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	var out [][]string
	for _, line := range strings.Split(strings.TrimSpace(string(raw)), "\n")[1:] {
		out = append(out, strings.Split(line, ","))
	}
	return out
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Read backwards: the pH of the table and 8 dKH tell the pressure. 0.005 of pH,
// to which it is rounded, is about 1.4 % of pressure.
func TestCarbonDioxideOfTheTable(t *testing.T) {
	for _, row := range table(t, "ph_in_air.csv") {
		want := number(t, row[0])
		s := sheetOf(t, standard(entry(units.PH, number(t, row[1]), "total", 0.02), entry(units.Alkalinity, 8, "dKH", 0.1)))
		near(t, "carbon dioxide", find(t, s, "carbon dioxide").Value, want, 0.015*want)
	}
}

func TestAmmoniaShareOfTheTable(t *testing.T) {
	for _, row := range table(t, "ammonia_share.csv") {
		s := sheetOf(t, standard(entry(units.PH, number(t, row[1]), row[0], 0.02)))
		within := 0.0006
		if row[0] == "NBS" {
			within = 0.001 // the table's 0.13 between the scales is rounded
		}
		near(t, row[0]+" "+row[1], find(t, s, "un-ionised share").Value/100, number(t, row[2]), within)
	}
}

// The four-day limit 0.035 mg/L NH3 is about 0.67 mg/L of total ammonia at 25.5 °C,
// salinity 35 and an electrode's 8.1 (from memory, by the same equation).
func TestAmmoniaLimit(t *testing.T) {
	at := func(total float64) waterbench.Finding {
		return find(t, sheetOf(t, standard(entry(units.PH, 8.1, "NBS", 0.01), entry(units.TotalAmmonia, total, "mg/L NH3", 0.01))), "un-ionised ammonia")
	}
	near(t, "un-ionised ammonia", at(0.67).Value, 0.035, 0.001)
	contains(t, at(0.1).Says, "No danger")
	contains(t, at(1.2).Says, "Harmful if it lasts", "0.035")
	contains(t, at(6).Says, "Dangerous", "0.233")
}

// Salinity 35 at 25 °C: density 1023.343 kg/m³ (Unesco 1981, EOS-80; TEOS-10
// agrees to 0.01 there), calcium 0.0102821 mol/kg · 40.078 g/mol = 412.1 mg/kg
// (Millero et al. 2008, Table 4), so 421.7 mg/L; 53.065 mS/cm (PSS-78, from memory).
func TestSaltByHand(t *testing.T) {
	s := sheetOf(t, waterbench.Sample{Entries: []waterbench.Entry{entry(units.Salinity, 35, "PSU", 0.1),
		entry(units.Temperature, 25, "°C", 0.1), entry(units.Calcium, 421.7, "mg/L", 5)}})
	near(t, "density", find(t, s, "density").Value, 1023.343, 0.01)
	near(t, "conductivity", find(t, s, "salinity, mS/cm").Value, 53.065, 0.01)
	near(t, "calcium against salinity", find(t, s, "calcium to salinity").Value, 100, 0.02)
	near(t, "its doubt", find(t, s, "calcium to salinity").SD, 100*math.Hypot(5/421.7, 0.1/35), 0.01)
}

// Calcium of 412.1 mg/kg at 35: at 30 sea water has 353.2 mg/kg, about 360 mg/L. So
// 360 mg/L there is only dilute; 360 mg/L at 35 is short by 15 %.
func TestLowOrDilute(t *testing.T) {
	says := func(sp, calcium float64) string {
		s := sheetOf(t, waterbench.Sample{Entries: []waterbench.Entry{entry(units.Salinity, sp, "PSU", 0.2),
			entry(units.Temperature, 25, "°C", 0.1), entry(units.Calcium, calcium, "mg/L", 8)}})
		return find(t, s, "calcium to salinity").Says
	}
	contains(t, says(30, 360), "only dilute")
	contains(t, says(35, 360), "itself is low", "15 %")
	contains(t, says(30, 421.7), "high for its salinity", "hides")
	contains(t, says(35, 420), "As in sea water")
}

// 16 mol of nitrogen, 16 · 62.004/1000 = 0.99206 mg/L of nitrate, to 1 mol of
// phosphorus, 94.970/1000 = 0.09497 mg/L of phosphate, in µmol.
func TestNitrogenToPhosphorus(t *testing.T) {
	s := sheetOf(t, standard(entry(units.Nitrate, 0.99206, "mg/L NO3", 0.1), entry(units.Phosphate, 0.09497, "mg/L PO4", 0.01)))
	f := find(t, s, "N:P")
	near(t, "N:P", f.Value, 16, 0.01)
	near(t, "doubt", f.SD, 16*math.Hypot(0.1/0.99206, 0.01/0.09497), 0.02)
	contains(t, f.Says, "Redfield")
}

// 35 and 10 °C: 274.61 µmol/kg (Garcia and Gordon 1992, check value, from memory).
func TestOxygen(t *testing.T) {
	s := sheetOf(t, waterbench.Sample{Entries: []waterbench.Entry{entry(units.Salinity, 35, "PSU", 0.1), entry(units.Temperature, 10, "°C", 0.1), entry(units.Oxygen, 50, "%", 1)}})
	near(t, "oxygen", find(t, s, "oxygen in air, µmol/kg").Value, 274.61, 0.1)
	near(t, "saturation", find(t, s, "oxygen saturation").Value, 50, 1e-6)
	near(t, "mg/L", find(t, s, "oxygen").Value, find(t, s, "oxygen in air").Value/2, 1e-9)
}

func TestWhyPHIsLow(t *testing.T) {
	why := func(pH, dKH float64) string {
		return find(t, sheetOf(t, standard(entry(units.PH, pH, "NBS", 0.05), entry(units.Alkalinity, dKH, "dKH", 0.3))), "pH").Says
	}
	contains(t, why(truePH(t, 8, 1100), 8), "lower", "because of too much carbon dioxide", "very likely")
	contains(t, why(truePH(t, 4, 407), 4), "lower", "because of low alkalinity", "very likely")
	contains(t, why(truePH(t, 8, 407), 8), "About what water of 8 dKH has in open air")
	contains(t, why(truePH(t, 8, 150), 8), "higher", "because of too little carbon dioxide")
}

// By drawing pH and alkalinity 4,000 times: the doubt of what follows is the
// spread of what follows.
func TestDoubtsAgreeWithDrawing(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	keys := []string{"aragonite", "dissolved carbon", "un-ionised ammonia", "pH in air"}
	said := sheetOf(t, standard(entry(units.PH, 8.0, "total", 0.03), entry(units.Alkalinity, 8, "dKH", 0.3), entry(units.TotalAmmonia, 0.5, "mg/L", 0.05), entry(units.Calcium, 420, "mg/L", 10)))
	const n = 4000
	sum, square := make([]float64, len(keys)), make([]float64, len(keys))
	for range n {
		s := sheetOf(t, standard(entry(units.PH, 8.0+0.03*rng.NormFloat64(), "total", 0.03), entry(units.Alkalinity, 8+0.3*rng.NormFloat64(), "dKH", 0.3),
			entry(units.TotalAmmonia, 0.5+0.05*rng.NormFloat64(), "mg/L", 0.05), entry(units.Calcium, 420+10*rng.NormFloat64(), "mg/L", 10)))
		for i, k := range keys {
			f := find(t, s, k)
			sum[i], square[i] = sum[i]+f.Value, square[i]+f.Value*f.Value
		}
	}
	for i, k := range keys {
		spread := math.Sqrt(square[i]/n - sum[i]*sum[i]/n/n)
		f := find(t, said, k)
		own := f.SD
		switch k {
		case "un-ionised ammonia": // the formula's own 5 % is not drawn
			own = math.Sqrt(own*own - 0.05*0.05*f.Value*f.Value)
		case "pH in air": // nor are the air, 15 of 420 ppm by 0.8/ln 10 a share, and the scale's 0.02
			own = math.Sqrt(own*own - 0.02*0.02 - math.Pow(15./420*0.85/math.Ln10, 2))
		}
		near(t, "doubt of "+k, own/spread, 1, 0.06)
	}
}

func TestTwoFiguresOfOneQuantity(t *testing.T) {
	s := sheetOf(t, waterbench.Sample{Entries: []waterbench.Entry{entry(units.Salinity, 34, "PSU", 0.3), entry(units.Salinity, 36, "PSU", 0.6)}})
	near(t, "weighted mean", find(t, s, "salinity").Value, 34.4, 1e-9) // weights 4 to 1
	near(t, "doubt", find(t, s, "salinity").SD, 0.3*math.Sqrt(0.8), 1e-9)
	if len(s.Warnings) != 1 { // 2 apart, 2 · 0.67 allowed
		t.Errorf("warnings %q", s.Warnings)
	}
}

func TestImpossibleEntries(t *testing.T) {
	for _, e := range []waterbench.Entry{
		entry(units.PH, 15, "NBS", 0), entry(units.Calcium, -1, "mg/L", 0), entry(units.Calcium, 420, "dKH", 0),
		entry(units.Calcium, math.NaN(), "mg/L", 0), entry(units.Calcium, 420, "mg/L", -1), entry("hope", 1, "mg/L", 0),
		entry(units.Calcium, 420, "mg/L", math.Inf(1)),
	} {
		if _, err := waterbench.Read(waterbench.Sample{Entries: []waterbench.Entry{e}}); err == nil {
			t.Errorf("%+v was taken", e)
		}
	}
	if _, err := waterbench.Read(waterbench.Sample{AirPCO2: -5}); err == nil {
		t.Error("less than no carbon dioxide in the air was taken")
	}
}

// Any subset of possible figures gives a sheet of numbers and sentences.
func TestAnySubset(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := waterbench.Sample{AirPCO2: rapid.SampledFrom([]float64{0, 0, 300, 1200}).Draw(t, "air")}
		for _, q := range units.Quantities() {
			if !rapid.Bool().Draw(t, string(q)) {
				continue
			}
			unit := rapid.SampledFrom(q.Units()).Draw(t, "unit")
			low, high, err := units.Range(q, unit)
			if err != nil {
				t.Fatal(err)
			}
			share := rapid.Float64Range(0, 1).Draw(t, "share")
			s.Entries = append(s.Entries, waterbench.Entry{Quantity: q, Value: low + share*(high-low), Unit: unit})
		}
		sheet, err := waterbench.Read(s)
		if err != nil {
			t.Fatal(err)
		}
		for _, g := range sheet.Groups {
			for _, f := range g.Findings {
				if math.IsNaN(f.Value+f.SD) || math.IsInf(f.Value+f.SD, 0) || f.SD < 0 || f.Text == "" {
					t.Fatalf("%+v", f)
				}
				if strings.Contains(f.Says+f.Text, "NaN") || strings.Contains(f.Says+f.Text, "Inf") || strings.Contains(f.Says, "!") {
					t.Fatalf("%+v", f)
				}
			}
		}
		waterbench.Compare(sheet, sheet)
	})
}
