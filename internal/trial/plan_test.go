package trial_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/effect"
	"driftline/internal/rehearsal"
	"driftline/internal/standing"
	"driftline/internal/trial"
)

func TestOutcomesInTheirShortForm(t *testing.T) {
	for text, want := range map[string]book.Outcome{
		"nitrate fall by 1 mg/L NO3 every 7":    {What: "reading", Of: "nitrate", Unit: "mg/L NO3", Hoped: "fall", Matters: "1", EveryDays: "7"},
		"reading alkalinity rises by 0,5 dKH":   {What: "reading", Of: "alkalinity", Unit: "dKH", Hoped: "rise", Matters: "0.5"},
		"score film algae fall by 0.5 every 3d": {What: "score", Of: "film algae", Hoped: "fall", Matters: "0.5", EveryDays: "3"},
		"Interval clean glass rise by 1.3":      {What: "interval", Of: "clean glass", Hoped: "rise", Matters: "1.3"},
		"count sand siphoned fall":              {What: "count", Of: "sand siphoned", Hoped: "fall"},
		"peak temperature falls by 0.5 °C":      {What: "peak", Of: "temperature", Unit: "°C", Hoped: "fall", Matters: "0.5"},
		"phosphate fall":                        {What: "reading", Of: "phosphate", Unit: "mg/L PO4", Hoped: "fall"},
	} {
		if got, err := trial.ParseOutcome(text); err != nil || got != want {
			t.Errorf("%q: %+v, %v, want %+v", text, got, err, want)
		}
	}
	for text, want := range map[string]string{
		"":                               "what should rise or fall",
		"nitrate":                        "what should rise or fall",
		"film algae fall by 0.5":         "no quantity",
		"nitrate fall by 1":              "no unit",
		"nitrate fall by 1 furlong":      "furlong",
		"nitrate fall by -1 mg/L NO3":    "not a difference above 0",
		"nitrate fall by NaN mg/L NO3":   "not a difference above 0",
		"score film fall by 0.5 every 0": "not a number of days",
		"score film fall 0.5":            "is not understood",
		"peak film fall by 0.5 °C":       "no quantity",
	} {
		if _, err := trial.ParseOutcome(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q in it", text, err, want)
		}
	}
}

func FuzzParseOutcome(f *testing.F) {
	for _, s := range []string{"nitrate fall by 1 mg/L NO3 every 7", "score film rise", "interval x fall by 1,3 every 2 days", "peak temperature fall by 1 °C"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		o, err := trial.ParseOutcome(text)
		if err != nil {
			if strings.Contains(err.Error(), "\n") && !strings.Contains(text, "\n") {
				t.Errorf("%q: more than a line: %v", text, err)
			}
			return
		}
		if o.What == "" || o.Of == "" || o.Hoped != "rise" && o.Hoped != "fall" {
			t.Errorf("%q gives %+v", text, o)
		}
		if m, ok := o.Matters.Float(); o.Matters != "" && (!ok || !(m > 0)) {
			t.Errorf("%q matters from %s", text, o.Matters)
		}
		if trial.Label(o) == "" || trial.Hope(o) == "" {
			t.Errorf("%q has no words", text)
		}
	})
}

func TestChangesMeanwhile(t *testing.T) {
	l := newLedger(t)
	l.film(-90, 60)
	set := func(day float64, tank, device string, v int) {
		l.add(day, "setting", tank, fmt.Sprintf(`"equipment":%q,"property":"power","value":%d,"unit":"%%"`, device, v))
	}
	pump := func(day, amount float64) {
		l.add(day, "routine", "pier", fmt.Sprintf(`"name":"dosing","action":"dose","substance":"sodium bicarbonate","amount":%g,"unit":"g","every_days":1`, amount))
	}
	set(-190, "pier", "lamp", 40) // said for the first time: no change
	set(-190, "bay", "lamp", 40)
	set(-190, "pier", "flow pump", 50)
	pump(-180, 10)
	pump(-50, 10.9) // trimmed: no change
	pump(-40, 16)   // much more
	set(0.1, "pier", "flow pump", 80)
	set(5, "pier", "lamp", 60) // in the settling of the trial
	set(30, "bay", "lamp", 30)
	l.trial(-5, `"comparison":["bay"],"settle_days":10`)
	r := l.report(61)
	var got []string
	for _, c := range r.Clashes {
		got = append(got, fmt.Sprintf("%.0f %s %s", c.At.Sub(start).Hours()/24, c.Tank, c.What))
	}
	want := []string{"-40 pier routine dosing (16 g sodium bicarbonate a day)", "5 pier power of lamp set to 60 %", "30 bay power of lamp set to 30 %"}
	if strings.Join(got, "; ") != strings.Join(want, "; ") {
		t.Fatalf("changes %q, want %q", got, want)
	}
	if lamp := r.Clashes[1]; !lamp.Together() || !lamp.In {
		t.Errorf("a lamp set within the settling: %+v", lamp)
	}
	if r.Verdict != effect.CantTell || !strings.Contains(r.Says, "lamp") {
		t.Errorf("verdict %q: %s", r.Verdict, r.Says)
	}
	if other := r.Clashes[2]; other.Together() || math.Abs(other.Mixed) < 0.2 {
		t.Errorf("a change half way: %+v", other)
	}
	if text := strings.Join(r.Deviations, " "); !strings.Contains(text, "can't be told apart") || !strings.Contains(text, "in bay") {
		t.Errorf("deviations: %s", text)
	}
}

