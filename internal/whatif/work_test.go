package whatif

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"driftline/internal/book"
	"driftline/internal/book/booktest"
	"driftline/internal/standing"
)

var now = time.Date(2026, 3, 2, 6, 0, 0, 0, time.UTC)

const (
	quay    = `{"kind":"tank","at":"2025-10-01T08:00:00Z","name":"quay","system":"mixed","net_volume":400,"unit":"L"}`
	weekly  = `{"kind":"routine","at":"2025-10-01T08:00:00Z","tank":"quay","name":"weekly change","action":"water change","volume":40,"unit":"L","mix":"bin","every_days":7}`
	byHand  = `{"kind":"routine","at":"2025-10-01T08:00:00Z","tank":"quay","name":"soda","action":"dose","substance":"sodium bicarbonate","amount":10,"unit":"g","every_days":2}`
	byPump  = `{"kind":"routine","at":"2025-10-01T08:00:00Z","tank":"quay","name":"calcium pump","action":"dose","substance":"calcium chloride dihydrate","amount":6,"unit":"g","every_days":1,"automatic":true}`
	theMix  = `{"kind":"mix","at":"2025-10-01T08:00:00Z","name":"bin","salt":"bench salt","composition":[{"quantity":"salinity","value":35,"unit":"PSU"},{"quantity":"magnesium","value":1400,"unit":"mg/L"}]}`
	theShop = `{"kind":"stock","at":"2026-01-01T08:00:00Z","substance":"sodium bicarbonate","amount":1000,"unit":"g","price":5,"currency":"EUR"}`
)

// weeks are readings of a quantity every seven days up to the moment.
func weeks(q, unit string, level, slope float64) []string {
	var out []string
	for week := 12; week >= 0; week-- {
		at := now.AddDate(0, 0, -7*week).Add(-time.Hour)
		out = append(out, fmt.Sprintf(`{"kind":"reading","at":%q,"tank":"quay","quantity":%q,"value":%.4f,"unit":%q}`,
			at.Format(time.RFC3339), q, level-slope*7*float64(week), unit))
	}
	return out
}

func facts(t testing.TB, texts ...string) *book.Facts {
	t.Helper()
	return book.Replay(booktest.Parse(t, texts...), now)
}

