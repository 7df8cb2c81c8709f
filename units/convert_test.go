package units_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"driftline/seawater"
	"driftline/units"

	"pgregory.net/rapid"
)

// NIST SP 811 (2008), Appendix B, and the imperial gallon by definition.
func TestExactUnits(t *testing.T) {
	spelling := map[string]string{"US_gal": "US gal", "imp_gal": "imp gal", "US_fl_oz": "US fl oz"}
	for _, r := range append(table(t, "unit_points.csv"), table(t, "exact_units.csv")...) {
		value, want := 1.0, 0.0
		if r["factor"] != "" {
			want = r.num(t, "factor")
		} else {
			value, want = r.num(t, "value"), r.num(t, "result")
		}
		from := r["from_unit"]
		if s := spelling[from]; s != "" {
			from = s
		}
		got, known, err := across(value, from, r["to_unit"])
		if !known {
			continue
		}
		if err != nil || !alike(got, want, 1e-9) {
			t.Errorf("%g %s = %.12g %s (%v), want %.12g", value, from, got, r["to_unit"], err, want)
		}
	}
}

// across converts in the family the unit belongs to; spoons and cubic inches are not kept.
func across(v float64, from, to string) (got float64, known bool, err error) {
	if _, err := units.ParseUnit(units.Temperature, from); err == nil {
		got, err = units.Convert(units.Temperature, v, from, to)
		return got, true, err
	}
	if _, err := units.ParseVolumeUnit(from); err == nil {
		litres, err := units.Litres(v, from)
		if err != nil {
			return 0, true, err
		}
		got, err = units.FromLitres(litres, to)
		return got, true, err
	}
	if _, err := units.ParseMassUnit(from); err == nil {
		got, err = units.Grams(v, from)
		return got, true, err
	}
	if _, err := units.ParseLengthUnit(from); err == nil {
		got, err = units.Centimetres(v, from)
		return 10 * got, true, err
	}
	return 0, false, nil
}

// The German degree is 10 mg/L CaO by definition; weights IUPAC 2021.
func TestAlkalinityFactors(t *testing.T) {
	names := map[string]string{"meq_per_L": "meq/L", "dKH": "dKH", "mg_per_L_CaCO3": "mg/L CaCO3"}
	for _, r := range table(t, "alkalinity_factors.csv") {
		to, known := names[r["to_unit"]]
		if !known {
			continue // CaO is the definition, not a unit kept here
		}
		got, err := units.Convert(units.Alkalinity, 1, names[r["from_unit"]], to)
		if want := r.num(t, "factor"); err != nil || !alike(got, want, 1e-5) {
			t.Errorf("1 %s = %.9g %s (%v), want %.9g", r["from_unit"], got, to, err, want)
		}
	}
}

// Per kilogram at salinity 35 and 25 °C.
func TestAlkalinityPerKilogram(t *testing.T) {
	seen := 0
	for _, r := range table(t, "alkalinity_units.csv") {
		if r["SP"] != "35" || r["t90_degC"] != "25" {
			continue
		}
		seen++
		for column, unit := range map[string]string{"TA_meq_per_L": "meq/L", "TA_dKH": "dKH", "TA_mg_per_L_CaCO3": "mg/L CaCO3"} {
			got, err := units.Convert(units.Alkalinity, r.num(t, "TA_umol_per_kg"), "µmol/kg", unit)
			if want := r.num(t, column); err != nil || !alike(got, want, 2e-5) {
				t.Errorf("%s µmol/kg = %.9g %s (%v), want %.9g", r["TA_umol_per_kg"], got, unit, err, want)
			}
		}
	}
	if seen == 0 {
		t.Fatal("the table has no row at salinity 35 and 25 °C")
	}
}

// Ratios of molar masses, IUPAC 2021.
func TestNutrientFactors(t *testing.T) {
	of := map[string]units.Quantity{"NO3": units.Nitrate, "NO2": units.Nitrite, "NH3": units.TotalAmmonia, "NH4": units.TotalAmmonia, "PO4": units.Phosphate, "SiO2": units.Silicate}
	for _, r := range table(t, "nutrient_factors.csv") {
		q, known := of[r["from_species"]]
		if !known {
			q, known = of[r["to_species"]]
		}
		from, to := "mg/L "+r["from_species"], "mg/L "+r["to_species"]
		_, fromErr := units.ParseUnit(q, from)
		_, toErr := units.ParseUnit(q, to)
		if !known || fromErr != nil || toErr != nil {
			continue // between species of different quantities
		}
		got, err := units.Convert(q, 1, from, to)
		if want := r.num(t, "mass_factor"); err != nil || !alike(got, want, 1e-4) {
			t.Errorf("%s 1 %s = %.9g %s (%v), want %.9g", q, from, got, to, err, want)
		}
	}
}

// The figures taken over as constants are those of package seawater.
func TestAssumedFiguresAgreeWithSeawater(t *testing.T) {
	rho, err := seawater.Density(35, 25)
	if err != nil {
		t.Fatal(err)
	}
	perKg, err := units.Convert(units.Alkalinity, 1000/(rho/1000), "µmol/kg", "meq/L")
	if err != nil || !alike(perKg, 1, 1e-7) {
		t.Errorf("1 meq/L at %.4f kg/m³ came out as %.9g (%v)", rho, perKg, err)
	}
	full, err := seawater.OxygenSolubilityMgPerL(35, 25)
	if err != nil {
		t.Fatal(err)
	}
	percent, err := units.Convert(units.Oxygen, full, "mg/L", "%")
	if err != nil || !alike(percent, 100, 1e-7) {
		t.Errorf("full oxygen %.6f mg/L is %.7f %% (%v)", full, percent, err)
	}
}

