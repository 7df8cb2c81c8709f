package standing

import (
	"math"
	"testing"

	"driftline/units"
)

func salinityAt(day float64, value, unit, sample string) string {
	return at(day, `"kind":"reading","tank":"quay","quantity":"salinity","value":`+value+`,"unit":"`+unit+`"`+sample)
}

// Water of salinity 35 weighs 1024.766 kg/m³ at 20 °C (TEOS-10 check table of
// package seawater) and pure water 997.0476 at 25 °C, and the glass is 5 · 25e-6
// smaller, so a 25/25 hydrometer shows 1024.766/997.0476 · (1 - 0.000125) =
// 1.027672 in it. 42.914 mS/cm at 15 °C is salinity 35 (Culkin and Smith
// 1980; on IPTS-68, 0.0036 °C off the scale used here).
// Untouched, 1.027672 is read as at 25 °C: 36.7 (docs/units.md).
func TestReadingsAreCorrectedForTheSample(t *testing.T) {
	s := surveyOf(t, onDay(10),
		salinityAt(0, "1.027672", "SG 25/25", `,"sample_temperature":20,"temperature_unit":"°C"`),
		salinityAt(1, "1.027672", "SG 25/25", `,"sample_temperature":68,"temperature_unit":"°F"`),
		salinityAt(2, "42.914", "mS/cm", `,"sample_temperature":15,"temperature_unit":"°C"`),
		salinityAt(3, "1.027672", "SG 25/25", ""),
		salinityAt(4, "35", "PSU", `,"sample_temperature":15,"temperature_unit":"°C"`))
	got := s.readings[units.Salinity]
	if len(got) != 5 {
		t.Fatalf("%d readings", len(got))
	}
	for i, want := range []float64{35, 35, 35, 36.7, 35} {
		near(t, "salinity", got[i].value, want, []float64{0.001, 0.001, 0.005, 0.05, 0}[i])
	}
}

// A temperature at which the reading would be no salinity at all is left out.
func TestImpossibleSampleTemperature(t *testing.T) {
	s := surveyOf(t, onDay(1), salinityAt(0, "1.0005", "SG 25/25", `,"sample_temperature":5,"temperature_unit":"°C"`))
	want, err := units.Convert(units.Salinity, 1.0005, "SG 25/25", "PSU")
	if err != nil || len(s.readings[units.Salinity]) != 1 {
		t.Fatal(err, s.readings)
	}
	near(t, "salinity", s.readings[units.Salinity][0].value, want, 1e-9)
}

// A declared hydrometer with 0.0005 of repetition, 0.001 of bias and steps of
// 0.0005, at 0.0005 of specific gravity to 0.66 PSU near 35 (docs/units.md, "0.7").
func TestMeasurements(t *testing.T) {
	f := replay(t, onDay(10), tankLine(),
		at(-1, `"kind":"instrument","name":"glass","quantity":"salinity","method":"hydrometer","unit":"SG 25/25","sd":0.0005,"bias_sd":0.001,"resolution":0.0005`),
		at(0, `"kind":"reading","tank":"quay","quantity":"salinity","value":1.0265,"unit":"SG","instrument":"glass","sample_temperature":24,"temperature_unit":"°C"`))
	got, err := Measurements(f, "Quay", onDay(10))
	if err != nil || len(got[units.Salinity]) != 1 {
		t.Fatal(got, err)
	}
	m := got[units.Salinity][0]
	near(t, "value", m.Value, 35, 0.6)
	near(t, "repetition", m.SD, 0.664*math.Sqrt(1+1./12), 0.02)
	near(t, "bias", m.Bias, 2*0.664, 0.03)
	if m.Unit != "SG 25/25" || m.Instrument != "glass" || !m.At.Equal(onDay(0)) {
		t.Errorf("%+v", m)
	}
	if _, err := Measurements(f, "nowhere", onDay(10)); err == nil {
		t.Error("a tank nobody declared has no readings")
	}
	tank, _ := f.Tank("quay")
	if u := ShownUnit(tank, units.Salinity, got[units.Salinity]); u != "SG 25/25" {
		t.Errorf("shown in %q", u)
	}
	if b := BandOf(tank, units.PH); b.FromKeeper || b.Low == nil || *b.Low != 7.9 {
		t.Errorf("band of a mixed tank: %+v", b)
	}
}
