package units_test

import (
	"math"
	"testing"

	"driftline/seawater"
	"driftline/units"

	"pgregory.net/rapid"
)

var minding = []string{"SG 25/25", "SG 20/20", "SG 60/60", "mS/cm"}

// By hand: at the pair's own temperature nothing is corrected. At 20 °C water of
// 35 weighs 1024.766 kg/m³ (TEOS-10 check table of package seawater, rho_exact),
// pure water at 25 °C 997.0476, and the glass is 5 · 25e-6 smaller in volume, so a
// 25/25 hydrometer shows 1024.766/997.0476 · (1 - 0.000125) = 1.027672. In mS/cm:
// 42.914 at 15 °C (IPTS-68) is salinity 35 (Culkin and Smith 1980).
func TestConvertSampleByHand(t *testing.T) {
	for _, c := range []struct {
		v     float64
		from  string
		tempC float64
		want  float64
		near  float64
	}{
		{1024.766 / 997.0476 * (1 - 0.000125), "SG 25/25", 20, 35, 0.001},
		{42.914, "mS/cm", 15 / 1.00024, 35, 1e-6},
		{35, "PSU", math.NaN(), 35, 0},
	} {
		got, err := units.ConvertSample(units.Salinity, c.v, c.from, "PSU", c.tempC)
		if err != nil || math.Abs(got-c.want) > c.near {
			t.Errorf("%g %s at %g °C = %g PSU (%v), want %g", c.v, c.from, c.tempC, got, err, c.want)
		}
	}
}

// At the temperature an instrument is marked for, a sample is read as any other.
func TestConvertSampleAtItsOwnTemperature(t *testing.T) {
	own := map[string]float64{"SG 25/25": 25, "SG 20/20": 20, "SG 60/60": seawater.Pair60.SampleC, "mS/cm": 25}
	for _, unit := range minding {
		v, err := units.Convert(units.Salinity, 33, "PSU", unit)
		if err != nil {
			t.Fatal(err)
		}
		got, err := units.ConvertSample(units.Salinity, v, unit, "PSU", own[unit])
		if err != nil || math.Abs(got-33) > 1e-9 {
			t.Errorf("%g %s gave %g PSU (%v)", v, unit, got, err)
		}
		same, err := units.ConvertSample(units.Salinity, v, unit, unit, own[unit])
		if err != nil || math.Abs(same-v) > 1e-12 {
			t.Errorf("%g %s came back as %g (%v)", v, unit, same, err)
		}
		sd, err := units.ConvertSampleSD(units.Salinity, v, 0.0005, unit, "PSU", own[unit])
		want, plainErr := units.ConvertSD(units.Salinity, v, 0.0005, unit, "PSU")
		if err != nil || plainErr != nil || !alike(sd, want, 1e-9) {
			t.Errorf("doubt %g against %g (%v, %v)", sd, want, err, plainErr)
		}
	}
}

// A number or an error over anything; a doubt is the slope of the conversion.
func TestConvertSampleProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom(minding).Draw(t, "unit")
		sp, tempC := rapid.Float64Range(3, 55).Draw(t, "sp"), rapid.Float64Range(0, 40).Draw(t, "temp")
		var v float64
		var err error
		if unit == "mS/cm" {
			v, _, err = seawater.ExtrapolateConductivity(sp, tempC, 0)
		} else {
			pair := map[string]seawater.Pair{"SG 25/25": seawater.Pair25, "SG 20/20": seawater.Pair20, "SG 60/60": seawater.Pair60}[unit]
			v, err = seawater.HydrometerReading(sp, pair, tempC)
		}
		if err != nil {
			t.Fatal(err)
		}
		got, err := units.ConvertSample(units.Salinity, v, unit, "PSU", tempC)
		if err != nil || math.Abs(got-sp) > 1e-6 {
			t.Fatalf("%g %s at %g °C gave %g PSU (%v), want %g", v, unit, tempC, got, err, sp)
		}
		sd, err := units.ConvertSampleSD(units.Salinity, v, 1e-6*v, unit, "PSU", tempC)
		if err != nil {
			t.Fatal(err)
		}
		more, err := units.ConvertSample(units.Salinity, v*(1+1e-6), unit, "PSU", tempC)
		if err != nil || !alike(sd, more-got, 1e-3) {
			t.Fatalf("doubt %g, slope %g (%v)", sd, more-got, err)
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom(append(minding, "PSU", "nonsense")).Draw(t, "unit")
		v, tempC := rapid.Float64().Draw(t, "v"), rapid.Float64().Draw(t, "temp")
		if got, err := units.ConvertSample(units.Salinity, v, unit, "PSU", tempC); err == nil && (math.IsNaN(got) || math.IsInf(got, 0)) {
			t.Fatalf("%g %s gave %g", v, unit, got)
		}
		if got, err := units.ConvertSampleSD(units.Salinity, v, 1, unit, "PSU", tempC); err == nil && (math.IsNaN(got) || math.IsInf(got, 0)) {
			t.Fatalf("%g %s gave a doubt of %g", v, unit, got)
		}
	})
}

func TestSampleAssumptions(t *testing.T) {
	if !units.MindsTemperature(units.Salinity, "SG") || units.MindsTemperature(units.Salinity, "PSU") || units.MindsTemperature(units.Calcium, "mg/L") {
		t.Error("SG minds the sample's temperature, PSU and mg/L do not")
	}
	if units.SampleAssumption(units.Salinity, "SG 25/25", "PSU") == "" || units.SampleAssumption(units.Calcium, "mg/L", "µg/L") != "" {
		t.Error("only what takes something for granted has a phrase")
	}
}

func TestConvertSampleAllocatesNothing(t *testing.T) {
	if n := testing.AllocsPerRun(100, func() {
		if _, err := units.ConvertSample(units.Salinity, 1.0264, "SG 25/25", "PSU", 24); err != nil {
			t.Fatal(err)
		}
	}); n != 0 {
		t.Errorf("%v allocations a conversion", n)
	}
}
