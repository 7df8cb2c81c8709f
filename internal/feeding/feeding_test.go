package feeding_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/book/booktest"
	"driftline/internal/feeding"
	"driftline/internal/standing"
)

var start = time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)

func at(day float64) time.Time { return start.Add(time.Duration(day * 24 * float64(time.Hour))) }

func facts(t testing.TB, asOf float64, texts ...string) *book.Facts {
	t.Helper()
	texts = append([]string{line(-100, "tank", `"name":"quay","net_volume":400,"unit":"L"`)}, texts...)
	return book.Replay(booktest.Parse(t, texts...), at(asOf))
}

func line(day float64, kind, fields string) string {
	tank := `"tank":"quay",`
	if kind == "tank" || kind == "food" {
		tank = ""
	}
	return fmt.Sprintf(`{"kind":%q,"at":%q,%s%s}`, kind, at(day).Format(time.RFC3339), tank, fields)
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', 4, 64) }

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// By hand: ten meals of 2 g of mysis (9.5 % protein) hold 20 x 0.095 x 0.16 = 0.304 g of
// nitrogen; a feeder with 0.6 g of pellets a day over ten days 6 x 0.0752 = 0.4512 g.
func TestMeals(t *testing.T) {
	var lines []string
	for day := range 10 {
		lines = append(lines, line(float64(day)+0.5, "feeding", `"food":"frozen mysis","amount":2,"unit":"g"`))
	}
	lines = append(lines, line(-20, "routine", `"name":"feeder","action":"feeding","food":"dry pellets","amount":0.6,"unit":"g","every_days":1,"automatic":true`),
		line(-10, "food", `"name":"artemia","portion":"cube","portion_grams":3.2`), line(-10, "food", `"name":"House mash","protein":10,"phosphorus":0.2`), line(6, "feeding", `"food":"house mash","amount":50,"unit":"g"`), line(3, "feeding", `"food":"artemia","amount":2,"unit":"cube"`),
		line(4, "feeding", `"food":"flake","amount":1,"unit":"pinch"`), line(5, "feeding", `"food":"moonstone","amount":1,"unit":"g"`),
		line(11, "feeding", `"food":"frozen mysis","amount":50,"unit":"g"`))
	f := facts(t, 20, lines...)
	got := map[string]feeding.Eaten{}
	for _, e := range feeding.Meals(f, &f.Tanks[0], at(0), at(10)) {
		got[e.Food] = e
	}
	near(t, "nitrogen of mysis", got["frozen mysis"].N.Mean, 0.304, 1e-9)
	near(t, "nitrogen of pellets", got["dry pellets"].N.Mean, 0.4512, 1e-9)
	near(t, "two cubes of 3.2 g", got["artemia"].Grams, 6.4, 1e-9)
	// Its label: 10 % protein in 50 g are 0.8 g of nitrogen, 0.2 % phosphorus 0.1 g.
	near(t, "nitrogen of a mash by its label", got["house mash"].N.Mean, 0.8, 1e-9)
	near(t, "its phosphorus", got["house mash"].P.Mean, 0.1, 1e-9)
	near(t, "nitrogen of artemia, whose declaration only weighs a cube", got["artemia"].N.Mean, 6.4*0.055*0.16, 1e-9)
	if e := got["flake"]; e.Grams != 0 || !strings.Contains(e.Why, "pinch") {
		t.Errorf("a pinch of flake: %+v", e)
	}
	if e := got["moonstone"]; e.N.Mean != 0 || !strings.Contains(e.Why, "what it holds") {
		t.Errorf("an unknown food: %+v", e)
	}
}

// A tank in balance: nitrate stays at 10 mg/L under 1 g of pellets a day. By hand: 400 L at
// 10 mg/L hold 0.9036 g N (14.007/62.004); 30 g of pellets bring 2.256 g N, of which fish
// keep 15 %, 0.3384 g; 100 g of harvest take 100 x 0.1 x 0.03 = 0.3 g. The rest, 1.6176 g,
// is not explained; it settles where it is.
func TestABudgetAddsUp(t *testing.T) {
	lines := []string{line(-40, "routine", `"name":"feeder","action":"feeding","food":"dry pellets","amount":1,"unit":"g","every_days":1,"automatic":true`),
		line(15, "harvest", `"what":"chaetomorpha","wet_mass":100,"unit":"g"`)}
	for day := -40.0; day <= 30; day += 2 {
		lines = append(lines, line(day, "reading", `"quantity":"nitrate","value":10,"unit":"mg/L NO3","instrument":"photometer"`),
			line(day, "reading", `"quantity":"phosphate","value":0.05,"unit":"mg/L PO4","instrument":"photometer"`))
	}
	f := facts(t, 30, lines...)
	b, err := feeding.Work(standing.NewDesk(), f, "quay", at(0), at(30))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "in", b.In.N.Mean, 2.256, 1e-9)
	near(t, "kept", b.Out[0].N.Mean, 0.3384, 1e-9)
	near(t, "harvest", b.Out[1].N.Mean, 0.3, 1e-9)
	near(t, "more in the water", b.Stored.N.Mean, 0, 0.01)
	near(t, "not explained", b.Unexplained.N.Mean, 1.6176, 0.02)
	for _, of := range []func(feeding.Flow) float64{func(f feeding.Flow) float64 { return f.N.Mean }, func(f feeding.Flow) float64 { return f.P.Mean }} {
		sum := of(b.Stored) + of(b.Unexplained)
		for _, o := range b.Out {
			sum += of(o)
		}
		near(t, "out and stored and unexplained against in", sum, of(b.In), 1e-12)
	}
	if b.Nitrate == nil || b.Phosphate == nil {
		t.Fatal("nothing settles")
	}
	near(t, "nitrate settles at", b.Nitrate.Mean, 10, 0.2)
	// The way there: S/(removal a day) = 0.9036/(1.6176/30) = 16.8 days, three of it to a
	// twentieth, if all of that removal went by the level; a level that never moved leaves
	// room for a faster one.
	if d := b.Nitrate.Days; d < 15 || d > 75 {
		t.Errorf("%v days to settle, expected about 50 or less", d)
	}
	for _, of := range []func(feeding.Flow) float64{func(f feeding.Flow) float64 { return f.N.Mean }, func(f feeding.Flow) float64 { return f.P.Mean }} {
		sum := 0.0
		for _, f := range b.Fates {
			sum += of(f)
		}
		food := feeding.Flow{N: b.ByFood[0].N, P: b.ByFood[0].P}
		near(t, "fates against food", sum, of(food), 1e-12)
	}
	// Alkalinity by charge balance, one equivalent a mole: nitrate did not rise, so what was
	// made was taken up again.
	near(t, "alkalinity", b.Alkalinity.Mean, 0, 0.02)
}

