package makeup_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"driftline/internal/makeup"
	"driftline/internal/substance"
	"driftline/units"
)

func find(name string) (substance.Substance, error) { return substance.Find(nil, name, time.Time{}) }

func figures(t *testing.T, text string) []makeup.Figure {
	t.Helper()
	f, err := makeup.ParseFigures(text)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func mix(t *testing.T, have, want string, with ...string) makeup.Batch {
	t.Helper()
	b, err := makeup.Mix(makeup.Ask{Litres: 100, Salinity: 35, Have: figures(t, have), Want: figures(t, want), With: with}, find)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func amount(b makeup.Batch, name string) float64 {
	for _, a := range b.Additions {
		if a.Substance == name {
			return a.Amount
		}
	}
	return math.NaN()
}

func result(b makeup.Batch, q units.Quantity) float64 {
	for _, f := range b.Result {
		if f.Quantity == q {
			return f.Value
		}
	}
	return math.NaN()
}

// By hand, with IUPAC weights of 2021, in 100 L:
//
//	magnesium 1180 to 1400 mg/L: 22 g Mg; as MgCl2·6H2O 22·203.295/24.305 = 184.0 g
//	calcium 395 to 430 mg/L: 3.5 g Ca; as CaCl2·2H2O 3.5·147.008/40.078 = 12.84 g
//	alkalinity 7.1 to 8.5 dKH: 1.4·0.356652·100 = 49.93 meq; as NaHCO3 4.195 g
func TestRecipeByHand(t *testing.T) {
	b := mix(t, "magnesium=1180mg/L,calcium=395mg/L,alkalinity=7.1dKH", "magnesium=1400mg/L,calcium=430mg/L,alkalinity=8.5dKH",
		"magnesium chloride hexahydrate", "calcium chloride dihydrate", "sodium bicarbonate")
	for name, want := range map[string]float64{"magnesium chloride hexahydrate": 184.0, "calcium chloride dihydrate": 12.84, "sodium bicarbonate": 4.195} {
		if got := amount(b, name); math.Abs(got-want) > 0.005*want {
			t.Errorf("%s: %v g, want %v", name, got, want)
		}
	}
	for q, want := range map[units.Quantity]float64{units.Magnesium: 1400, units.Calcium: 430, units.Alkalinity: 8.5} {
		if got := result(b, q); math.Abs(got-want) > 0.003*want {
			t.Errorf("%s comes out at %v, want %v", q, got, want)
		}
	}
	var order strings.Builder
	for _, o := range b.Order {
		order.WriteString(o.Do + "\n")
	}
	text := order.String()
	mg, ca, alk := strings.Index(text, "magnesium chloride"), strings.Index(text, "calcium chloride"), strings.Index(text, "sodium bicarbonate")
	if !(0 < mg && mg < ca && ca < alk) { // common practice, no source
		t.Errorf("the order is\n%s", text)
	}
}

// Calcium hydroxide brings calcium and alkalinity together: 35 mg/L calcium, as
// Ca(OH)2 (74.092 g/mol), bring 35/40.078·2 = 1.7466 meq/L, 4.897 dKH. Where only
// 3 dKH are wanted, no bicarbonate is needed and the batch says that it overshoots.
func TestSubstancesAreSolvedTogether(t *testing.T) {
	b := mix(t, "calcium=395,alkalinity=2", "calcium=430,alkalinity=8", "calcium hydroxide", "sodium bicarbonate")
	if got, want := amount(b, "calcium hydroxide"), 3.5*74.092/40.078; math.Abs(got-want) > 0.006*want {
		t.Errorf("calcium hydroxide %v g, want %v", got, want)
	}
	if got, want := amount(b, "sodium bicarbonate"), (6-4.897)*2.9961; math.Abs(got-want) > 0.02*want {
		t.Errorf("sodium bicarbonate %v g, want %v", got, want)
	}
	if got := result(b, units.Alkalinity); math.Abs(got-8) > 0.05 {
		t.Errorf("alkalinity comes out at %v", got)
	}
}

func TestWhatCannotBeTakenOutIsSaid(t *testing.T) {
	b := mix(t, "magnesium=1500", "magnesium=1350")
	if len(b.Additions) != 0 || !strings.Contains(strings.Join(b.Warnings, " "), "cannot be taken out") {
		t.Errorf("%+v", b)
	}
}

// Natural ratio at salinity 35 and 25 °C: calcium 421.7, magnesium 1313.7, potassium
// 408 mg/L (Millero et al. 2008 with IUPAC weights); alkalinity of Standard Seawater
// 2300 µmol/kg, 6.6 dKH.
func TestNaturalRatio(t *testing.T) {
	for q, want := range map[units.Quantity]float64{units.Calcium: 421.7, units.Magnesium: 1313.7, units.Potassium: 408.4, units.Alkalinity: 6.6} {
		if got, ok := makeup.Natural(q, 35, 25); !ok || math.Abs(got-want) > 0.004*want {
			t.Errorf("%s %v, want %v", q, got, want)
		}
	}
}

// By hand: 1200 towards 1400 by tenths: 1220, 1238, 1254.2, …; past 1300 when
// 0.9^n <= 0.5, so n = 7.
func TestDilutionSeries(t *testing.T) {
	s, err := makeup.ChangesToReach(1200, 1400, 1300, 0.1)
	if err != nil || len(s) != 8 || s[1].Level != 1220 || math.Abs(s[2].Level-1238) > 1e-9 || s[7].Level < 1300 || s[6].Level >= 1300 {
		t.Errorf("%v, %v", s, err)
	}
	for _, bad := range [][4]float64{{1200, 1400, 1450, 0.1}, {1200, 1100, 1300, 0.1}, {1200, 1400, 1300, 0}, {1200, 1400, 1300, 1.2}, {40, 0.5, 0.4, 0.2}} {
		if s, err := makeup.ChangesToReach(bad[0], bad[1], bad[2], bad[3]); err == nil {
			t.Errorf("%v gives %v", bad, s)
		}
	}
}

// By hand: 10 % a week of water at 8 dKH with 0.1 dKH used a day: 0.7 a week, so
// after a change 8 - 0.7·0.9/0.1 = 1.7, before the next 1.0. A routine that starts
// there stays there.
func TestRoutineSettles(t *testing.T) {
	r := makeup.Routine{Share: 0.1, EveryDays: 7, Fresh: 8, Demand: 0.1}
	after, before := r.Settled()
	if math.Abs(after-1.7) > 1e-12 || math.Abs(before-1.0) > 1e-12 {
		t.Errorf("settles at %v and %v, want 1.7 and 1.0", after, before)
	}
	path := r.Path(after, 56)
	if len(path) != 57 || math.Abs(path[56]-after) > 1e-9 || math.Abs(path[6]-(after-0.6)) > 1e-9 {
		t.Errorf("path %v", path)
	}
	long := r.Path(9, 3000)
	if math.Abs(long[2996]-after) > 1e-6 { // 428 weeks
		t.Errorf("after 428 weeks %v, want %v", long[2996], after)
	}
}

func FuzzParseFigures(f *testing.F) {
	f.Add("magnesium=1180mg/L,calcium=395mg/L,alkalinity=7.1dKH")
	f.Add("alk=8,,ca = 400 ppm")
	f.Add("=,x=1,magnesium=1e999")
	f.Fuzz(func(t *testing.T, text string) {
		figures, err := makeup.ParseFigures(text)
		if err != nil {
			return
		}
		for _, x := range figures {
			if math.IsNaN(x.Value) || math.IsInf(x.Value, 0) || x.Unit == "" {
				t.Errorf("%q gives %+v", text, x)
			}
		}
	})
}

func BenchmarkMix(b *testing.B) {
	have, _ := makeup.ParseFigures("magnesium=1180mg/L,calcium=395mg/L,alkalinity=7.1dKH")
	want, _ := makeup.ParseFigures("magnesium=1400mg/L,calcium=430mg/L,alkalinity=8.5dKH")
	b.ReportAllocs()
	for b.Loop() {
		if _, err := makeup.Mix(makeup.Ask{Litres: 100, Salinity: 35, Have: have, Want: want}, find); err != nil {
			b.Fatal(err)
		}
	}
}