func work(t testing.TB, f *book.Facts, days int, plans ...Plan) []Outcome {
	t.Helper()
	out, err := Work(standing.NewDesk(), f, Ask{Tank: "quay", Days: days, Seed: 7, Plans: plans}, now)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func courseOf(t testing.TB, o Outcome, q string) Course {
	t.Helper()
	for _, c := range o.Courses {
		if c.Quantity == q {
			return c
		}
	}
	t.Fatalf("%s has no course of %s", o.Name, q)
	return Course{}
}

func end(c Course) Day { return c.Days[len(c.Days)-1] }

// Without anything to do, the fan is the forecast of the engine: its quantiles
// agree within four standard errors of a sample of 2,000, √(p(1−p)/n)/density.
func TestGoingOnIsTheForecast(t *testing.T) {
	f := facts(t, append(weeks("nitrate", "mg/L", 12, 0.02), append(weeks("phosphate", "mg/L", 0.08, 0.0002), append(weeks("magnesium", "mg/L", 1300, -0.5), quay)...)...)...)
	out := work(t, f, 60, GoOn())
	for _, q := range []string{"magnesium", "nitrate", "phosphate"} {
		want, err := standing.NewDesk().Quantity(f, "quay", q, now, 60)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range []int{0, 10, 60} {
			got, w := courseOf(t, out[0], q).Days[d], want.Forecast[d]
			near(t, fmt.Sprint(q, " middle, day ", d), got.P50, w.P50, 4*1.2533*w.SD/math.Sqrt(2000)+0.02*w.SD)
			near(t, fmt.Sprint(q, " low, day ", d), got.P05, w.P05, 4*2.113*w.SD/math.Sqrt(2000)+0.02*w.SD)
			near(t, fmt.Sprint(q, " high, day ", d), got.P95, w.P95, 4*2.113*w.SD/math.Sqrt(2000)*1.5+0.03*w.SD)
			near(t, fmt.Sprint(q, " chance, day ", d), got.POutside, w.POutside, 0.05)
		}
	}
}

// Equal plans come to equal outcomes, and the same ask to the same again.
func TestEqualPlansEqualOutcomes(t *testing.T) {
	f := facts(t, append(weeks("alkalinity", "dKH", 8, -0.001), quay, weekly, byHand, theMix)...)
	again := Plan{Name: "the same", Changes: []Change{{What: Demand, Quantity: "alkalinity", Factor: 1}}}
	out := work(t, f, 90, GoOn(), again, ChangesOf(0.25, 3, "bin"))
	a, b := courseOf(t, out[0], "alkalinity"), courseOf(t, out[1], "alkalinity")
	if !reflect.DeepEqual(a.Days, b.Days) || b.Against.P05 != 0 || b.Against.P95 != 0 {
		t.Errorf("equal plans end at %v and %v, apart by %v", end(a), end(b), *b.Against)
	}
	if repeat := work(t, f, 90, GoOn(), again, ChangesOf(0.25, 3, "bin")); !reflect.DeepEqual(out, repeat) {
		t.Error("the same ask came to something else")
	}
	if alone := work(t, f, 90, GoOn()); alone[0].HandActions != out[0].HandActions || alone[0].WaterL != out[0].WaterL {
		t.Error("a plan takes something else when it is compared")
	}
}

// What a plan takes, counted by hand. 60 days from the moment, with nothing ever
// logged: overdue work is done at 0.25 d. Soda every 2 days: 0.25, 2.25 … 58.25 =
// 30 times 10 g. Changes every 7 days: 0.25 … 56.25 = 9 times 40 L, 360 L and
// 360·37 = 13,320 g of salt. Pump: 60·6 = 360 g. Soda costs 300·5/1000 = 1.50.
// Evaporation 1 % of 400 L: 60·4 = 240 L.
func TestWhatAPlanTakes(t *testing.T) {
	f := facts(t, append(weeks("alkalinity", "dKH", 8, 0), quay, weekly, byHand, byPump, theMix, theShop)...)
	away := Away(now, 24)
	out := work(t, f, 60, GoOn(), StopDosing(), away, Plan{Name: "machines", HandsOff: true})
	o := out[0]
	near(t, "water", o.WaterL, 360, 1e-9)
	near(t, "top-off", o.TopOffL, 240, 1e-9)
	near(t, "hands", float64(o.HandActions), 39, 0)
	near(t, "cost", o.Cost, 1.5, 1e-9)
	used := map[string]float64{}
	for _, u := range o.Used {
		used[u.Substance] = u.Amount
	}
	for name, want := range map[string]float64{"sodium bicarbonate": 300, "calcium chloride dihydrate": 360, "bench salt": 13320} {
		near(t, name, used[name], want, 1e-6)
	}
	if len(o.Unpriced) != 2 || o.Currency != "EUR" {
		t.Errorf("unpriced %v in %q", o.Unpriced, o.Currency)
	}
	if len(out[1].Used) != 1 || out[1].HandActions != 9 {
		t.Errorf("without dosing: %v, %d by hand", out[1].Used, out[1].HandActions)
	}
	// Away until day 24: soda at 24.25 … 58.25, 18 times; changes at 24.25 … 59.25, 6 times.
	near(t, "hands after 24 days away", float64(out[2].HandActions), 24, 0)
	near(t, "water after 24 days away", out[2].WaterL, 240, 1e-9)
	near(t, "by hand when only machines run", float64(out[3].HandActions), 0, 0)
	if len(out[3].Used) != 1 || math.Abs(out[3].Used[0].Amount-360) > 1e-6 {
		t.Errorf("only machines use %v", out[3].Used)
	}
}

// Mass adds up: with demand scaled to nothing, one dose is all that moves the
// middle. 84.007 g of NaHCO3 (IUPAC 2021) are 1,000 meq; 10 g in 400 L are
// 119.038/400 = 0.29759 meq/L = 0.29759·2.8 = 0.8333 dKH (one meq/L is 2.8 dKH,
// with 1 dKH = 10 mg of CaO a litre, 56.08 g/mol: 2.804).
func TestADoseAddsUp(t *testing.T) {
	f := facts(t, append(weeks("alkalinity", "dKH", 8, -0.001), quay)...)
	dose := Plan{Name: "dose", Changes: []Change{{What: OneDose, Substance: "sodium bicarbonate", Amount: 10, Unit: "g"},
		{What: Demand, Quantity: "alkalinity", Factor: 0}}}
	out := work(t, f, 5, Plan{Name: "nothing", Changes: []Change{{What: Demand, Quantity: "alkalinity", Factor: 0}}}, dose)
	near(t, "rise", courseOf(t, out[1], "alkalinity").Against.P50, 0.8340, 0.003)
}

// Top-off by hand stops with the hands: after 24 days without 4 L a day the
// salinity is 400/304 of what it is with them, and what was missed is replaced.
func TestAwayWithHandTopOff(t *testing.T) {
	lines := append(weeks("salinity", "PSU", 35, 0), quay)
	for d := 30; d >= 0; d-- {
		lines = append(lines, fmt.Sprintf(`{"kind":"top-off","at":%q,"tank":"quay","volume":4,"unit":"L"}`, now.AddDate(0, 0, -d).Add(-2*time.Hour).Format(time.RFC3339)))
	}
	f := facts(t, lines...)
	out := work(t, f, 24, GoOn(), Plan{Name: "machines", HandsOff: true})
	a, b := end(courseOf(t, out[0], "salinity")), end(courseOf(t, out[1], "salinity"))
	near(t, "salinity over that with top-off", b.P50/a.P50, 400/304.0, 1e-6)
	near(t, "top-off", out[0].TopOffL, 96, 1e-9)
	near(t, "top-off by hand", float64(out[0].HandActions), 24, 0)
	near(t, "no top-off", out[1].TopOffL, 0, 1e-9)
}

func TestBadAsksAreRefused(t *testing.T) {
	f := facts(t, append(weeks("alkalinity", "dKH", 8, 0), quay, weekly, theMix)...)
	one := func(c Change) Ask {
		return Ask{Tank: "quay", Days: 10, Plans: []Plan{{Name: "p", Changes: []Change{c}}}}
	}
	for want, ask := range map[string]Ask{
		"not in the book":         {Tank: "pier", Days: 10, Plans: []Plan{GoOn()}},
		"expected 1 to 365":       {Tank: "quay", Days: 366, Plans: []Plan{GoOn()}},
		"expected 1 to 4":         {Tank: "quay", Days: 10},
		"two plans are called":    {Tank: "quay", Days: 10, Plans: []Plan{GoOn(), GoOn()}},
		"no routine \"feeding\"":  one(Change{What: Stop, Routine: "feeding"}),
		"is not a change":         one(Change{What: "dance"}),
		"nothing is known":        one(Change{What: OneDose, Substance: "wonder drops", Amount: 1, Unit: "mL"}),
		"needs a substance":       one(Change{What: OneDose}),
		"cannot be weighed":       one(Change{What: OneDose, Substance: "sodium bicarbonate", Amount: 1, Unit: "spoon"}),
		"at most 1":               one(Change{What: WaterChange, Share: 1.5}),
		"is not in the book; lea": one(Change{What: WaterChange, Share: 0.1, Mix: "none such"}),
		"more than the 400 L":     one(Change{What: WaterChange, Litres: 500}),
		"not negative":            one(Change{What: Demand, Quantity: "alkalinity", Factor: math.NaN()}),
		"before it begins":        one(Change{What: Stop, From: now, Until: now.AddDate(0, 0, -1)}),
	} {
		_, err := Work(standing.NewDesk(), f, ask, now)
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("got %v, want a sentence with %q", err, want)
		}
	}
}

