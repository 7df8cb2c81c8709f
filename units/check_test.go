package units_test

import (
	"fmt"
	"math"
	"testing"

	"driftline/units"
)

func TestCheck(t *testing.T) {
	cases := []struct {
		name     string
		quantity units.Quantity
		v        float64
		unit     string
		want     string // "" when possible
	}{
		{"usual calcium", units.Calcium, 425, "mg/L", ""},
		{"negative calcium", units.Calcium, -5, "ppm", "calcium −5 mg/L is not possible, expected 0 to 2,000 mg/L"},
		{"pH with a lost point", units.PH, 82, "NBS", "pH 82 NBS is not possible, expected 4 to 12 NBS"},
		{"boiling", units.Temperature, 300, "°C", "temperature 300 °C is not possible, expected −2 to 50 °C"},
		{"warm in Fahrenheit", units.Temperature, 78.5, "°F", ""},
		{"Fahrenheit called Celsius", units.Temperature, 78.5, "°C", "temperature 78.5 °C is not possible, expected −2 to 50 °C"},
		{"alkalinity with a lost point", units.Alkalinity, 84, "dKH", "alkalinity 84 dKH is not possible, expected 0 to 40 dKH"},
		{"gravity", units.Salinity, 1.0264, "SG", ""},
		{"gravity of fresh water", units.Salinity, 1, "SG", ""},
		{"salinity called gravity", units.Salinity, 35, "SG", "salinity 35 SG 25/25 is not possible, expected 1 to 1.0454 SG 25/25"},
		{"upper end in another unit", units.Temperature, 122, "°F", ""},
		{"not a number", units.Calcium, math.NaN(), "mg/L", "calcium is not a number"},
		{"redox below zero", units.Redox, -120, "mV", ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got := ""
			if err := units.Check(c.quantity, c.v, c.unit); err != nil {
				got = err.Error()
			}
			if got != c.want {
				t.Errorf("got  %q\nwant %q", got, c.want)
			}
		})
	}
}

func TestFormat(t *testing.T) {
	cases := []struct {
		got, want string
	}{
		{units.Format(units.Magnesium, 1236.4, "mg/L"), "1,236 mg/L"},
		{units.Format(units.Alkalinity, 8.27, "dKH"), "8.3 dKH"},
		{units.Format(units.Phosphate, 0.004, "ppm"), "0.004 mg/L PO4"},
		{units.Format(units.Phosphate, 0, "mg/L PO4"), "0.00 mg/L PO4"},
		{units.Format(units.Salinity, 1.02637, "SG"), "1.0264 SG 25/25"},
		{units.Format(units.Temperature, -0.01, "°C"), "−0.01 °C"},
		{units.Format(units.Redox, -1234, "mV"), "−1,234 mV"},
		{units.Format(units.Calcium, math.NaN(), "mg/L"), "not known"},
		{units.Format(units.Calcium, 1e6, "mg/L"), "1,000,000 mg/L"},
		{units.FormatPM(units.Magnesium, 1236.4, 18.2, "mg/L"), "1,236 ± 18 mg/L"},
		{units.FormatPM(units.Magnesium, 1236.4, 43, "mg/L"), "1,236 ± 43 mg/L"},
		{units.FormatPM(units.Alkalinity, 8.312, 0.04, "dKH"), "8.31 ± 0.04 dKH"},
		{units.FormatPM(units.Alkalinity, 8.312, 0.12, "dKH"), "8.31 ± 0.12 dKH"},
		{units.FormatPM(units.Alkalinity, 8.312, 0.6, "dKH"), "8.3 ± 0.6 dKH"},
		{units.FormatPM(units.Nitrate, 60.3, 25, "mg/L NO3"), "60 ± 25 mg/L NO3"},
		{units.FormatPM(units.Nitrate, 60.3, 0.0971, "mg/L NO3"), "60.30 ± 0.10 mg/L NO3"},
		{units.FormatPM(units.PH, 8.214, 0.03, "NBS"), "8.21 ± 0.03 NBS"},
		{units.FormatPM(units.Salinity, 1.0264, 0.0005, "SG 25/25"), "1.0264 ± 0.0005 SG 25/25"},
		{units.FormatPM(units.Calcium, 425, 1e-9, "mg/L"), "425.00 ± 0.01 mg/L"},
		{units.FormatPM(units.Calcium, 425, 0, "mg/L"), "425 mg/L"},
		{units.FormatPM(units.Calcium, 425, math.NaN(), "mg/L"), "425 mg/L"},
		{units.FormatPM(units.Calcium, math.Inf(1), 1, "mg/L"), "not known"},
	}
	for _, c := range cases {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func ExampleFormatPM() {
	fmt.Println(units.FormatPM(units.Magnesium, 1236.4, 18.2, "mg/L"))
	// Output: 1,236 ± 18 mg/L
}

func ExampleCheck() {
	fmt.Println(units.Check(units.PH, 82, "NBS"))
	// Output: pH 82 NBS is not possible, expected 4 to 12 NBS
}
