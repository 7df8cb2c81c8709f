package standing

import (
	"testing"

	"driftline/units"
)

func TestNewWater(t *testing.T) {
	s := surveyOf(t, onDay(30),
		at(-1, `"kind":"mix","name":"reef mix","composition":[{"quantity":"calcium","value":440,"unit":"mg/L"},{"quantity":"salinity","value":33,"unit":"PSU"}]`),
		at(10, `"kind":"mix","name":"reef mix","composition":[{"quantity":"calcium","value":410,"unit":"mg/L"}]`))
	change := func(day float64) rawChange { return rawChange{at: onDay(day), mix: "Reef  Mix", litres: 40} }
	cases := []struct {
		name      string
		q         units.Quantity
		c         rawChange
		value, sd float64
	}{
		{"as declared by then", units.Calcium, change(5), 440, 0.035 * 440},
		{"as declared anew", units.Calcium, change(15), 410, 0.035 * 410},
		{"not named: natural water at the mix's salinity", units.Magnesium, change(5), 1310 * 33 / 35., 70 * 33 / 35.},
		{"a nutrient not named is none", units.Nitrate, change(5), 0, 0.2},
		{"salinity as declared", units.Salinity, change(5), 33, 0.4},
		{"a mix nobody declared", units.Alkalinity, rawChange{at: onDay(5), mix: "other"}, 8, 1.5},
		{"no mix at all", units.Phosphate, rawChange{at: onDay(5)}, 0, 0.005},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			w := s.newWater(c.q, c.c)
			near(t, "value", w.value, c.value, 1e-9)
			near(t, "doubt", w.sd, c.sd, 1e-9)
		})
	}
}

// Dilution is exact arithmetic: X1 = X0(1−f) + X·f. 40 of 400 L of water with
// 450 mg/L into 400 mg/L gives 405.
func TestDilutionByHand(t *testing.T) {
	s := surveyOf(t, onDay(1.011), at(-1, `"kind":"instrument","name":"fine","quantity":"calcium","method":"laboratory","unit":"mg/L","sd":0.01,"bias_sd":0.001,"resolution":0.001`),
		reading(0, "calcium", "400", "mg/L", "fine"), reading(0.99, "calcium", "400", "mg/L", "fine"), reading(1.01, "calcium", "405", "mg/L", "fine"),
		at(1, `"kind":"water change","tank":"quay","volume":40,"unit":"L","composition":[{"quantity":"calcium","value":450,"unit":"mg/L"}]`))
	m := s.newMatter(units.Calcium)
	if n := len(m.kase.Changes); n != 1 {
		t.Fatalf("%d changes", n)
	}
	near(t, "fraction", m.kase.Changes[0].Fraction, 0.1, 1e-12)
	q := m.quantity(30)
	near(t, "effect of the change", q.Deeds[0].Effect, 5, 0.3)
	near(t, "level", q.Level.Mean, 405, 0.3)
}

func TestStandingErrorsAreShared(t *testing.T) {
	lines := []string{reading(0, "calcium", "420", "mg/L", ""),
		at(-1, `"kind":"mix","name":"usual","composition":[{"quantity":"calcium","value":440,"unit":"mg/L"}]`)}
	for d := 1.0; d < 5; d++ {
		lines = append(lines, at(d*7, `"kind":"water change","tank":"quay","volume":40,"unit":"L","mix":"usual"`))
	}
	lines = append(lines, at(40, `"kind":"water change","tank":"quay","volume":40,"unit":"L","composition":[{"quantity":"calcium","value":400,"unit":"mg/L"}]`))
	m := surveyOf(t, onDay(50), lines...).newMatter(units.Calcium)
	if len(m.kase.Mixes) != 1 {
		t.Fatalf("%d standing errors, want 1", len(m.kase.Mixes))
	}
	near(t, "its doubt", m.kase.Mixes[0], 15.4, 1e-9)
	last := m.kase.Changes[4]
	if m.kase.Changes[0].Mix != 0 || last.Mix != -1 || last.SD == 0 {
		t.Errorf("changes %+v", m.kase.Changes)
	}
}

func TestShownUnitAndBand(t *testing.T) {
	lines := []string{reading(0, "nitrate", "1.1", "mg/L N", ""), reading(1, "alkalinity", "2.9", "meq/L", ""),
		reading(1, "magnesium", "1300", "ppm", ""),
		at(0, `"kind":"band","tank":"quay","quantity":"alkalinity","unit":"dKH","low":7.5,"aim":8,"high":9`)}
	s := surveyOf(t, onDay(2), lines...)
	for q, want := range map[units.Quantity]string{units.Nitrate: "mg/L N", units.Alkalinity: "dKH", units.Magnesium: "mg/L"} {
		if got := s.shownUnit(q); got != want {
			t.Errorf("%s in %q, want %q", q, got, want)
		}
	}
	q := s.newMatter(units.Nitrate).quantity(30)
	if q.Band.FromKeeper || q.Band.Low == nil || q.Band.High == nil {
		t.Fatalf("band %+v", q.Band)
	}
	// Default band of a mixed tank, 2 to 10 mg/L NO3 (common practice), times 14.007/62.004.
	near(t, "low", *q.Band.Low, 2*14.007/62.004, 1e-4)
	near(t, "high", *q.Band.High, 10*14.007/62.004, 1e-4)
	near(t, "reading", q.Readings[0].Value, 1.1, 1e-9)
}

func TestSpecificGravityKeepsItsReadings(t *testing.T) {
	s := surveyOf(t, onDay(9), reading(0, "salinity", "1.0264", "SG 25/25", ""), reading(3, "salinity", "1.0250", "SG 25/25", ""))
	q := s.newMatter(units.Salinity).quantity(30)
	near(t, "as typed", q.Readings[0].Value, 1.0264, 1e-6)
	if q.Level.Mean < 1.02 || q.Level.Mean > 1.03 || q.Level.SD > 0.002 || q.Level.SD <= 0 {
		t.Errorf("level %+v", q.Level)
	}
	// S 35 is 1.0264 at 25/25 (TEOS-10 density, computed); the default band is 34 to 36 PSU.
	near(t, "band", (*q.Band.Low+*q.Band.High)/2, 1.0264, 1e-4)
}
