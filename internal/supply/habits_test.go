package supply

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func byHand(day float64, tank, substance, amount, every string) string {
	return line(day, "routine", fmt.Sprintf(`"tank":%q,"name":"by hand","action":"dose","substance":%q,"amount":%s,"unit":"g","every_days":%s,"from":%q`,
		tank, substance, amount, every, onDay(day).Format(time.RFC3339)))
}

// 10 g every other day, declared 60 days ago: 30 turns, 300 g. 24 were done, 240 g.
// Against one turn as declared: (240 + 10)/(300 + 10) = 0.80645 of it. A turn's
// spread is sqrt(0.80645 × 0.19355) = 0.39508, the share's doubt that over sqrt(31) =
// 0.07096. 5 g a day declared make 4.0323 ± 0.3548 g.
func TestHandWorkIsLearnedFromTheLog(t *testing.T) {
	lines := []string{byHand(-60, "quay", chalk, "10", "2"), shelved(0, chalk, "100", "g"), line(-80, "chore", `"tank":"quay","name":"glass"`)}
	for i := range 24 {
		lines = append(lines, dosed(-59.5+2.4*float64(i), "quay", chalk, "10", "g"))
	}
	it := itemOf(t, shelfOn(t, start, lines...), chalk)
	near(t, "daily", it.Daily.Mean, 5*250.0/310, 1e-9)
	near(t, "its doubt", it.Daily.SD, 5*0.39508/math.Sqrt(31), 1e-3)
	if len(it.Users) != 1 || it.Users[0].AWeek != 35 || !strings.Contains(it.Users[0].Says, "35 g a week as declared, 81 % of it by the log") {
		t.Errorf("%+v", it.Users)
	}
	// The next turn is two days after the last, on -59.5 + 55.2 + 2 = -2.3: it is overdue
	// and taken as done today; then on days 2, 4, …: 8.0645 g each, the thirteenth of
	// them (104.8 g) on day 24.
	sameDay(t, "expected", it.RunsOut.Expected, onDay(24))
	if it.RunsOut.Late == nil || !it.RunsOut.Early.Before(onDay(24)) || !it.RunsOut.Late.After(onDay(24)) {
		t.Errorf("early and late: %+v", it.RunsOut)
	}
}

// Three doses of 20 g in 60 days that no routine asks for are 1 g a day, with a
// doubt of sqrt(3 × 400)/60 = 0.577 g.
func TestWhatIsDosedBesideAnyRoutine(t *testing.T) {
	lines := []string{shelved(-90, chalk, "100", "g"), dosed(-70, "quay", chalk, "5", "g"), dosed(-50, "quay", chalk, "20", "g"), dosed(-30, "quay", chalk, "20", "g"), dosed(-10, "quay", chalk, "20", "g")}
	it := itemOf(t, shelfOn(t, start, lines...), chalk)
	near(t, "daily", it.Daily.Mean, 1, 1e-9)
	near(t, "its doubt", it.Daily.SD, math.Sqrt(1200)/60, 1e-9)
	near(t, "left", it.Left.Mean, 35, 1e-9)
	// At the end of day i, i+1 g are expected: 35 at i = 34.
	sameDay(t, "expected", it.RunsOut.Expected, onDay(34))
}

// A routine that has ended says nothing of the days to come.
func TestARoutineThatHasEnded(t *testing.T) {
	ended := strings.TrimSuffix(byHand(-40, "quay", chalk, "10", "2"), "}") + `,"until":"2026-02-20T00:00:00Z"}`
	lines := []string{ended, shelved(-50, chalk, "300", "g")}
	for i := range 15 {
		lines = append(lines, dosed(-40+2*float64(i), "quay", chalk, "10", "g"))
	}
	it := itemOf(t, shelfOn(t, start, lines...), chalk)
	near(t, "left", it.Left.Mean, 150, 1e-9)
	// Of 31 days 16 turns were declared, 160 g: the 150 g logged do not go beyond them.
	if it.Daily.Mean != 0 || it.RunsOut != nil || it.State != Unused {
		t.Errorf("%+v", it)
	}
}

