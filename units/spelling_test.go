package units_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"driftline/units"
)

// Spellings as they are met on kits, probes and in notes: common practice, no source.
func TestParseUnit(t *testing.T) {
	cases := map[units.Quantity]map[string]string{
		units.Temperature: {"c": "°C", "degC": "°C", "° C": "°C", "℃": "°C", "Celsius": "°C", "F": "°F", "deg F": "°F", "º F": "°F"},
		units.Salinity: {"psu": "PSU", "PPT": "ppt", "‰": "ppt", "sg": "SG 25/25", "SG": "SG 25/25", "sg 20/20": "SG 20/20", "SG 20°C/20°C": "SG 20/20", "SG 60°F/60°F": "SG 60/60", "ms/cm": "mS/cm", "mS cm⁻¹": "mS/cm",
			"SG 25/25 °C": "SG 25/25", "SG 77/77 °F": "SG 25/25", "SG 20/20 °C": "SG 20/20", "SG 60/60 °F": "SG 60/60", "SG at 25 °C": "SG 25/25"},
		units.PH:         {"NBS": "NBS", "nbs scale": "NBS", "pH": "NBS", "Total": "total", "total scale": "total"},
		units.Alkalinity: {"dkh": "dKH", "°dKH": "dKH", "KH": "dKH", "meq/l": "meq/L", "meql": "meq/L", "mEq / L": "meq/L", "mg/l CaCO3": "mg/L CaCO3", "ppm CaCO₃": "mg/L CaCO3", "ppm as CaCO3": "mg/L CaCO3", "ppm": "mg/L CaCO3", "umol/kg": "µmol/kg", "µmol/kg": "µmol/kg", "μmol/kg": "µmol/kg", "µmol kg⁻¹": "µmol/kg", "umolkg": "µmol/kg"},
		units.Calcium:    {"ppm": "mg/L", "mg/l": "mg/L", "MG/L": "mg/L", "mg per litre": "mg/L", "mg/L Ca": "mg/L", "ppb": "µg/L", "ug/l": "µg/L", "μg/L": "µg/L"},
		units.Nitrate: {"mg/L": "mg/L NO3", "ppm": "mg/L NO3", "ppm NO3": "mg/L NO3", "mg/L NO₃": "mg/L NO3", "mg/L as N": "mg/L N", "mg/L NO3-N": "mg/L N", "NO3-N mg/L": "mg/L N", "ppm nitrate-nitrogen": "mg/L N",
			"mg NO3/L": "mg/L NO3", "mg N/L": "mg/L N", "µg/L": "µg/L NO3", "µg/L as N": "µg/L N", "µg N/L": "µg/L N"},
		units.Nitrite:      {"ppm": "mg/L NO2", "mg/l no2-n": "mg/L N", "ppb": "µg/L NO2"},
		units.TotalAmmonia: {"ppm": "mg/L NH4", "mg/L NH3": "mg/L NH3", "mg/L TAN": "mg/L N", "mg/L NH4-N": "mg/L N", "µg/L NH3": "µg/L NH3", "µg/L as N": "µg/L N", "ppb": "µg/L NH4"},
		units.Phosphate:    {"mg/l": "mg/L PO4", "ppm PO₄": "mg/L PO4", "mg/L P": "mg/L P", "ppb P": "µg/L P", "ug/L PO4-P": "µg/L P", "ppb": "µg/L PO4"},
		units.Silicate:     {"ppm": "mg/L SiO2", "mg/L Si": "mg/L Si"},
		units.Redox:        {"mv": "mV", "millivolts": "mV"},
		units.Oxygen:       {"mg/l": "mg/L", "ppm": "mg/L", "%": "%", "% sat": "%", "percent": "%"},
	}
	for q, spellings := range cases {
		for in, want := range spellings {
			t.Run(string(q)+" in "+in, func(t *testing.T) {
				if got, err := units.ParseUnit(q, in); err != nil || got != want {
					t.Errorf("got %q (%v), want %q", got, err, want)
				}
			})
		}
	}
}

func TestParseUnitRefuses(t *testing.T) {
	cases := []struct {
		quantity units.Quantity
		in, want string
	}{
		{units.Salinity, "ppm", "is ambiguous"},
		{units.Salinity, "%", "is ambiguous"},
		{units.Salinity, "g/L", "is ambiguous"},
		{units.Alkalinity, "°H", "is ambiguous"},
		{units.Alkalinity, "mg/L HCO3", "is ambiguous"},
		{units.Alkalinity, "", "is missing"},
		{units.Alkalinity, "furlongs", "expected dKH, meq/L, mg/L CaCO3 or µmol/kg"},
		{units.PH, "free", "is ambiguous"},
		{units.Temperature, "K", "expected °C or °F"},
		{units.Calcium, "mg/L NO3", "does not fit calcium"},
	}
	for _, c := range cases {
		t.Run(string(c.quantity)+" in "+c.in, func(t *testing.T) {
			got, err := units.ParseUnit(c.quantity, c.in)
			if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "expected") {
				t.Errorf("got %q and %v, want an error with %q", got, err, c.want)
			}
		})
	}
}

