package supply

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
)

// The figures here are worked out by hand beside each check. 37 g of salt in a
// litre of salinity 35 and weighing to 3 % are common practice, no source.

var start = time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)

func onDay(d float64) time.Time { return start.Add(time.Duration(d * 24 * float64(time.Hour))) }

func line(day float64, kind, fields string) string {
	return fmt.Sprintf(`{"kind":%q,"at":%q,%s}`, kind, onDay(day).Format(time.RFC3339), fields)
}

func shelved(day float64, substance, amount, unit string, more ...string) string {
	return line(day, "stock", fmt.Sprintf(`"substance":%q,"amount":%s,"unit":%q`, substance, amount, unit)+strings.Join(more, ""))
}

func dosed(day float64, tank, substance, amount, unit string) string {
	return line(day, "dose", fmt.Sprintf(`"tank":%q,"substance":%q,"amount":%s,"unit":%q`, tank, substance, amount, unit))
}

const (
	quay  = `"name":"quay","net_volume":400,"unit":"L"`
	lock  = `"name":"lock","net_volume":100,"unit":"L"`
	chalk = "calcium chloride dihydrate"
)

func tanks() []string { return []string{line(-100, "tank", quay), line(-100, "tank", lock)} }

func facts(t testing.TB, asOf time.Time, lines ...string) *book.Facts {
	t.Helper()
	var out []book.Line
	for _, text := range append(tanks(), lines...) {
		l, err := book.ParseLine([]byte(text))
		if err == nil {
			err = book.ValidateAt(l, onDay(1000))
		}
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		if l.ID == "" {
			l.ID = book.ContentID(l)
		}
		out = append(out, l)
	}
	return book.Replay(out, asOf)
}