// Whatever is asked, no figure is other than a finite number, fans are in order
// and chances between 0 and 1.
func TestNeverNaN(t *testing.T) {
	f := facts(t, append(append(weeks("alkalinity", "dKH", 8, 0), weeks("phosphate", "mg/L", 0.06, 0.0001)...), quay, weekly, byHand, byPump, theMix)...)
	desk := standing.NewDesk()
	rapid.Check(t, func(rt *rapid.T) {
		day := rapid.Float64Range(-5, 50)
		c := Change{What: rapid.SampledFrom([]string{Stop, StopsDosing, StopWaterChanges, OneMoreRoutine, OneDose, WaterChange, TopOff, Demand}).Draw(rt, "what"),
			Substance: rapid.SampledFrom([]string{"", "sodium bicarbonate", "sodium nitrate"}).Draw(rt, "substance"), Unit: "g", Quantity: "phosphate",
			Amount: rapid.Float64Range(0, 1e4).Draw(rt, "amount"), Share: rapid.Float64Range(0, 1).Draw(rt, "share"),
			EveryDays: rapid.Float64Range(0, 20).Draw(rt, "every"), Factor: rapid.Float64Range(0, 50).Draw(rt, "factor"),
			From: now.Add(time.Duration(day.Draw(rt, "from") * 24 * float64(time.Hour)))}
		c.Until = c.From.Add(time.Duration(rapid.Float64Range(0.1, 60).Draw(rt, "span") * 24 * float64(time.Hour)))
		out, err := Work(desk, f, Ask{Tank: "quay", Days: rapid.IntRange(1, 40).Draw(rt, "days"), Draws: 100, Plans: []Plan{GoOn(), {Changes: []Change{c}}}}, now)
		if err != nil {
			return
		}
		for _, o := range out {
			for _, course := range o.Courses {
				for _, d := range course.Days {
					if !(d.P05 <= d.P25 && d.P25 <= d.P50 && d.P50 <= d.P75 && d.P75 <= d.P95) || math.IsInf(d.P95-d.P05, 0) || !(d.POutside >= 0 && d.POutside <= 1) {
						rt.Fatalf("%s of %s: %+v", course.Quantity, o.Name, d)
					}
				}
			}
			if !(o.TopOffL >= 0 && o.WaterL >= 0) {
				rt.Fatalf("water %g, top-off %g", o.WaterL, o.TopOffL)
			}
		}
	})
}

