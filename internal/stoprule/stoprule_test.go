package stoprule_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"driftline/internal/book"
	"driftline/internal/stoprule"
	"driftline/units"
)

var start = time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)

func on(day float64) time.Time { return start.Add(time.Duration(day * 24 * float64(time.Hour))) }

func tank(t testing.TB, lines ...string) *book.TankFacts {
	t.Helper()
	all := []book.Line{}
	for i, text := range append([]string{`{"kind":"tank","at":"2025-10-01T08:00:00Z","name":"quay","net_volume":400,"unit":"L"}`}, lines...) {
		l, err := book.ParseLine([]byte(text))
		if err == nil {
			err = book.Validate(l)
		}
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		l.ID = fmt.Sprint("line-", i)
		all = append(all, l)
	}
	facts, _ := book.Replay(all, on(100)).Tank("quay")
	return facts
}

func score(day float64, sign string, value int) string {
	return fmt.Sprintf(`{"kind":"score","at":%q,"tank":"quay","sign":%q,"value":%d}`, on(day).Format(time.RFC3339), sign, value)
}

func read(day float64, rest string) string {
	return fmt.Sprintf(`{"kind":"reading","at":%q,"tank":"quay",%s}`, on(day).Format(time.RFC3339), rest)
}

func parse(t testing.TB, text string) stoprule.Rule {
	t.Helper()
	r, err := stoprule.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestTheShortForm(t *testing.T) {
	for text, want := range map[string]stoprule.Rule{
		"polyp extension <= 1 twice running":                      {Sign: "polyp extension", Is: stoprule.AtMost, Value: 1, Times: 2},
		"  film   algae ≥ 3 ":                                     {Sign: "film algae", Is: stoprule.AtLeast, Value: 3, Times: 1},
		"cyanobacteria = 0":                                       {},
		"nitrate > 20 mg/L NO3":                                   {Quantity: units.Nitrate, Unit: "mg/L NO3", Is: stoprule.Above, Value: 20, Times: 1},
		"alk < 6.5 dKH 3 times running":                           {Quantity: units.Alkalinity, Unit: "dKH", Is: stoprule.Below, Value: 6.5, Times: 3},
		"Temperature>=28.5 °C Twice":                              {Quantity: units.Temperature, Unit: "°C", Is: stoprule.AtLeast, Value: 28.5, Times: 2},
		"nitrate > 20":                                            {},
		"nitrate > 20 dKH":                                        {},
		"nitrate > 1000000 mg/L NO3":                              {},
		"polyp extension <= 5":                                    {},
		"polyp extension <= 1 mg/L":                               {},
		"polyp extension <= 1 0 times running":                    {},
		"polyp extension <= 1 21 times running":                   {},
		"polyp extension <= 1 99999999999999999999 times running": {},
		"<= 1": {}, "": {}, "polyp extension": {}, "polyp extension <= much": {}, strings.Repeat("x", 301) + " > 1": {},
	} {
		got, err := stoprule.Parse(text)
		if (want == stoprule.Rule{}) {
			if err == nil {
				t.Errorf("%q gave %+v", text, got)
			}
			continue
		}
		if err != nil || got != want {
			t.Errorf("%q gave %+v, %v", text, got, err)
		}
	}
	list, err := stoprule.ParseList("polyp extension <= 1; nitrate > 20 mg/L NO3\n;")
	if err != nil || len(list) != 2 {
		t.Errorf("%v, %v", list, err)
	}
}

func TestRulesInWords(t *testing.T) {
	for text, want := range map[string]string{
		"polyp extension <= 1 twice running": "polyp extension is scored at most 1 twice running", "cyanobacteria <= 0": "cyanobacteria is scored 0",
		"film algae >= 4 3 times running": "film algae is scored 4, 3 times running", "nitrate > 20 mg/L NO3": "nitrate is read above 20.0 mg/L NO3",
	} {
		if got := parse(t, text).Says(); got != want {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}

// What the short form says, the log keeps, and both give the rule back.
func TestRulesSurviveTheLog(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := stoprule.Rule{Is: rapid.SampledFrom([]stoprule.Comparison{stoprule.AtMost, stoprule.AtLeast, stoprule.Above, stoprule.Below}).Draw(rt, "is"),
			Value: float64(rapid.IntRange(0, 40).Draw(rt, "tenths")) / 10, Times: rapid.IntRange(1, 20).Draw(rt, "times")}
		if rapid.Bool().Draw(rt, "a sign") {
			r.Sign = rapid.SampledFrom([]string{"polyp extension", "cyanobacteria", "Film algae 2", "Blätter"}).Draw(rt, "sign")
		} else {
			r.Quantity = rapid.SampledFrom([]units.Quantity{units.Nitrate, units.Phosphate, units.Alkalinity}).Draw(rt, "quantity")
			r.Unit = rapid.SampledFrom(r.Quantity.Units()).Draw(rt, "unit")
		}
		if back, err := stoprule.Parse(r.String()); err != nil || back != r {
			rt.Errorf("%q gave %+v, %v", r, back, err)
		}
		if back, err := stoprule.Of(r.Line()); err != nil || back != r {
			rt.Errorf("%+v gave %+v, %v", r.Line(), back, err)
		}
		every := "12"
		l := book.Line{Kind: book.KindCourse, At: start, Tank: "quay", Body: &book.Course{Name: "a", Action: "chore", Chore: "b", EveryHours: book.Number(every), Days: "3", StopWhen: stoprule.Lines([]stoprule.Rule{r})}}
		if err := book.Validate(l); err != nil {
			rt.Errorf("%q: %v", r, err)
		}
	})
}

func TestRunsOfScores(t *testing.T) {
	rule := parse(t, "polyp extension <= 1 twice running")
	facts := tank(t, score(-1, "polyp extension", 0), score(0.1, "Polyp  Extension", 1), score(1, "polyp extension", 2), score(1.5, "film algae", 0),
		score(2, "polyp extension", 1), score(2.5, "film algae", 4), score(3, "polyp extension", 0), score(4, "polyp extension", 0))
	if f, ok := rule.Fired(facts, start, on(2.9)); ok {
		t.Errorf("1, 2, 1 were scored, yet %+v", f)
	}
	f, ok := rule.Fired(facts, start, on(10))
	if !ok || !f.At.Equal(on(3)) || len(f.Lines) != 2 || f.Says != "polyp extension scored 1 and 0 running" {
		t.Errorf("after 1 and 0: %+v, %v", f, ok)
	}
	if f, ok := rule.Fired(facts, on(3.1), on(10)); ok { // gone on with after it, one more 0 is no run of two
		t.Errorf("gone on with: %+v", f)
	}
	if f, _ := parse(t, "polyp extension < 1 twice running").Fired(facts, start, on(10)); f.Says != "polyp extension scored 0 twice running" {
		t.Errorf("two alike: %q", f.Says)
	}
	first, ok := stoprule.First([]stoprule.Rule{rule, parse(t, "film algae >= 4")}, facts, start, on(10))
	if !ok || first.Rule.Sign != "film algae" {
		t.Errorf("the first to fire: %+v", first)
	}
}

// 1 mg/L of nitrogen is 4.4268 mg/L of nitrate (62.004/14.007, IUPAC 2021), so that
// 5 mg/L N are 22.13 mg/L NO3 and 4.5 are 19.92.
func TestReadingsInTheirUnits(t *testing.T) {
	rule := parse(t, "nitrate > 20 mg/L NO3")
	low, high := read(1, `"quantity":"nitrate","value":4.5,"unit":"mg/L N"`), read(2, `"quantity":"nitrate","value":5,"unit":"mg/L N"`)
	if f, ok := rule.Fired(tank(t, low), start, on(10)); ok {
		t.Errorf("19.92 is above 20: %+v", f)
	}
	if f, ok := rule.Fired(tank(t, low, high), start, on(10)); !ok || !strings.HasPrefix(f.Says, "nitrate read 22") {
		t.Errorf("%+v, %v", f, ok)
	}
	under := read(1, `"quantity":"phosphate","value":0.02,"unit":"mg/L PO4","below":true`)
	for text, want := range map[string]bool{"phosphate < 0.03 mg/L PO4": true, "phosphate < 0.02 mg/L PO4": true, "phosphate < 0.01 mg/L PO4": false, "phosphate > 0.01 mg/L PO4": false} {
		if _, ok := parse(t, text).Fired(tank(t, under), start, on(10)); ok != want {
			t.Errorf("%s, by a reading under 0.02: %v", text, ok)
		}
	}
}

// Lines that come later never take back what fired, and a rule asked for more
// times running never fires sooner.
func TestFiringOnlyGrows(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var lines []string
		for i := range rapid.IntRange(0, 12).Draw(rt, "scores") {
			lines = append(lines, score(float64(i)+0.5, "detritus", rapid.IntRange(0, 4).Draw(rt, fmt.Sprint("score ", i))))
		}
		facts := tank(t, lines...)
		r := parse(t, "detritus >= 2")
		r.Times = rapid.IntRange(1, 3).Draw(rt, "times")
		more := r
		more.Times++
		var last *stoprule.Fired
		for day := range 14 {
			f, ok := r.Fired(facts, start, on(float64(day)))
			if last != nil && (!ok || f.At != last.At) {
				rt.Errorf("day %d: %+v, before %+v", day, f, last)
			}
			if ok {
				last = &f
			}
			if m, also := more.Fired(facts, start, on(float64(day))); also && (!ok || !m.At.After(f.At)) {
				rt.Errorf("day %d: once more fired at %v, %v", day, m.At, f.At)
			}
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"polyp extension <= 1 twice running", "nitrate > 20 mg/L NO3", "pH < 7.8 NBS 3 times", "a≥4", "> 1", "x < -1", "0<0<0"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		r, err := stoprule.Parse(s)
		if err != nil {
			return
		}
		if back, err := stoprule.Parse(r.String()); err != nil || back.Times != r.Times || back.Is != r.Is || back.Value != r.Value {
			t.Errorf("%q gave %q, and that %+v, %v", s, r, back, err)
		}
	})
}
