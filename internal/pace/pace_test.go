package pace_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/pace"
	"driftline/units"
)

var now = time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)

func on(hours float64) time.Time { return now.Add(time.Duration(hours * float64(time.Hour))) }

func facts(t *testing.T, texts ...string) (*book.Facts, *book.TankFacts) {
	t.Helper()
	var lines []book.Line
	for i, text := range append([]string{`{"kind":"tank","at":"2025-10-01T08:00:00Z","name":"quay","net_volume":300,"unit":"L"}`}, texts...) {
		l, err := book.ParseLine([]byte(text))
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		if l.ID == "" {
			l.ID = string(rune('a' + i))
		}
		lines = append(lines, l)
	}
	f := book.Replay(lines, now)
	tank, ok := f.Tank("quay")
	if !ok {
		t.Fatal("no tank")
	}
	return f, tank
}

func all(pace.Dose) bool { return true }

// By hand, IUPAC weights: 1 g of NaHCO3 (84.007 g/mol) in 300 L is 1000/84.007/300 =
// 0.039680 meq/L, times 2.8039 dKH = 0.11126 dKH. The trade's ceiling of a day is
// 1 dKH (common practice, no source): 8.99 g.
func TestADaysDoses(t *testing.T) {
	f, tank := facts(t)
	soda := func(hours, grams float64) pace.Dose {
		return pace.Dose{At: on(hours), Substance: "sodium bicarbonate", Amount: grams, Unit: "g"}
	}
	for name, c := range map[string]struct {
		doses []pace.Dose
		rise  float64 // 0 when it may be
	}{
		"one small":              {[]pace.Dose{soda(0, 8.9)}, 0},
		"one large":              {[]pace.Dose{soda(0, 18)}, 18 * 0.11126},
		"two in a day":           {[]pace.Dose{soda(0, 6), soda(12, 6)}, 12 * 0.11126},
		"out of order":           {[]pace.Dose{soda(12, 6), soda(0, 6)}, 12 * 0.11126},
		"two a day apart":        {[]pace.Dose{soda(0, 6), soda(24, 6)}, 0},
		"another unit":           {[]pace.Dose{{At: on(0), Substance: "sodium bicarbonate", Amount: 0.018, Unit: "kg"}}, 18 * 0.11126},
		"what nobody knows":      {[]pace.Dose{{At: on(0), Substance: "moonstone", Amount: 1e6, Unit: "g"}}, 0},
		"measured the wrong way": {[]pace.Dose{{At: on(0), Substance: "sodium bicarbonate", Amount: 1e6, Unit: "mL"}}, 0},
	} {
		e, over := pace.Over(f, tank, c.doses, all, now)
		if over != (c.rise > 0) || over && (e.Quantity != units.Alkalinity || math.Abs(e.Rise-c.rise) > 1e-3*c.rise) {
			t.Errorf("%s: %+v, %v, want a rise of %v", name, e, over, c.rise)
		}
		if over && !strings.Contains(e.Says("It"), "It would raise alkalinity by "+units.Format(units.Alkalinity, c.rise, "dKH")+" in a day; more than 1.0 dKH") {
			t.Errorf("%s: %s", name, e.Says("It"))
		}
	}
	days := []pace.Dose{soda(0, 18), soda(100, 2)}
	if _, over := pace.Over(f, tank, days, func(d pace.Dose) bool { return d.Amount == 2 }, now); over {
		t.Error("a small dose is held for a large one four days before")
	}
}

// What stands in the log counts whoever wrote it there: a plan written by hand, two
// plans together, and what was given already.
func TestTheNextDoseOfAPlanIsHeld(t *testing.T) {
	const large = `{"id":"large","kind":"correction","at":"2026-03-01T08:00:00Z","tank":"quay","quantity":"alkalinity","aim":12,"unit":"dKH","substance":"sodium bicarbonate","steps":[{"at":"2026-03-02T09:00:00Z","amount":60,"unit":"g"}]}`
	const small = `{"id":"small","kind":"correction","at":"2026-03-01T08:00:00Z","tank":"quay","quantity":"alkalinity","aim":9,"unit":"dKH","substance":"sodium bicarbonate","steps":[{"at":"2026-03-02T09:00:00Z","amount":5,"unit":"g"}]}`
	const course = `{"id":"course","kind":"course","at":"2026-03-01T08:00:00Z","tank":"quay","name":"soda","substance":"sodium bicarbonate","amount":5,"unit":"g","every_hours":24,"days":5,"from":"2026-03-02T18:00:00Z"}`
	const given = `{"id":"given","kind":"dose","at":"2026-03-02T07:30:00Z","tank":"quay","substance":"sodium bicarbonate","amount":5,"unit":"g","plan":"course"}`
	const early = `{"id":"course","kind":"course","at":"2026-03-01T08:00:00Z","tank":"quay","name":"soda","substance":"sodium bicarbonate","amount":5,"unit":"g","every_hours":24,"days":5,"from":"2026-03-02T07:30:00Z"}`
	for name, c := range map[string]struct {
		lines []string
		plan  string
		held  bool
		plans int
	}{
		"by itself":            {[]string{large}, "large", true, 1},
		"small enough":         {[]string{small}, "small", false, 0},
		"with another plan":    {[]string{small, course}, "small", true, 2},
		"that other plan":      {[]string{small, course}, "course", true, 2},
		"after what was given": {[]string{small, early, given}, "small", true, 2},
		"no such plan":         {[]string{large}, "none", false, 0},
	} {
		f, tank := facts(t, c.lines...)
		if e, held := pace.Held(f, tank, c.plan, now); held != c.held || held && len(e.Plans) != c.plans {
			t.Errorf("%s: %+v, %v", name, e, held)
		}
	}
}