// BenchmarkTwelveQuantities follows twelve quantities for 180 days with 2,000
// draws, from the log on: under one plan, and four plans side by side.
func BenchmarkTwelveQuantities(b *testing.B) {
	f := twelve(b)
	plans := []Plan{GoOn(), StopDosing(), Away(now, 24), ChangesOf(0.1, 7, "bin")}
	for _, n := range []int{1, 4} {
		b.Run(fmt.Sprint(n, "-plans"), func(b *testing.B) {
			for b.Loop() {
				if out := work(b, f, 180, plans[:n]...); len(out) != n || len(out[0].Courses) != 12 {
					b.Fatalf("%d plans", len(out))
				}
			}
		})
	}
}

func twelve(b *testing.B) *book.Facts {
	lines := []string{quay, weekly, byHand, byPump, theMix}
	for q, at := range map[string]float64{"salinity": 35, "alkalinity": 8, "calcium": 420, "magnesium": 1300, "potassium": 400, "strontium": 8,
		"boron": 4.5, "iodine": 0.06, "nitrate": 10, "phosphate": 0.06, "nitrite": 0.05, "silicate": 0.2} {
		unit := "mg/L"
		switch q {
		case "salinity":
			unit = "PSU"
		case "alkalinity":
			unit = "dKH"
		}
		lines = append(lines, weeks(q, unit, at, 0)...)
	}
	return facts(b, lines...)
}

// With routines by hand and machine the middle is still the forecast's, which has
// them from the same schedule; the width may differ by the new water's error,
// which lasts here.
func TestRoutinesAreThoseOfTheForecast(t *testing.T) {
	lines := []string{quay, weekly, byHand, byPump, theMix}
	for q, at := range map[string]float64{"alkalinity": 8, "calcium": 420, "magnesium": 1300} {
		unit := map[bool]string{true: "dKH", false: "mg/L"}[q == "alkalinity"]
		lines = append(lines, weeks(q, unit, at, 0)...)
	}
	f := facts(t, lines...)
	out := work(t, f, 60, GoOn())
	for _, q := range []string{"alkalinity", "calcium", "magnesium"} {
		want, err := standing.NewDesk().Quantity(f, "quay", q, now, 60)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range []int{1, 10, 60} {
			got, w := courseOf(t, out[0], q).Days[d], want.Forecast[d]
			near(t, fmt.Sprint(q, " middle, day ", d), got.P50, w.P50, 4*1.2533*w.SD/math.Sqrt(2000)+0.03*w.SD)
			if width := (got.P95 - got.P05) / (w.P95 - w.P05); width < 0.9 || width > 1.6 {
				t.Errorf("%s, day %d: the fan is %.2f times as wide as the forecast's", q, d, width)
			}
		}
	}
}
