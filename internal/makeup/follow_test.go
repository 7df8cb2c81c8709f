package makeup_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"driftline/internal/book"
	"driftline/internal/makeup"
	"driftline/internal/standing"
	"driftline/units"
)

var asOf = time.Date(2026, 3, 2, 6, 0, 0, 0, time.UTC)

// tank holds 400 L; each quantity was read the same for twelve weeks.
func tank(t testing.TB, levels map[string]string, more ...string) *book.Facts {
	t.Helper()
	texts := []string{`{"kind":"tank","at":"2025-10-01T08:00:00Z","name":"quay","system":"mixed","net_volume":400,"unit":"L"}`}
	for q, value := range levels {
		v, unit, _ := strings.Cut(value, " ")
		for week := range 13 {
			at := asOf.AddDate(0, 0, -7*week).Add(-time.Hour)
			texts = append(texts, fmt.Sprintf(`{"kind":"reading","at":%q,"tank":"quay","quantity":%q,"value":%s,"unit":%q}`, at.Format(time.RFC3339), q, v, unit))
		}
	}
	return replay(t, append(texts, more...)...)
}

func replay(t testing.TB, texts ...string) *book.Facts {
	t.Helper()
	var lines []book.Line
	for i, text := range texts {
		l, err := book.ParseLine([]byte(text))
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		if err := book.Validate(l); err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		if l.ID == "" {
			l.ID = fmt.Sprint("line-", i)
		}
		lines = append(lines, l)
	}
	return book.Replay(lines, asOf)
}