func TestMeasureUnits(t *testing.T) {
	cases := []struct {
		name     string
		parse    func(string) (string, error)
		in, want string
	}{
		{"volume", units.ParseVolumeUnit, "l", "L"}, {"volume", units.ParseVolumeUnit, "litres", "L"},
		{"volume", units.ParseVolumeUnit, "gal", "US gal"}, {"volume", units.ParseVolumeUnit, "US gal", "US gal"},
		{"volume", units.ParseVolumeUnit, "Gallons", "US gal"}, {"volume", units.ParseVolumeUnit, "U.S. gal.", "US gal"},
		{"volume", units.ParseVolumeUnit, "imp gal", "imp gal"}, {"volume", units.ParseVolumeUnit, "UK gallons", "imp gal"},
		{"volume", units.ParseVolumeUnit, "m³", "m3"}, {"volume", units.ParseVolumeUnit, "ML", "mL"},
		{"mass", units.ParseMassUnit, "grams", "g"}, {"mass", units.ParseMassUnit, "lbs", "lb"}, {"mass", units.ParseMassUnit, "KG", "kg"},
		{"length", units.ParseLengthUnit, "\"", "in"}, {"length", units.ParseLengthUnit, "feet", "ft"}, {"length", units.ParseLengthUnit, "cm", "cm"},
	}
	for _, c := range cases {
		t.Run(c.name+" in "+c.in, func(t *testing.T) {
			if got, err := c.parse(c.in); err != nil || got != c.want {
				t.Errorf("got %q (%v), want %q", got, err, c.want)
			}
		})
	}
	for name, err := range map[string]error{"stone": second(units.Grams(1, "stone")), "": second(units.Litres(1, " ")), "g": second(units.Centimetres(1, "g"))} {
		if err == nil || !strings.Contains(err.Error(), "expected") {
			t.Errorf("unit %q: %v, want a sentence with what is expected", name, err)
		}
	}
}

func second(_ float64, err error) error { return err }

func TestParseQuantity(t *testing.T) {
	for in, want := range map[string]units.Quantity{
		" Alkalinity ": units.Alkalinity, "alk": units.Alkalinity, "KH": units.Alkalinity, "Ca": units.Calcium, "MG": units.Magnesium,
		"no3": units.Nitrate, "NO₂": units.Nitrite, "po4": units.Phosphate, "temp": units.Temperature, "ORP": units.Redox,
		"oxidation-reduction potential": units.Redox, "Total  Ammonia": units.TotalAmmonia, "ph": units.PH, "specific gravity": units.Salinity,
	} {
		if got, err := units.ParseQuantity(in); err != nil || got != want {
			t.Errorf("%q: got %q (%v), want %q", in, got, err, want)
		}
	}
	_, err := units.ParseQuantity("colour")
	if err == nil || !strings.Contains(err.Error(), `quantity "colour" is not known, expected temperature, salinity`) {
		t.Errorf("got %v", err)
	}
}

// Canonical spellings parse to themselves, and the first is the default.
func TestCanonicalSpellings(t *testing.T) {
	for _, q := range units.Quantities() {
		if q.Default() != q.Units()[0] {
			t.Errorf("%s: default %s, units %v", q, q.Default(), q.Units())
		}
		for _, u := range q.Units() {
			for _, in := range []string{u, strings.ToUpper(u), strings.ToLower(u), " " + u + " "} {
				if got, err := units.ParseUnit(q, in); err != nil || got != u {
					t.Errorf("%s: %q gave %q (%v), want %q", q, in, got, err, u)
				}
			}
		}
	}
}

func FuzzParseUnit(f *testing.F) {
	for _, s := range []string{"dKH", "mg/L", "µmol/kg", "SG 25/25", "℃", "\xff", "", "ppm as NO3-N", "½", "⁻¹"} {
		f.Add(3, s)
	}
	f.Fuzz(func(t *testing.T, which int, s string) {
		all := units.Quantities()
		q := all[uint(which)%uint(len(all))]
		got, err := units.ParseUnit(q, s)
		switch {
		case err != nil && (got != "" || !utf8.ValidString(err.Error()) || len(err.Error()) > 900):
			t.Fatalf("%s %q: got %q and %q", q, s, got, err)
		case err == nil && !slices.Contains(q.Units(), got):
			t.Fatalf("%s %q gave %q, not one of %v", q, s, got, q.Units())
		}
		for _, parse := range []func(string) (string, error){units.ParseVolumeUnit, units.ParseMassUnit, units.ParseLengthUnit} {
			if u, err := parse(s); err == nil {
				if again, err := parse(u); err != nil || again != u {
					t.Fatalf("%q gave %q, which gave %q (%v)", s, u, again, err)
				}
			}
		}
		if q, err := units.ParseQuantity(s); err == nil && q.Default() == "" {
			t.Fatalf("%q gave quantity %q without units", s, q)
		}
	})
}

func ExampleParseUnit() {
	u, _ := units.ParseUnit(units.Nitrate, "ppm as NO3-N")
	_, err := units.ParseUnit(units.Alkalinity, "degrees")
	fmt.Println(u)
	fmt.Println(err)
	// Output:
	// mg/L N
	// unit "degrees" does not fit alkalinity, expected dKH, meq/L, mg/L CaCO3 or µmol/kg
}