// drawn is a quantity, two of its units and a possible level in the first.
func drawn(t *rapid.T) (q units.Quantity, from, to string, v float64) {
	q = rapid.SampledFrom(units.Quantities()).Draw(t, "quantity")
	from = rapid.SampledFrom(q.Units()).Draw(t, "from")
	to = rapid.SampledFrom(q.Units()).Draw(t, "to")
	low, high, err := units.Range(q, from)
	if err != nil {
		t.Fatal(err)
	}
	share := rapid.Float64Range(0.001, 0.999).Draw(t, "share")
	return q, from, to, low + share*(high-low)
}

func TestConvertRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q, from, to, v := drawn(t)
		there, err := units.Convert(q, v, from, to)
		if err != nil {
			t.Fatal(err)
		}
		back, err := units.Convert(q, there, to, from)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(back-v) > 1e-9*(1+math.Abs(v)) {
			t.Fatalf("%s %g %s went to %g %s and came back as %g", q, v, from, there, to, back)
		}
		if err := units.Check(q, there, to); err != nil {
			t.Fatalf("possible in one unit, not in the other: %v", err)
		}
	})
}

// A small doubt carried by the slope is the difference of the converted ends.
func TestConvertSDIsTheSlope(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q, from, to, v := drawn(t)
		low, high, err := units.Range(q, from)
		if err != nil {
			t.Fatal(err)
		}
		h := 1e-4 * (high - low)
		up, err1 := units.Convert(q, v+h, from, to)
		down, err2 := units.Convert(q, v-h, from, to)
		sd, err3 := units.ConvertSD(q, v, h, from, to)
		if err1 != nil || err2 != nil || err3 != nil {
			t.Fatal(err1, err2, err3)
		}
		want := math.Abs(up-down) / 2
		if math.Abs(sd-want) > 2e-3*want { // the curves bend a little over the step
			t.Fatalf("%s at %g ± %g %s: %g %s, want %g", q, v, h, from, sd, to, want)
		}
	})
}

func TestConvertRefuses(t *testing.T) {
	cases := []struct {
		name     string
		quantity units.Quantity
		v        float64
		from, to string
		want     string
	}{
		{"unit of another quantity", units.Calcium, 400, "dKH", "mg/L", `unit "dKH" does not fit calcium, expected mg/L or µg/L`},
		{"no unit", units.Calcium, 400, "mg/L", "", "unit of calcium is missing"},
		{"unknown quantity", "colour", 1, "mg/L", "mg/L", `quantity "colour" is not known`},
		{"synonym in place of the name", "alk", 8, "dKH", "dKH", "not spelled as the log spells it"},
		{"not a number", units.Calcium, math.NaN(), "mg/L", "µg/L", "calcium is not a number"},
		{"gravity out of reach", units.Salinity, 1.2, "SG 25/25", "PSU", "salinity 1.2 SG 25/25 cannot be converted: specific gravity 1.2 is out of range, expected 1.0000 to 1.0454"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := units.Convert(c.quantity, c.v, c.from, c.to)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %g and %v, want an error with %q", got, err, c.want)
			}
		})
	}
}

func TestAssumption(t *testing.T) {
	for _, c := range []struct {
		quantity units.Quantity
		from, to string
		want     string
	}{
		{units.Alkalinity, "dKH", "meq/L", ""},
		{units.Alkalinity, "dKH", "µmol/kg", "salinity 35 and 25 °C"},
		{units.PH, "NBS", "total", "0.134"},
		{units.Salinity, "ppt", "mS/cm", "; conductivity as at 25 °C"},
	} {
		got := units.Assumption(c.quantity, c.from, c.to)
		if c.want == "" && got != "" || !strings.Contains(got, c.want) {
			t.Errorf("%s from %s to %s: %q, want %q in it", c.quantity, c.from, c.to, got, c.want)
		}
	}
}

func ExampleConvert() {
	meq, _ := units.Convert(units.Alkalinity, 8, "dKH", "meq/L")
	psu, _ := units.Convert(units.Salinity, 1.0264, "SG", "PSU")
	fmt.Printf("%.3f meq/L, %.2f PSU\n", meq, psu)
	// Output: 2.853 meq/L, 35.03 PSU
}

func ExampleConvertSD() {
	sd, _ := units.ConvertSD(units.Salinity, 1.0264, 0.0005, "SG 25/25", "PSU")
	fmt.Printf("%.2f PSU\n", sd)
	// Output: 0.66 PSU
}

func BenchmarkConvert(b *testing.B) {
	for _, c := range []struct {
		name     string
		q        units.Quantity
		v        float64
		from, to string
	}{
		{"line", units.Alkalinity, 8, "dKH", "mg/L CaCO3"},
		{"gravity", units.Salinity, 1.0264, "SG 25/25", "PSU"},
		{"forgiving", units.Alkalinity, 8, "dkh", "meq/l"},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := units.Convert(c.q, c.v, c.from, c.to); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// The canonical path is called for every reading of a book: it must not allocate.
func TestConvertDoesNotAllocate(t *testing.T) {
	n := testing.AllocsPerRun(100, func() {
		_, _ = units.Convert(units.Alkalinity, 8, "dKH", "meq/L")
		_, _ = units.Convert(units.Salinity, 1.0264, "SG 25/25", "PSU")
		_, _ = units.ConvertSD(units.Salinity, 35, 0.2, "PSU", "mS/cm")
	})
	if n != 0 {
		t.Errorf("%g allocations, want none", n)
	}
}