func shelfOn(t testing.TB, asOf time.Time, lines ...string) *Shelf {
	t.Helper()
	s, err := Of(facts(t, asOf, lines...), asOf, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func itemOf(t testing.TB, s *Shelf, name string) Item {
	t.Helper()
	it, ok := s.Find(name)
	if !ok {
		t.Fatalf("%q is not on the shelf: %+v", name, s.Items)
	}
	return it
}

func near(t testing.TB, what string, got, want, off float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > off {
		t.Errorf("%s is %g, want %g", what, got, want)
	}
}

func sameDay(t testing.TB, what string, got *time.Time, want time.Time) {
	t.Helper()
	if got == nil || !got.Equal(want) {
		t.Errorf("%s is %v, want %v", what, got, want)
	}
}

func pumped(day float64, tank, substance, amount, unit, every string) string {
	return line(day, "routine", fmt.Sprintf(`"tank":%q,"name":"pump of %s","action":"dose","substance":%q,"amount":%s,"unit":%q,"every_days":%s,"automatic":true,"from":%q`,
		tank, tank, substance, amount, unit, every, onDay(day).Format(time.RFC3339)))
}

func TestWhatIsLeft(t *testing.T) {
	s := shelfOn(t, onDay(10),
		shelved(-30, chalk, "9", "kg"), // an older count: forgotten
		dosed(-1, "quay", chalk, "40", "g"),
		shelved(0, chalk, "2", "kg"),
		shelved(4, chalk, "500", "g", `,"added":true`),
		dosed(5, "quay", "Calcium  Chloride Dihydrate", "40", "g"), // names match as in the book
		dosed(6, "lock", "CaCl2·2H2O", "40000", "mg"),              // another tank, by formula, in mg
		pumped(0, "quay", chalk, "5", "g", "0.5"))
	// 2000 + 500 - 40 - 40 - 10 days of 10 g = 2320 g. Doubt: two doses of 40 g to 3 %
	// are 1.2 g each, the machine 3 % of 100 g: sqrt(1.2² + 1.2² + 3²) = 3.45 g.
	it := itemOf(t, s, chalk)
	near(t, "what is left", it.Left.Mean, 2320, 1e-9)
	near(t, "its doubt", it.Left.SD, math.Sqrt(2*1.44+9), 1e-9)
	near(t, "used", it.Used, 180, 1e-9)
	near(t, "came on top", it.Added, 500, 1e-9)
	if it.Unit != "g" || it.State != Lasting || len(it.Lines) != 3 {
		t.Errorf("%+v", it)
	}
}

// A machine of 50 g a day from 500 g counted at midnight, today: at the end of day
// i it has given 50(i+1). Expected to be used up at i = 9. Early: 1.04935 × 50(i+1)
// reaches 500 at i = 9 too (450 would be 472). Late: 0.95065 × 50(i+1) at i = 10.
func TestTheDayItRunsOut(t *testing.T) {
	s := shelfOn(t, start, shelved(0, chalk, "500", "g"), pumped(-20, "quay", chalk, "50", "g", "1"))
	it := itemOf(t, s, chalk)
	sameDay(t, "expected", it.RunsOut.Expected, onDay(9))
	sameDay(t, "early", &it.RunsOut.Early, onDay(9))
	sameDay(t, "late", it.RunsOut.Late, onDay(10))
	if it.State != Low || len(it.Users) != 1 || it.Users[0].What != "machine" || it.Users[0].AWeek != 350 {
		t.Errorf("%+v", it)
	}
	// At noon half of today's 50 g are given: 475 g are left, 25 g still go today, and
	// 475 are used up when 25 + 50 i reaches them, at i = 9.
	it = itemOf(t, shelfOn(t, onDay(0.5), shelved(0, chalk, "500", "g"), pumped(-20, "quay", chalk, "50", "g", "1")), chalk)
	near(t, "at noon", it.Left.Mean, 475, 1e-9)
	sameDay(t, "expected from noon", it.RunsOut.Expected, onDay(9))
}

// 40 L of salinity 33 take 40 × 37 × 33/35 = 1395.43 g of salt. From 4 kg two have
// been taken; 1209.1 g are left and the next change, on day 21, cannot be met.
func TestSaltOfWaterChanges(t *testing.T) {
	change := func(day float64, mix string) string {
		return line(day, "water change", fmt.Sprintf(`"tank":"quay","volume":40,"unit":"L","mix":%q`, mix))
	}
	lines := []string{
		line(-1, "mix", `"name":"bin","salt":"reef salt","composition":[{"quantity":"salinity","value":33,"unit":"PSU"}]`),
		line(-1, "mix", `"name":"tub"`),
		line(0, "routine", `"tank":"quay","name":"change","action":"water change","volume":40,"unit":"L","mix":"bin","every_days":7,"from":"2026-03-01T00:00:00Z"`),
		shelved(0, "Reef Salt", "4", "kg"), change(7, "bin"), change(14, "bin"),
	}
	it := itemOf(t, shelfOn(t, onDay(15), lines...), "reef salt")
	each := 40 * 37.0 * 33 / 35
	near(t, "left", it.Left.Mean, 4000-2*each, 1e-6)
	sameDay(t, "runs out", it.RunsOut.Expected, onDay(21))
	// The label's 40 g a litre by preference; and a mix that names no salt takes what is
	// shelved under its own name, at 35: 40 × 37 = 1480 g.
	lines = append(lines, line(0, "preference", `"name":"Salt a litre of reef salt","value":"40 g"`), shelved(0, "tub", "10", "kg"), change(14.5, "tub"))
	s := shelfOn(t, onDay(15), lines...)
	near(t, "by the label", itemOf(t, s, "reef salt").Used, 2*40*40.0*33/35, 1e-6)
	near(t, "by the mix's own name", itemOf(t, s, "tub").Used, 1480, 1e-6)
	// A machine that changes 2 L a day takes 2 × 37 × 33/35 g a day.
	s = shelfOn(t, onDay(10), lines[0], shelved(0, "reef salt", "4", "kg"),
		line(0, "routine", `"tank":"quay","name":"changer","action":"water change","volume":2,"unit":"L","mix":"bin","every_days":1,"automatic":true,"from":"2026-03-01T00:00:00Z"`))
	near(t, "by a machine", itemOf(t, s, "reef salt").Used, 10*2*37.0*33/35, 1e-6)
}

// 200 g made up to a litre: 50 mL hold 10 g.
func TestSolutionsMadeUpAtHome(t *testing.T) {
	solution := line(-9, "substance", `"name":"calcium stock","formula":"CaCl2.2H2O","grams_per_litre":200,"form":"solution"`)
	s := shelfOn(t, onDay(5), solution, shelved(0, chalk, "1", "kg"), dosed(1, "quay", "calcium stock", "50", "mL"))
	near(t, "the solid under the solution", itemOf(t, s, chalk).Used, 10, 1e-9)
	// With the solution on the shelf itself, doses go from it, and 2 L that came without
	// a price were made up from 400 g; 1 L that was bought was not.
	s = shelfOn(t, onDay(5), solution, shelved(0, chalk, "1", "kg"), shelved(0, "calcium stock", "500", "mL"),
		shelved(1, "calcium stock", "2", "L", `,"added":true`), shelved(2, "calcium stock", "1", "L", `,"added":true,"price":9,"currency":"EUR"`),
		dosed(3, "quay", "calcium stock", "50", "mL"))
	near(t, "the solution", itemOf(t, s, "calcium stock").Left.Mean, 3450, 1e-9)
	near(t, "the solid", itemOf(t, s, chalk).Left.Mean, 600, 1e-9)
	// Limewater: 2 L at 1.5 g/L are 3 g of lime; a top-off says its own strength.
	s = shelfOn(t, onDay(5), shelved(0, "calcium hydroxide", "100", "g"), dosed(1, "quay", "limewater", "2", "L"),
		line(2, "top-off", `"tank":"quay","volume":5,"unit":"L","substance":"calcium hydroxide","concentration":1.2`))
	near(t, "lime", itemOf(t, s, "Ca(OH)2").Used, 3+6, 1e-9)
}

// A salt goes by its formula where its name is not shelved, a blend by its parts;
// what is not shelved at all is missing, with its use.
func TestByFormulaAndByParts(t *testing.T) {
	s := shelfOn(t, onDay(5), line(-9, "substance", `"name":"baking soda, tin","formula":"NaHCO3","purity":0.99`),
		shelved(0, "baking soda, tin", "1", "kg"), dosed(1, "quay", "sodium bicarbonate", "12", "g"),
		shelved(0, "magnesium chloride hexahydrate", "1", "kg"), dosed(1, "quay", "magnesium salts", "100", "g"),
		dosed(2, "quay", "wonder drops", "3", "mL"))
	near(t, "soda", itemOf(t, s, "baking soda, tin").Used, 12, 1e-9)
	// Reference composition: 0.54586 mol Cl and 0.02824 mol SO4 a kg. Of MgCl2·6H2O
	// 0.54586/2 × 203.30 = 55.49 g to 0.02824 × 246.47 = 6.96 g of MgSO4·7H2O: 88.9 %.
	near(t, "magnesium chloride of the blend", itemOf(t, s, "magnesium chloride").Used, 88.9, 0.1)
	var missing []string
	for _, m := range s.Missing {
		missing = append(missing, m.Name+" "+m.Unit)
	}
	if got := strings.Join(missing, ", "); got != "magnesium sulfate heptahydrate g, wonder drops mL" {
		t.Errorf("missing: %s", got)
	}
}

func TestOddCounts(t *testing.T) {
	s := shelfOn(t, onDay(10),
		shelved(0, chalk, "100", "g"), dosed(1, "quay", chalk, "130", "g"), // more than was there
		shelved(1, "boric acid", "200", "g", `,"added":true`), dosed(2, "quay", "boric acid", "50", "g"), dosed(0.5, "quay", "boric acid", "50", "g"), // never counted
		shelved(0, "sodium carbonate", "1", "lb"), shelved(1, "sodium carbonate", "4", "oz", `,"added":true`), // 453.59237 + 113.398 g
		shelved(0, "drops", "1", "US gal"), shelved(2, "drops", "1", "kg", `,"added":true`), dosed(3, "quay", "drops", "5", "g"),
		line(20, "stock", `"substance":"boric acid","amount":1,"unit":"g"`)) // yet to come
	bad := itemOf(t, s, chalk)
	if bad.State != CountAgain || bad.Left.Mean != -30 || !strings.Contains(bad.Says, "30 g more was used than was there, counted on 1 March: count it again") {
		t.Errorf("%+v", bad)
	}
	acid := itemOf(t, s, "boric acid")
	if acid.Counted != nil || acid.Left.Mean != 150 || !strings.Contains(acid.Says, "never counted") {
		t.Errorf("%+v", acid)
	}
	near(t, "pound and ounces", itemOf(t, s, "sodium carbonate").Left.Mean, 453.59237+4*28.349523125, 1e-9)
	drops := itemOf(t, s, "drops")
	near(t, "a gallon", drops.Left.Mean, 3785.411784, 1e-9)
	if len(drops.Notes) != 2 || drops.Used != 0 || !strings.HasPrefix(drops.Says, "1 US gal left") {
		t.Errorf("%+v", drops)
	}
}

func TestRetractedAndCorrectedLines(t *testing.T) {
	count := `{"kind":"stock","at":"2026-03-01T00:00:00Z","id":"c","substance":"boric acid","amount":500,"unit":"g"}`
	again := `{"kind":"stock","at":"2026-03-01T00:00:00Z","id":"d","replaces":"c","substance":"boric acid","amount":50,"unit":"g"}`
	near(t, "corrected", itemOf(t, shelfOn(t, onDay(3), count, again), "boric acid").Left.Mean, 50, 1e-9)
	void := `{"kind":"void","at":"2026-03-02T00:00:00Z","id":"v","replaces":"c"}`
	if s := shelfOn(t, onDay(3), count, void); len(s.Items) != 0 {
		t.Errorf("a retracted count stands: %+v", s.Items)
	}
}