func follow(t *testing.T, f *book.Facts, a makeup.Ask, ask makeup.Following) makeup.Change {
	t.Helper()
	b, err := makeup.Mix(a, find)
	if err != nil {
		t.Fatal(err)
	}
	ask.Tank = "quay"
	c, err := makeup.Follow(standing.NewDesk(), f, b, ask, asOf)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func of(t *testing.T, c makeup.Change, q units.Quantity) makeup.Moved {
	t.Helper()
	for _, m := range c.Quantities {
		if m.Quantity == q {
			return m
		}
	}
	t.Fatalf("%s is not among what the change moves", q)
	return makeup.Moved{}
}

func within(t *testing.T, what string, got, want, by float64) {
	t.Helper()
	if !(math.Abs(got-want) <= by) {
		t.Errorf("%s is %v, want %v", what, got, want)
	}
}

var usual = map[string]string{"magnesium": "1200 mg/L", "alkalinity": "8 dKH", "salinity": "33 PSU", "temperature": "26 °C", "nitrate": "20 mg/L"}

// By hand, 80 of 400 L are a fifth: magnesium L + 0.2 (1400 - L), from the level the
// engine holds; three changes bring 1200 to 1400 - 200·0.8³ = 1297.6, four to 1318.1.
func TestWhatAChangeDoes(t *testing.T) {
	c := follow(t, tank(t, usual), makeup.Ask{Litres: 80, Salinity: 35, TempC: 24, Have: figures(t, "magnesium=1400,alkalinity=8")},
		makeup.Following{Litres: 80, Reach: figures(t, "magnesium=1310,nitrate=5")})
	within(t, "share", c.Share, 0.2, 1e-12)
	mg := of(t, c, units.Magnesium)
	within(t, "tank", mg.Tank.Mean, 1200, 5)
	within(t, "after", mg.After.Mean, mg.Tank.Mean+0.2*(1400-mg.Tank.Mean), 1e-9)
	within(t, "doubt", mg.After.SD, math.Hypot(0.8*mg.Tank.SD, 0.2*mg.NewWater.SD), 1e-9)
	if n := len(mg.Series.Levels) - 1; n != 4 {
		t.Errorf("%d changes to 1310, want 4", n)
	}
	within(t, "the fourth", mg.Series.Levels[4].Level, 1400-(1400-mg.Tank.Mean)*0.4096, 1e-9)
	no3 := of(t, c, units.Nitrate) // 20·0.8^n <= 5: 0.8^6 = 0.262, 0.8^7 = 0.2097: 7
	if n := len(no3.Series.Levels) - 1; n != 7 || no3.Warning != "" {
		t.Errorf("%d changes to 5 mg/L nitrate, want 7; %q", n, no3.Warning)
	}
	// Warmth: 26 + 0.2 (24 - 26) = 25.6; 1 °C over a fifth would be 5, so 3 counts.
	within(t, "warmth", *c.Temperature.After, c.Temperature.Tank.Mean+0.2*(24-c.Temperature.Tank.Mean), 1e-9)
	within(t, "coolest", c.Temperature.Tank.Mean-*c.Temperature.Low, 3, 1e-9)
	if c.Temperature.Warning != "" {
		t.Errorf("24 °C into 26 °C: %s", c.Temperature.Warning)
	}
}

// By hand, with a tank of 33 brought to 35 by fifths: in one change N = 33 + 2/0.2 =
// 43; in two N = (35 - 33·0.64)/0.36 = 38.56, the first step 0.2·5.56 = 1.11; in five
// (35 - 33·0.32768)/0.67232 = 35.97, step 0.59; in seven N = (35 - 33·0.209715)/0.790285 =
// 35.53, step 0.506; in eight (35 - 33·0.167772)/0.832228 = 35.40, step 0.48, within the
// 0.5 of a careful day (common practice, no source).
func TestSalinityIsBroughtToItsAim(t *testing.T) {
	for _, want := range []struct {
		n     int
		fresh float64
	}{{1, 43}, {2, 38.556}, {5, 35.975}, {7, 35.531}, {8, 35.403}} {
		within(t, fmt.Sprint(want.n, " changes"), makeup.NeededFor(33, 35, 0.2, want.n), want.fresh, 0.001)
	}
	c := follow(t, tank(t, usual), makeup.Ask{Litres: 80, Salinity: 37}, makeup.Following{Litres: 80})
	n := c.Salinity.Needed[len(c.Salinity.Needed)-1]
	if !n.Allowed || math.Abs(n.Step) > 0.5+1e-9 || n.Changes < 6 || n.Changes > 9 {
		t.Errorf("%+v", c.Salinity.Needed)
	}
	within(t, "after", *c.Salinity.After, c.Salinity.Tank.Mean+0.2*(37-c.Salinity.Tank.Mean), 1e-9)
	if c.Salinity.Warning == "" || !strings.Contains(strings.Join(c.Warnings, " "), "Salinity moves by 0.8 PSU") {
		t.Errorf("33 to 33.8 at once is not warned of: %q", c.Warnings)
	}
}

// Half the water at 1,400 lifts 1,200 by 100 mg/L, twice a careful day's 50 (common
// practice, no source); 50/200·400 = 100 L a day would do. Alkalinity 8 to 10 by half is
// 1 dKH, twice 0.5. A fifth of it is under both.
func TestASuddenJumpIsWarnedOf(t *testing.T) {
	ask := makeup.Ask{Litres: 200, Salinity: 33, TempC: 20, Have: figures(t, "magnesium=1400,alkalinity=10")}
	c := follow(t, tank(t, usual), ask, makeup.Following{Litres: 200})
	all := strings.Join(c.Warnings, "\n")
	for _, want := range []string{"Magnesium rises by 10", "more than the 50 mg/L of a careful day", "Alkalinity rises by 1.0 dKH at once", "too far from the tank's"} {
		if !strings.Contains(all, want) {
			t.Errorf("%q is not in\n%s", want, all)
		}
	}
	calm := follow(t, tank(t, usual), ask, makeup.Following{Litres: 20})
	if mg := of(t, calm, units.Magnesium); mg.Warning != "" {
		t.Errorf("10 mg/L: %s", mg.Warning)
	}
}

// By hand: 10 % a week of water at 10 dKH, nothing dosed, D a day used: settles at
// 10 - 7D·0.9/0.1 after a change and 7D lower before. Dosing: 6 g of sodium bicarbonate a
// day are 6/84.007·1000 = 71.42 meq in 400 L, 0.1786 meq/L, 0.5006 dKH.
func TestRoutineWithDeclaredDosing(t *testing.T) {
	dosing := `{"kind":"routine","at":"2025-10-02T08:00:00Z","tank":"quay","name":"carbonate","action":"dose","substance":"sodium bicarbonate","amount":6,"unit":"g","every_days":1,"automatic":true}`
	c := follow(t, tank(t, usual, dosing), makeup.Ask{Litres: 40, Salinity: 35, Have: figures(t, "alkalinity=10")}, makeup.Following{Litres: 40})
	alk := of(t, c, units.Alkalinity)
	within(t, "dosed a day", alk.Routine.Dosing, 0.5006, 0.001)
	net := alk.Routine.Demand.Mean - alk.Routine.Dosing
	within(t, "after a change", alk.Routine.After.Mean, 10-net*7*9, 1e-9)
	within(t, "before the next", alk.Routine.Before.Mean, 10-net*7*10, 1e-9)
	teeth := alk.Routine.Teeth
	if len(teeth) != 17 || teeth[16].Day != 56 {
		t.Fatalf("eight weeks in %d moments", len(teeth))
	}
	level := alk.Tank.Mean
	for week := range 8 { // step by step, by the mixing rule alone
		level -= 7 * net
		within(t, "before", teeth[1+2*week].Mean, level, 1e-9)
		level = makeup.AfterChange(level, 10, 0.1)
		within(t, "after", teeth[2+2*week].Mean, level, 1e-9)
	}
	within(t, "the end", alk.Routine.End.Mean, level, 1e-9)
}

// What is said to hold an aim does: settled under it, the middle is the aim.
func TestWhatHoldsTheAimHoldsIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := makeup.Routine{Share: rapid.Float64Range(0.02, 0.6).Draw(t, "share"), EveryDays: rapid.Float64Range(1, 30).Draw(t, "every"),
			Fresh: rapid.Float64Range(5, 15).Draw(t, "fresh"), Demand: rapid.Float64Range(-0.5, 0.5).Draw(t, "demand")}
		if math.Abs(r.Demand) < 1e-3 {
			return
		}
		aim := rapid.Float64Range(4, 16).Draw(t, "aim")
		share, every, fresh := r.Holds(aim)
		middle := func(r makeup.Routine) float64 {
			after, before := r.Settled()
			return (after + before) / 2
		}
		if share > 0 && share <= 1 {
			other := r
			other.Share = share
			if got := middle(other); math.Abs(got-aim) > 1e-6 {
				t.Errorf("share %v settles at %v, want %v", share, got, aim)
			}
		}
		if every > 0 {
			other := r
			other.EveryDays = every
			if got := middle(other); math.Abs(got-aim) > 1e-6 {
				t.Errorf("every %v settles at %v, want %v", every, got, aim)
			}
		}
		other := r
		other.Fresh = fresh
		if got := middle(other); math.Abs(got-aim) > 1e-6 {
			t.Errorf("new water %v settles at %v, want %v", fresh, got, aim)
		}
	})
}

func TestChangesThatAreNotPossible(t *testing.T) {
	f := tank(t, usual)
	b, err := makeup.Mix(makeup.Ask{Litres: 40, Salinity: 35}, find)
	if err != nil {
		t.Fatal(err)
	}
	for says, ask := range map[string]makeup.Following{
		"not in the book":      {Tank: "pier"},
		"up to its 400 L":      {Tank: "quay", Litres: 401},
		"a change of −1 L":     {Tank: "quay", Litres: -1},
		"expected 0.25 to 365": {Tank: "quay", EveryDays: 0.01},
		"expected 1 to 104":    {Tank: "quay", Weeks: 500},
		"never tested":         {Tank: "quay", Reach: figures(t, "potassium=400")},
	} {
		if c, err := makeup.Follow(standing.NewDesk(), f, b, ask, asOf); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%+v gives %v, %v; want %q", ask, c.Says, err, says)
		}
	}
}