const plan = `{"kind":"correction","id":"p","at":"2026-03-01T00:00:00Z","tank":"quay","quantity":"calcium","aim":430,"unit":"mg/L","substance":"calcium chloride dihydrate","steps":[` +
	`{"at":"2026-03-02T08:00:00Z","amount":60,"unit":"g"},{"at":"2026-03-03T08:00:00Z","amount":60,"unit":"g"},{"at":"2026-03-21T08:00:00Z","amount":60,"unit":"g"}]}`

// An accepted correction takes what is still to come of it: after the first dose
// 120 g, the last on day 20; 100 g run out then, which is late for a jar and yet
// before the plan's end: running low.
func TestAcceptedPlans(t *testing.T) {
	lines := []string{shelved(0, chalk, "160", "g"), plan, dosed(1.35, "quay", chalk, "60", "g")}
	it := itemOf(t, shelfOn(t, onDay(1.5), lines...), chalk)
	near(t, "left", it.Left.Mean, 100, 1e-9)
	if len(it.Users) != 1 || it.Users[0].Total != 120 || it.Users[0].What != "correction" || it.Users[0].Quantity != "calcium" || it.Daily.Mean != 0 {
		t.Errorf("%+v", it.Users)
	}
	sameDay(t, "runs out", it.RunsOut.Expected, onDay(20))
	if it.State != Low {
		t.Errorf("the state is %q", it.State)
	}
	// Once ended it takes nothing, and its dose is nobody's habit.
	it = itemOf(t, shelfOn(t, onDay(2), append(lines, line(1.6, "plan end", `"tank":"quay","plan":"p"`))...), chalk)
	if len(it.Users) > 1 || it.Left.Mean != 100 {
		t.Errorf("%+v", it)
	}
	course := line(0, "course", `"tank":"quay","name":"clearing","substance":"hydrogen peroxide 3 %","amount":10,"unit":"mL","every_hours":12,"days":5`)
	it = itemOf(t, shelfOn(t, onDay(0.1), shelved(0, "hydrogen peroxide 3 %", "80", "mL"), course), "hydrogen peroxide 3 %")
	if it.Users[0].Total != 100 || it.State != Low { // ten turns of 10 mL
		t.Errorf("%+v", it)
	}
}

// 500 g, a machine of 50 g a day, and a plan of three times 150 g on days 1, 2 and
// 3. By the ends of these days 150 + 100, 300 + 150 and 450 + 200 g are gone: 150 g
// short on day 3. Alone, 450 of 500 g are enough.
func TestEnoughForAPlan(t *testing.T) {
	takes := []Take{{chalk, 150, "g", onDay(1.3)}, {chalk, 150, "g", onDay(2.3)}, {chalk, 150, "g", onDay(3.3)}}
	s := shelfOn(t, start, shelved(0, chalk, "500", "g"), pumped(-5, "quay", chalk, "50", "g", "1"))
	a := s.Enough(takes)
	if len(a.Needs) != 1 || !a.Needs[0].Known {
		t.Fatalf("%+v", a)
	}
	near(t, "short", a.Needs[0].Short, 150, 1e-6)
	sameDay(t, "before", a.Needs[0].Before, onDay(3))
	if want := "Uses 450 g; 500 g stands on the shelf, of which 200 g goes elsewhere by then, 150 g short; buy before Wednesday 4 March."; a.Says != want {
		t.Errorf("%q, want %q", a.Says, want)
	}
	if a = shelfOn(t, start, shelved(0, chalk, "1.6", "kg")).Enough(takes); a.Says != "Uses 450 g; 1.6 kg stands on the shelf, enough." {
		t.Errorf("%q", a.Says)
	}
	if a = shelfOn(t, start).Enough(takes); a.Says != "Uses 450 g, of which nothing is written on the shelf." || a.Needs[0].Known {
		t.Errorf("%q", a.Says)
	}
	// At once, with others left out: 500 g of 450 are short by nothing, 600 by 100.
	s = shelfOn(t, start, shelved(0, chalk, "500", "g"), pumped(-5, "quay", chalk, "50", "g", "1"))
	if a = s.Enough([]Take{{chalk, 600, "g", time.Time{}}}); a.Says != "Uses 600 g; 500 g stands on the shelf, 100 g short: buy it first." {
		t.Errorf("%q", a.Says)
	}
	if a = s.Enough(nil); a.Says != "" || len(a.Needs) != 0 {
		t.Errorf("%+v", a)
	}
}

