package standing

import (
	"math"
	"testing"
	"time"

	"driftline/units"
)

func routine(day float64, name, fields string) string {
	return at(day, `"kind":"routine","tank":"quay","name":"`+name+`",`+fields)
}

func TestMachineIsAFeedUntilItsNextDeclaration(t *testing.T) {
	// 10 mL a day of 50 mg/mL into 400 L is 1.25 mg/L a day; from day 20, 8 mL is 1.0.
	m := surveyOf(t, onDay(30),
		at(-1, `"kind":"substance","name":"stock","contains":[{"quantity":"calcium","value":50,"unit":"mg/mL"}]`),
		reading(0, "calcium", "420", "mg/L", ""),
		routine(0, "pump", `"action":"dose","substance":"stock","amount":5,"unit":"mL","every_days":0.5,"automatic":true`),
		routine(20, "Pump", `"action":"dose","substance":"stock","amount":4,"unit":"mL","every_days":0.5,"automatic":true,"until":"`+onDay(50).Format(time.RFC3339)+`"`),
	).newMatter(units.Calcium)
	feeds := m.kase.Feeds
	if len(feeds) != 2 {
		t.Fatalf("%d feeds, want 2", len(feeds))
	}
	start := dayOf(onDay(0))
	near(t, "first rate", feeds[0].Rate, 1.25, 1e-9)
	near(t, "first ends", feeds[0].To-start, 20, 1e-6)
	near(t, "second rate", feeds[1].Rate, 1.0, 1e-9)
	near(t, "second ends", feeds[1].To-start, 50, 1e-6)

	now := dayOf(onDay(30))
	near(t, "known to the engine until now", m.upTo(now).Feeds[1].To, now, 1e-6)
	plan := m.plan(now, 60, true)
	if len(plan.Feeds) != 1 {
		t.Fatalf("%d feeds planned, want 1", len(plan.Feeds))
	}
	near(t, "planned from now", plan.Feeds[0].From, now, 1e-6)
	near(t, "planned to its end", plan.Feeds[0].To-start, 50, 1e-6)
}

func TestMachineExchangesWaterInDailySteps(t *testing.T) {
	m := surveyOf(t, onDay(10), reading(0, "calcium", "420", "mg/L", ""),
		routine(0, "exchange", `"action":"water change","volume":1,"unit":"L","every_days":0.25,"automatic":true,"composition":[{"quantity":"calcium","value":440,"unit":"mg/L"}]`),
	).newMatter(units.Calcium)
	if n := len(m.kase.Changes); n != 10 {
		t.Fatalf("%d steps in 10 days, want 10", n)
	}
	near(t, "four litres a day of 400", m.kase.Changes[0].Fraction, 0.01, 1e-12)
	if plan := m.plan(dayOf(onDay(10)), 30, true); len(plan.Changes) != 30 {
		t.Errorf("%d steps planned in 30 days, want 30", len(plan.Changes))
	}
}

func TestHandWorkCountsOnlyWhenLogged(t *testing.T) {
	hand := routine(0, "weekly lime", `"action":"dose","substance":"calcium hydroxide","amount":10,"unit":"g","every_days":7`)
	dose := func(day float64) string {
		return at(day, `"kind":"dose","tank":"quay","substance":"Calcium Hydroxide","amount":10,"unit":"g"`)
	}
	now := 30.0
	cases := []struct {
		name   string
		logged []string
		first  float64 // the first planned turn, days after now
		done   int
	}{
		{"never logged: soon", nil, overdueLead, 0},
		{"overdue: soon", []string{dose(2), dose(9)}, overdueLead, 2},
		{"due in four days", []string{dose(20), dose(27)}, 4, 2},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			m := surveyOf(t, onDay(now), append(c.logged, hand, reading(0, "calcium", "420", "mg/L", ""))...).newMatter(units.Calcium)
			if len(m.kase.Inputs) != c.done || len(m.kase.Feeds) != 0 {
				t.Errorf("%d inputs and %d feeds, want %d and none", len(m.kase.Inputs), len(m.kase.Feeds), c.done)
			}
			t0 := dayOf(onDay(now))
			plan := m.plan(t0, 30, false)
			near(t, "first turn", plan.Inputs[0].T-t0, c.first, 1e-6)
			near(t, "then at its interval", plan.Inputs[1].T-plan.Inputs[0].T, 7, 1e-6)
			if stopped := m.plan(t0, 30, true); len(stopped.Inputs) != 0 {
				t.Errorf("hands off still plans %d doses", len(stopped.Inputs))
			}
		})
	}
}

func TestSchedule(t *testing.T) {
	s := surveyOf(t, onDay(30),
		routine(0, "water", `"action":"water change","volume":40,"unit":"L","every_days":7`),
		routine(0, "glass", `"action":"chore","every_days":3`),
		routine(0, "retired", `"action":"chore","every_days":3,"until":"`+onDay(10).Format(time.RFC3339)+`"`),
		routine(29, "new", `"action":"test","quantity":"Mg","every_days":21,"from":"`+onDay(35).Format(time.RFC3339)+`"`),
		at(26, `"kind":"water change","tank":"quay","volume":40,"unit":"L"`),
		at(28, `"kind":"chore","tank":"quay","name":"Glass"`),
		reading(20, "magnesium", "1300", "mg/L", ""),
	)
	want := map[string]float64{"water": 33, "glass": 31, "new": 41}
	got := Schedule(s.tank, onDay(30))
	if len(got) != len(want) {
		t.Fatalf("%d routines, want %d", len(got), len(want))
	}
	for _, d := range got {
		near(t, d.Routine.Name, dayOf(d.Next)-dayOf(onDay(0)), want[d.Routine.Name], 1e-6)
	}
}

func TestTurnsOfAMachineKeepItsRhythm(t *testing.T) {
	tr := turn{next: 0, every: 7, end: math.Inf(1)}
	got := tr.turns(10, 20)
	if len(got) != 3 || got[0] != 14 || got[2] != 28 {
		t.Errorf("turns %v, want 14, 21, 28", got)
	}
}