// Rising by the balance: dS/dt = I - kS from 5 mg/L to where I/k = 12 mg/L with 1/k = 20
// days. After 20 days S = 12 - 7 exp(-1) = 9.425. Nitrate made in the tank, 4.425 mg/L of it, took
// 4.425/62.004 meq/L = 0.2001 dKH of alkalinity.
func TestWhereARisingLevelSettles(t *testing.T) {
	const perLevel = 0.4 * 14.007 / 62.004 // g N for 1 mg/L in 400 L
	in := 12.0 * perLevel / 20             // g N a day that reaches the water
	pellets := in / 0.85 / 0.0752          // fish keep 15 %
	lines := []string{line(-1, "routine", fmt.Sprintf(`"name":"feeder","action":"feeding","food":"dry pellets","amount":%.6f,"unit":"g","every_days":1,"automatic":true`, pellets))}
	for day := 0.0; day <= 20; day++ {
		lines = append(lines, line(day, "reading", fmt.Sprintf(`"quantity":"nitrate","value":%.3f,"unit":"mg/L NO3","instrument":"photometer"`, 12-7*math.Exp(-day/20))),
			line(day, "reading", `"quantity":"phosphate","value":0.05,"unit":"mg/L PO4","instrument":"photometer"`))
	}
	f := facts(t, 20, lines...)
	b, err := feeding.Work(standing.NewDesk(), f, "quay", at(0), at(20))
	if err != nil || b.Nitrate == nil {
		t.Fatalf("%+v, %v", b.Nitrate, err)
	}
	near(t, "settles at", b.Nitrate.Mean, 12, 1.2)
	if !(b.Nitrate.SD > 0 && b.Nitrate.SD < 6) {
		t.Errorf("with a doubt of %v", b.Nitrate.SD)
	}
	near(t, "alkalinity", b.Alkalinity.Mean, -0.2001, 0.01)
}

func TestBudgetsThatCannotBe(t *testing.T) {
	f := facts(t, 10)
	for want, call := range map[string]func() (feeding.Budget, error){
		"attic":    func() (feeding.Budget, error) { return feeding.Work(standing.NewDesk(), f, "attic", at(0), at(5)) },
		"is empty": func() (feeding.Budget, error) { return feeding.Work(standing.NewDesk(), f, "quay", at(5), at(5)) },
	} {
		if _, err := call(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q in it", err, want)
		}
	}
}

// Without a reading the food and what fish keep still count, and it says what does not.
func TestABudgetWithoutReadings(t *testing.T) {
	f := facts(t, 10, line(-20, "routine", `"name":"feeder","action":"feeding","food":"dry pellets","amount":1,"unit":"g","every_days":1,"automatic":true`))
	b, err := feeding.Work(standing.NewDesk(), f, "quay", at(0), at(10))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "in", b.In.N.Mean, 0.752, 1e-9)
	near(t, "not explained", b.Unexplained.N.Mean, 0.752*0.85, 1e-9)
	if len(b.Notes) != 2 || !strings.Contains(b.Notes[0], "nitrate was not read") || b.Nitrate != nil {
		t.Errorf("%q, %+v", b.Notes, b.Nitrate)
	}
}