// A later start that is said to tell two changes apart does.
func TestSeparateDates(t *testing.T) {
	l := newLedger(t)
	l.film(-90, 0)
	l.add(-150, "setting", "pier", `"equipment":"lamp","property":"power","value":40,"unit":"%"`)
	l.add(-3, "setting", "pier", `"equipment":"lamp","property":"power","value":60,"unit":"%"`)
	plan := func(from float64) trial.Prospect {
		a, b := at(from), at(from+56)
		p, err := trial.Foresee(standing.NewDesk(), l.facts(0), "pier", &book.Trial{Name: "flow", Change: "flow up", On: []book.Phase{{From: &a}}, Ends: &b,
			Comparison: []string{"bay"}, Outcomes: []book.Outcome{{What: "score", Of: "film", Hoped: "fall", Matters: "0.5", EveryDays: "3"}}}, at(0))
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	p := plan(1)
	if len(p.Clashes) != 1 || math.Abs(p.Clashes[0].Mixed) < 0.7 || p.Clashes[0].Separate.IsZero() {
		t.Fatalf("clashes %+v", p.Clashes)
	}
	if text := strings.Join(p.Beside(), ""); !strings.Contains(text, "or later would tell them apart") {
		t.Errorf("said: %s", text)
	}
	later := plan(p.Clashes[0].Separate.Sub(start).Hours() / 24)
	for _, c := range later.Clashes {
		if math.Abs(c.Mixed) > 0.7 {
			t.Errorf("started on %v they are still mixed by %v", p.Clashes[0].Separate, c.Mixed)
		}
	}
}

func TestForesee(t *testing.T) {
	l := newLedger(t)
	for i := range 40 { // scores of 2 and 3, by turns of odd length
		l.score(float64(-120+3*i)+0.5, "pier", "film", 2+(i*i/3)%2)
		l.score(float64(-120+3*i)+0.6, "bay", "film", 2+(i*i/5)%2)
	}
	plan := func(matters, every string, weeks int, compare bool) trial.Chance {
		a, b := at(1), at(1).AddDate(0, 0, 7*weeks)
		body := &book.Trial{Name: "flow", Change: "flow up", On: []book.Phase{{From: &a}}, Ends: &b,
			Outcomes: []book.Outcome{{What: "score", Of: "film", Hoped: "fall", Matters: book.Number(matters), EveryDays: book.Number(every)}}}
		if compare {
			body.Comparison = []string{"bay"}
		}
		p, err := trial.Foresee(standing.NewDesk(), l.facts(0), "pier", body, at(0))
		if err != nil || len(p.Outcomes) != 1 || p.Outcomes[0].Missing != "" {
			t.Fatalf("%v, %+v", err, p.Outcomes)
		}
		return p.Outcomes[0]
	}
	a := plan("0.5", "3", 8, true)
	if again := plan("0.5", "3", 8, true); again.Power != a.Power || again.Least != a.Least {
		t.Errorf("asked twice: %v and %v", a, again)
	}
	if more := plan("1", "3", 8, true); more.Power <= a.Power || more.Least != a.Least {
		t.Errorf("twice the difference: power %v after %v, least %v after %v", more.Power, a.Power, more.Least, a.Least)
	}
	if seldom := plan("0.5", "12", 8, true); seldom.Power >= a.Power || seldom.Looks >= a.Looks {
		t.Errorf("a quarter of the looks: power %v after %v", seldom.Power, a.Power)
	}
	if alone := plan("0.5", "3", 8, false); alone.Power >= a.Power {
		t.Errorf("without a comparison, and so with a trend: power %v, with one %v", alone.Power, a.Power)
	}
	if c := plan(fmt.Sprintf("%.3f", a.Least), "3", 8, true); math.Abs(c.Power-0.8) > 0.02 {
		t.Errorf("the difference that four of five trials show shows in %.2f of them", c.Power)
	}
	need := plan("1.1", "3", 3, true)
	if math.IsInf(need.WeeksNeeded, 1) || need.Power >= 0.8 {
		t.Fatalf("needs %v weeks, power %v in three", need.WeeksNeeded, need.Power)
	}
	if enough := plan("1.1", "3", int(need.WeeksNeeded), true); enough.Power < 0.78 || enough.Looks != need.LooksNeeded {
		t.Errorf("in the %v weeks needed the power is %v with %d looks, %d were said", need.WeeksNeeded, enough.Power, enough.Looks, need.LooksNeeded)
	}
	for _, v := range plan("0.5", "3", 8, false).Better {
		if v.Power <= plan("0.5", "3", 8, false).Power {
			t.Errorf("%s is told as better with a power of %v", v.Name, v.Power)
		}
	}
}

func TestForeseeWithoutAPast(t *testing.T) {
	l := newLedger(t)
	a := at(1)
	ask := func(o book.Outcome) trial.Chance {
		p, err := trial.Foresee(standing.NewDesk(), l.facts(0), "pier", &book.Trial{Name: "x", Change: "y", On: []book.Phase{{From: &a}}, Outcomes: []book.Outcome{o}}, at(0))
		if err != nil {
			t.Fatal(err)
		}
		return p.Outcomes[0]
	}
	if c := ask(book.Outcome{What: "reading", Of: "nitrate", Unit: "mg/L NO3", Hoped: "fall"}); c.Missing == "" {
		t.Errorf("nitrate never read: %+v", c)
	}
	if c := ask(book.Outcome{What: "score", Of: "film", Hoped: "fall", Matters: "1", EveryDays: "2"}); c.Missing == "" && !strings.Contains(c.NoiseFrom, "a guess") {
		t.Errorf("a sign never scored: %+v", c)
	}
	if _, err := trial.Foresee(standing.NewDesk(), l.facts(0), "attic", &book.Trial{}, at(0)); err == nil {
		t.Error("a tank that is not there")
	}
	if _, err := trial.Foresee(standing.NewDesk(), l.facts(0), "pier", &book.Trial{Name: "x", Comparison: []string{"attic"}, On: []book.Phase{{From: &a}}, Outcomes: []book.Outcome{{What: "score", Of: "film", Hoped: "fall"}}}, at(0)); err == nil || !strings.Contains(err.Error(), "attic") {
		t.Errorf("a comparison tank that is not there: %v", err)
	}
}

func TestDraftAndLot(t *testing.T) {
	from, until := at(1), at(20)
	d := trial.Draft{Name: "x", Change: "y", On: []book.Phase{{From: &from}}, Outcomes: []string{"score film fall by 0.5"}, StopWhen: []string{"polyps <= 1 twice running"}, DrawUntil: until, Drawn: 7}
	b, err := d.Trial()
	if err != nil || !b.On[0].From.Equal(at(8)) || !b.DrawnFrom.Equal(at(1)) || !b.DrawnUntil.Equal(at(20)) || !b.Ends.Equal(at(8+56)) || len(b.StopWhen) != 1 {
		t.Fatalf("%+v, %v", b, err)
	}
	if n, err := d.Starts(); err != nil || n != 20 {
		t.Errorf("%d days to draw from, %v, want 20", n, err)
	}
	for want, broken := range map[string]trial.Draft{
		"when the change comes": {Outcomes: d.Outcomes},
		"rise or fall":          {On: d.On, Outcomes: []string{"film"}},
		"polyps ?":              {On: d.On, Outcomes: d.Outcomes, StopWhen: []string{"polyps ?"}},
		"one day":               {On: d.On, Outcomes: d.Outcomes, DrawUntil: from},
		"comes once":            {On: []book.Phase{{From: &from, Until: &until}, {From: &until}}, Outcomes: d.Outcomes, DrawUntil: at(40)},
	} {
		if _, err := broken.Trial(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q in it", err, want)
		}
	}
}

// A drawn start is tested over all days the lot could have fallen on.
func TestADrawnStartIsTestedExactly(t *testing.T) {
	l := newLedger(t)
	l.film(-90, 60)
	l.trial(-30, fmt.Sprintf(`"comparison":["bay"],"drawn_from":%q,"drawn_until":%q`, at(-15).Format(time.RFC3339), at(14).Format(time.RFC3339)))
	f := l.report(61).Findings[0]
	if len(f.Ask.Starts) != 30 || f.Result.Exact < 0 || f.Result.Exact > 0.2 {
		t.Errorf("%d starts, exact p %v", len(f.Ask.Starts), f.Result.Exact)
	}
}

func TestThePlanAsItStood(t *testing.T) {
	l := newLedger(t)
	id := l.trial(-5, `"question":"first"`)
	again := func(day float64, old, more string) string {
		written := at(day)
		text := fmt.Sprintf(`{"id":%q,"replaces":%q,"kind":"trial","at":%q,"tank":"pier","name":"more flow","change":"flow pump up","on":[{"from":%q}],"ends":%q,"outcomes":[{"what":"score","of":"film","hoped":"fall","matters":0.5,"every_days":3}],%s}`,
			book.NewID(written), old, at(-5).Format(time.RFC3339), at(0).Format(time.RFC3339), at(60).Format(time.RFC3339), more)
		line, err := book.ParseLine([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		l.lines = append(l.lines, line)
		return line.ID
	}
	second := again(-2, id, `"question":"second"`)
	again(30, second, `"question":"second","settle_days":14`)
	tr := l.only(40)
	if planned := tr.AsPlanned(); len(tr.Versions) != 3 || planned.Line != second || planned.Plan.Question != "second" || planned.Written.Sub(at(-2)).Abs() > time.Second {
		t.Errorf("%d versions; as planned %+v", len(tr.Versions), planned)
	}
	if text := strings.Join(l.report(40).Deviations, " "); !strings.Contains(text, "The plan was changed on 31 March 2026, after the change had come: the settling.") {
		t.Errorf("deviations: %s", text)
	}
	late := newLedger(t)
	late.trial(12, "")
	if text := strings.Join(late.report(40).Deviations, " "); !strings.Contains(text, "written 12 days after the change came") {
		t.Errorf("deviations: %s", text)
	}
}

func TestLooksAreCounted(t *testing.T) {
	l := newLedger(t)
	l.trial(0, `"comparison":["bay"]`)
	for _, day := range []float64{0.5, 3.5, 7, 16} { // one a little late; two missed
		l.score(day, "pier", "film", 2)
	}
	m := trial.Measure(l.facts(17), l.only(17), at(17))
	if len(m) != 2 || m[0].Tank != "pier" || m[0].Missed != 2 || !m[0].Next.Equal(at(19)) {
		t.Errorf("%+v", m)
	}
	if m[1].Tank != "bay" || !m[1].Last.IsZero() || m[1].Missed < 5 || m[1].Next.After(at(17)) {
		t.Errorf("never looked at: %+v", m[1])
	}
}

// The demo's trials come out as its story says, whatever the day.
func TestTheDemosTrials(t *testing.T) {
	for _, now := range []time.Time{time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC), time.Date(2027, 3, 30, 0, 20, 0, 0, time.UTC)} {
		f := book.Replay(rehearsal.Demo(now), now)
		desk := standing.NewDesk()
		for name, want := range map[string]effect.Verdict{"more flow behind the arch": effect.Helped, "the same mysis in small meals": effect.CantTell,
			"plankton after dark": effect.CantTell, "prefilter rinsed twice a week": ""} {
			tr, err := trial.Find(f, name, now)
			if err != nil {
				t.Fatal(err)
			}
			r := trial.Work(desk, f, tr, now)
			if r.Verdict != want {
				t.Errorf("%v, %s: %q, want %q: %s", now, name, r.Verdict, want, r.Says)
			}
			if name == "plankton after dark" && !strings.Contains(r.Says, "shade net") {
				t.Errorf("%v, %s is not said to be spoiled: %s", now, name, r.Says)
			}
		}
	}
}

func BenchmarkForesee(b *testing.B) {
	now := time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)
	f := book.Replay(rehearsal.Demo(now), now)
	desk := standing.NewDesk()
	tr, err := trial.Find(f, "more flow behind the arch", now)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := trial.Foresee(desk, f, tr.Tank, tr.Plan, tr.Start.Add(-24*time.Hour)); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWork(b *testing.B) {
	now := time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)
	f := book.Replay(rehearsal.Demo(now), now)
	desk := standing.NewDesk()
	tr, err := trial.Find(f, "more flow behind the arch", now)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		trial.Work(desk, f, tr, now)
	}
}
