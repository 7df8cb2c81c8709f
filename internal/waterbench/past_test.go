package waterbench_test

import (
	"math"
	"strings"
	"testing"

	"driftline/internal/waterbench"
	"driftline/units"
)

func series(t testing.TB, all []waterbench.Series, key string) waterbench.Series {
	t.Helper()
	for _, s := range all {
		if s.Key == key {
			return s
		}
	}
	t.Fatalf("no series %q", key)
	return waterbench.Series{}
}

// A tank held at 1,000 µatm while alkalinity climbs from 7 to 10 dKH in sixty
// days: pH climbs, the carbon dioxide found does not.
func TestPastFindsCarbonDioxide(t *testing.T) {
	l := newLog()
	for d := 0.0; d <= 60; d++ {
		l.read(d+0.5, "pH", truePH(t, 7+d/20, 1000), 3, "NBS")
		if int(d)%10 == 0 {
			l.read(d+0.5, "alkalinity", 7+d/20, 2, "dKH")
			l.read(d+0.5, "salinity", 35, 1, "PSU")
			l.read(d+0.5, "temperature", 25.5, 1, "°C")
			l.read(d+0.5, "calcium", 400, 0, "mg/L")
		}
	}
	all, err := waterbench.Past(l.facts(61), "quay", onDay(61))
	if err != nil {
		t.Fatal(err)
	}
	co2 := series(t, all, "carbon dioxide")
	if len(co2.Points) != 61 {
		t.Fatalf("%d points", len(co2.Points))
	}
	for i, p := range co2.Points {
		near(t, "carbon dioxide", p.Mean, 1000, 12) // nearest alkalinity up to a day off: 0.05 of 7 dKH
		if i%10 == 5 && !(p.SD > co2.Points[i+5].SD) {
			t.Errorf("day %d: the doubt %g does not grow away from readings, %g", i, p.SD, co2.Points[i+5].SD)
		}
	}
	ratio := series(t, all, "carbon dioxide to air")
	near(t, "against open air", ratio.Points[60].Mean, 1000/407., 0.04) // 420 ppm less 3 % of moisture
	contains(t, ratio.Says, "More carbon dioxide than open air")
	contains(t, series(t, all, "aragonite").Says, "it rose by")
	contains(t, co2.Says, "no clear change")
	for _, key := range []string{"un-ionised ammonia", "oxygen saturation", "magnesium at 35"} {
		if s := series(t, all, key); len(s.Points) != 0 || !strings.HasPrefix(s.Needs, "Needs readings of") || s.Says != "" {
			t.Errorf("%s: %+v", key, s)
		}
	}
}

// 400 mg/L at salinity 32 is 437.5 at 35; its doubt in shares, √((14.1/400)² +
// (1.1/32)²) with the method's usual errors.
func TestPastBringsIonsToSalinity(t *testing.T) {
	l := newLog()
	l.read(1, "calcium", 400, 0, "mg/L")
	l.read(1.2, "salinity", 32, 1, "PSU")
	l.read(1.5, "temperature", 25, 1, "°C")
	l.read(1.5, "oxygen", 6.77, 2, "mg/L")
	l.read(1.5, "total ammonia", 0.5, 2, "mg/L")
	l.read(1.5, "pH", 8.1, 2, "NBS")
	all, err := waterbench.Past(l.facts(2), "QUAY", onDay(2))
	if err != nil {
		t.Fatal(err)
	}
	s := series(t, all, "calcium at 35")
	near(t, "calcium at 35", s.Points[0].Mean, 437.5, 1e-9)
	if !(s.Points[0].SD > 437.5*0.045 && s.Points[0].SD < 437.5*0.08) {
		t.Errorf("doubt %g", s.Points[0].SD)
	}
	if s.Low == nil || *s.Low != 400 {
		t.Errorf("the band of a mixed tank begins at 400: %v", s.Low)
	}
	// 6.77 mg/L is full at 35 and 25 °C (Garcia and Gordon 1992); at 32 more fits in.
	near(t, "oxygen", series(t, all, "oxygen saturation").Points[0].Mean, 98.2, 0.5)
	// An electrode's 8.1: about 5 % un-ionised (testdata/ammonia_share.csv, at 25.5 °C).
	near(t, "ammonia", series(t, all, "un-ionised ammonia").Points[0].Mean, 0.5*17.031/18.039*0.051, 0.0012)
}

func TestPastWantsATank(t *testing.T) {
	if _, err := waterbench.Past(newLog().facts(1), "reef", onDay(1)); err == nil {
		t.Error("a tank nobody declared has a past")
	}
	all, err := waterbench.Past(newLog().facts(1), "quay", onDay(1))
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range all {
		if s.Needs == "" || len(s.Points) != 0 {
			t.Errorf("%s of an empty log: %+v", s.Key, s)
		}
	}
}

// A hydrometer read in cool water is corrected before ions are brought to 35:
// 1.027672 on a 25/25 glass at 20 °C is 35 (1024.766/997.0476 · (1 - 0.000125)).
func TestPastCorrectsTheSample(t *testing.T) {
	l := newLog()
	l.read(1, "calcium", 420, 0, "mg/L")
	l.sample(1, "salinity", "1.027672", "SG 25/25", "20")
	all, err := waterbench.Past(l.facts(2), "quay", onDay(2))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "calcium at 35", series(t, all, "calcium at 35").Points[0].Mean, 420, 0.02)
	twenty := 20.0
	s := sheetOf(t, waterbench.Sample{Entries: []waterbench.Entry{{Quantity: units.Salinity, Value: 1.027672, Unit: "SG", SampleTempC: &twenty}}})
	near(t, "salinity", find(t, s, "salinity").Value, 35, 0.001)
}

// Two waters: 10 % of 455 mg/L in 395 gives 401; 10 % of 35.5 in 33 gives 33.25.
func TestCompareByHand(t *testing.T) {
	water := func(name string, sp, ca, pH, alk float64) waterbench.Sheet {
		s := waterbench.Sample{Name: name, Entries: []waterbench.Entry{entry(units.Salinity, sp, "PSU", 0.1), entry(units.Temperature, 25.5, "°C", 0.1),
			entry(units.Calcium, ca, "mg/L", 10), entry(units.PH, pH, "NBS", 0.02), entry(units.Alkalinity, alk, "dKH", 0.2)}}
		return sheetOf(t, s)
	}
	tank, mix := water("the tank", 33, 395, 7.9, 7.2), water("the mix", 35.5, 455, 8.4, 9.2)
	got := map[string]waterbench.Difference{}
	for _, d := range waterbench.Compare(tank, mix) {
		got[d.Key] = d
	}
	near(t, "calcium apart", got["calcium"].Value, 60, 1e-9)
	near(t, "its doubt", got["calcium"].SD, 10*math.Sqrt2, 1e-9)
	contains(t, got["calcium"].Says, "higher in the mix than in the tank", "from 395 mg/L to 401 mg/L")
	contains(t, got["salinity"].AfterChange, "33.25")
	contains(t, got["pH"].Says, "before air evens it out")
	for key, d := range got {
		if d.Real != (math.Abs(d.Value) > 2*d.SD) || d.Real != (d.Says != "") {
			t.Errorf("%s: %+v", key, d)
		}
	}
	for _, d := range waterbench.Compare(tank, tank) {
		if d.Value != 0 || d.Real {
			t.Errorf("a water against itself: %+v", d)
		}
		if number, _, _ := strings.Cut(d.AfterChange, " "); !strings.HasPrefix(d.A, number[:3]) {
			t.Errorf("%s changed from %s to %s with its own water", d.Key, d.A, d.AfterChange)
		}
	}
}