// 50 g a day are 50 × 30.4375 g a month; at 20 EUR a kilogram 30.44 EUR. 2 g of the
// other at 5 USD for 100 g are 3.04 USD. They are not added; the newest price holds.
func TestCostsByCurrency(t *testing.T) {
	s := shelfOn(t, start, shelved(-9, chalk, "1", "kg", `,"price":90,"currency":"EUR"`), shelved(-1, chalk, "2", "kg", `,"added":true,"price":40,"currency":"eur"`),
		shelved(0, chalk, "2.5", "kg"), pumped(-5, "quay", chalk, "50", "g", "1"),
		shelved(0, "boric acid", "100", "g", `,"price":5,"currency":"USD"`), pumped(-5, "lock", "boric acid", "2", "g", "1"))
	if len(s.Costs) != 2 || s.Costs[0].Currency != "EUR" || s.Costs[1].Currency != "USD" {
		t.Fatalf("%+v", s.Costs)
	}
	near(t, "euros", s.Costs[0].AMonth, 50*30.4375*0.02, 1e-9)
	near(t, "dollars", s.Costs[1].AMonth, 2*30.4375*0.05, 1e-9)
}

// To the end of day 19 from midnight of day 0: 20 days of 50 g, 1000 g ± 3 %; safe
// is 1000 + 1.6449 × 30 = 1049.3 g, and 549.3 of it lack.
func TestHoldingOut(t *testing.T) {
	f := facts(t, start, shelved(0, chalk, "500", "g"), pumped(-5, "quay", chalk, "50", "g", "1"))
	s, err := Of(f, start, onDay(19.5))
	if err != nil {
		t.Fatal(err)
	}
	h := itemOf(t, s, chalk).Hold
	near(t, "need", h.Need.Mean, 1000, 1e-9)
	near(t, "doubt", h.Need.SD, 30, 1e-9)
	near(t, "short", h.Short, 1000+1.6449*30-500, 1e-6)
	for _, until := range []time.Time{onDay(-2), onDay(900)} {
		if _, err := Of(f, start, until); err == nil {
			t.Errorf("held out to %s", until)
		}
	}
}

// Whatever is counted and used: what is left is the sum, early comes before late,
// and no figure is anything but a number.
func TestShelvesAddUp(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		count := rapid.IntRange(0, 5000).Draw(r, "count")
		sum := float64(count)
		lines := []string{shelved(-40, chalk, fmt.Sprint(count), "g")}
		for i := range rapid.IntRange(0, 12).Draw(r, "lines") {
			amount := rapid.IntRange(1, 300).Draw(r, "amount")
			day := -39 + 3*float64(i)
			if rapid.Bool().Draw(r, "added") {
				lines = append(lines, shelved(day, chalk, fmt.Sprint(amount), "g", `,"added":true`))
				sum += float64(amount)
			} else {
				lines = append(lines, dosed(day, "quay", chalk, fmt.Sprint(amount), "g"))
				sum -= float64(amount)
			}
		}
		if rapid.Bool().Draw(r, "routine") {
			lines = append(lines, byHand(float64(rapid.IntRange(-50, 20).Draw(r, "from")), "quay", chalk, "7", rapid.SampledFrom([]string{"0.5", "1", "9"}).Draw(r, "every")))
		}
		it := itemOf(t, shelfOn(t, start, lines...), chalk)
		near(t, "left", it.Left.Mean, sum, 1e-6)
		for _, v := range []float64{it.Left.SD, it.Daily.Mean, it.Daily.SD} {
			if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
				r.Fatalf("%+v", it)
			}
		}
		if o := it.RunsOut; o != nil && (o.Expected != nil && o.Early.After(*o.Expected) || o.Expected != nil && o.Late != nil && o.Late.Before(*o.Expected)) {
			r.Fatalf("%+v", o)
		}
	})
}
