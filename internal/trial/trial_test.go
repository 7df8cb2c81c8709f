package trial_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/effect"
	"driftline/internal/standing"
	"driftline/internal/trial"
)

var start = time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)

func at(day float64) time.Time { return start.Add(time.Duration(day * 24 * float64(time.Hour))) }

// ledger is a book in the making: a pier tank and a bay tank of 200 L.
type ledger struct {
	t     testing.TB
	lines []book.Line
}

func newLedger(t testing.TB) *ledger {
	l := &ledger{t: t}
	for _, name := range []string{"pier", "bay"} {
		l.add(-200, "tank", "", fmt.Sprintf(`"name":%q,"system":"mixed","net_volume":200,"unit":"L"`, name))
	}
	return l
}

func (l *ledger) add(day float64, kind, tank, fields string) string {
	l.t.Helper()
	id := fmt.Sprintf("line-%d", len(l.lines))
	text := fmt.Sprintf(`{"id":%q,"kind":%q,"at":%q`, id, kind, at(day).Format(time.RFC3339))
	if tank != "" {
		text += fmt.Sprintf(`,"tank":%q`, tank)
	}
	line, err := book.ParseLine([]byte(text + "," + fields + "}"))
	if err == nil {
		err = book.Validate(line)
	}
	if err != nil {
		l.t.Fatalf("%s: %v", fields, err)
	}
	l.lines = append(l.lines, line)
	return id
}

func (l *ledger) score(day float64, tank, sign string, v int) {
	l.add(day, "score", tank, fmt.Sprintf(`"sign":%q,"value":%d`, sign, v))
}

func (l *ledger) read(day float64, tank, quantity string, v float64, unit, kit string) {
	l.add(day, "reading", tank, fmt.Sprintf(`"quantity":%q,"value":%.4f,"unit":%q,"instrument":%q`, quantity, v, unit, kit))
}

// trial writes a trial of film in the pier tank from day 0 to 60, unless told otherwise.
func (l *ledger) trial(day float64, more string) string {
	fields := fmt.Sprintf(`"name":"more flow","change":"flow pump up","on":[{"from":%q}],"ends":%q`, at(0).Format(time.RFC3339), at(60).Format(time.RFC3339))
	if !strings.Contains(more, `"outcomes"`) {
		more = `"outcomes":[{"what":"score","of":"film","hoped":"fall","matters":0.5,"every_days":3}],` + more
	}
	return l.add(day, "trial", "pier", fields+","+strings.TrimSuffix(more, ","))
}

func (l *ledger) facts(day float64) *book.Facts { return book.Replay(l.lines, at(day)) }

func (l *ledger) only(day float64) trial.Trial {
	l.t.Helper()
	all := trial.All(l.facts(day), at(day))
	if len(all) != 1 {
		l.t.Fatalf("%d trials, want 1", len(all))
	}
	return all[0].WithHistory(l.lines)
}

func (l *ledger) report(day float64) trial.Report {
	l.t.Helper()
	return trial.Work(standing.NewDesk(), l.facts(day), l.only(day), at(day))
}

// film is scored every third day in both tanks, falling by two points with the
// change in the pier tank only; the two tanks go up and down together.
func (l *ledger) film(from, until int) {
	for day := from; day < until; day += 3 {
		together := (day/3 + 100) % 2
		v := 3 - together
		if day >= 0 {
			v -= 2
		}
		l.score(float64(day)+0.5, "pier", "film", max(v, 0))
		l.score(float64(day)+0.5, "bay", "film", 3-together)
	}
}

func TestALife(t *testing.T) {
	l := newLedger(t)
	id := l.trial(-5, `"stop_when":[{"sign":"polyps","is":"at most","value":1,"times":2}]`)
	for day, want := range map[float64]trial.State{-1: trial.Planned, 1: trial.Running, 61: trial.Over} {
		if got := l.only(day); got.State != want || got.Tank != "pier" || got.Line != id {
			t.Errorf("day %v: %v of %s, want %v", day, got.State, got.Tank, want)
		}
	}
	l.score(-2, "pier", "polyps", 0) // before the change: not its doing
	l.score(-1, "pier", "polyps", 0)
	l.score(5, "pier", "polyps", 1)
	if got := l.only(6); got.State != trial.Running {
		t.Errorf("after one bad score: %v", got.State)
	}
	l.score(6, "pier", "polyps", 0)
	got := l.only(7)
	if got.State != trial.Stopped || got.Fired == nil || !strings.Contains(got.Fired.Says, "polyps") {
		t.Errorf("after two: %v, %+v", got.State, got.Fired)
	}
	if r := l.report(7); r.Final || r.Verdict != "" || !strings.Contains(r.Says, "The change comes off") {
		t.Errorf("a stopped trial says %q and concludes %q", r.Says, r.Verdict)
	}
	l.add(8, "plan resume", "pier", fmt.Sprintf(`"plan":%q`, id))
	if got := l.only(9); got.State != trial.Running {
		t.Errorf("after going on: %v", got.State)
	}
	l.score(9.5, "pier", "polyps", 1)
	l.score(10, "pier", "polyps", 1)
	if got := l.only(11); got.State != trial.Stopped {
		t.Errorf("after two bad ones more: %v", got.State)
	}
	l.add(12, "plan end", "pier", fmt.Sprintf(`"plan":%q,"why":"polyps drawn in"`, id))
	got = l.only(30)
	if got.State != trial.Over || got.Ended != "polyps drawn in" || !got.Until(at(30)).Equal(at(12)) {
		t.Errorf("ended: %v, %q, until %v", got.State, got.Ended, got.Until(at(30)))
	}
	if r := l.report(30); !strings.Contains(strings.Join(r.Deviations, " "), "48 days before its planned end") {
		t.Errorf("deviations %q do not tell of the early end", r.Deviations)
	}
}

func TestFind(t *testing.T) {
	l := newLedger(t)
	id := l.trial(-5, "")
	for _, name := range []string{id, "more flow", "More  Flow"} {
		if got, err := trial.Find(l.facts(1), name, at(1)); err != nil || got.Line != id {
			t.Errorf("%q: %v, %v", name, got.Line, err)
		}
	}
	if _, err := trial.Find(l.facts(1), "less flow", at(1)); err == nil {
		t.Error("a trial that is not there is found")
	}
	l.trial(-4, "")
	if _, err := trial.Find(l.facts(1), "more flow", at(1)); err == nil || !strings.Contains(err.Error(), "2 trials") {
		t.Errorf("two of one name: %v", err)
	}
}

// The design says it: the pier tank falls by 2 against the bay tank, whatever both do.
func TestAVerdictOnlyAtTheEnd(t *testing.T) {
	l := newLedger(t)
	l.film(-90, 60)
	l.trial(-5, `"comparison":["bay"],"settle_days":4`)
	if r := l.report(40); r.Final || r.Verdict != "" {
		t.Errorf("on day 40 it concludes %q", r.Verdict)
	}
	r := l.report(61)
	f := r.Findings[0]
	if !r.Final || r.Verdict != effect.Helped || math.Abs(f.Result.Effect+2) > 0.3 {
		t.Errorf("%q, effect %v, want helped by −2 or so", r.Verdict, f.Result.Effect)
	}
	for _, u := range f.Result.Used {
		if settling := !u.At.Before(at(0)) && u.At.Before(at(4)); u.Settling != settling {
			t.Errorf("figure of %v: settling %v", u.At, u.Settling)
		}
	}
	if f.Before != 30 || f.After != 20 {
		t.Errorf("%d and %d figures, want 30 and 20", f.Before, f.After)
	}
	if got := f.Effect(); !strings.HasPrefix(got, "−") || !strings.HasSuffix(got, " points") {
		t.Errorf("the effect is told as %q", got)
	}
}

// A single large water change on the day of the trial is taken off; the same
// readings without its line look like an effect. 100 of 200 L of water without
// nitrate halve it: 20 to 10.
func TestAKnownWaterChangeIsNotTheEffect(t *testing.T) {
	build := func(told bool) trial.Report {
		l := newLedger(t)
		for i, day := 0, -88.0; day < 60; i, day = i+1, day+4 {
			v := 20 + 0.3*float64(i%3-1)
			if day >= 0 {
				v = 10 + 0.3*float64(i%3-1)
			}
			l.read(day, "pier", "nitrate", v, "mg/L NO3", "photometer")
		}
		if told {
			l.add(-100, "mix", "", `"name":"clean","contains":[{"quantity":"nitrate","value":0,"unit":"mg/L NO3"}]`)
			l.add(-0.5, "water change", "pier", `"volume":100,"unit":"L","mix":"clean"`)
		}
		l.trial(-5, `"outcomes":[{"what":"reading","of":"nitrate","unit":"mg/L NO3","hoped":"fall","matters":3}]`)
		return l.report(61)
	}
	blind := build(false).Findings[0]
	if blind.Missing != "" || blind.Result.Effect > -8 {
		t.Fatalf("untold, the fall of 10 is %v (%s)", blind.Result.Effect, blind.Missing)
	}
	told := build(true)
	if f := told.Findings[0]; f.Missing != "" || math.Abs(f.Result.Effect) > 2 || told.Verdict == effect.Helped {
		t.Errorf("told of the water change, the effect is %v, verdict %q", f.Result.Effect, told.Verdict)
	}
}

// Four days of three times the food, soon after the change, lift nitrate for weeks by
// the balance dC/dt = 0.6 F - 0.05 C; 0.5 g of pellets a day are 0.832 mg/L of nitrate in
// 200 L. Told of the meals, the report does not take that for the effect; where the food
// is what was changed for good, nothing is taken off.
func TestAFeastIsNotTheEffect(t *testing.T) {
	build := func(told bool, feast func(day float64) bool) effect.Result {
		l := newLedger(t)
		c, n := 10.0, 0
		for day := -88.0; day < 60; day++ {
			grams := 0.5
			if feast(day) {
				grams = 1.5
			}
			if told {
				l.add(day, "feeding", "pier", fmt.Sprintf(`"food":"dry pellets","amount":%g,"unit":"g"`, grams))
			}
			rest := 0.6 * grams / 0.5 * 0.8322 / 0.05
			c = rest + (c-rest)*math.Exp(-0.05)
			if n++; n%3 == 0 {
				l.read(day+0.99, "pier", "nitrate", c+0.15*float64(n%2*2-1), "mg/L NO3", "photometer")
			}
		}
		l.trial(-5, `"outcomes":[{"what":"reading","of":"nitrate","unit":"mg/L NO3","hoped":"fall","matters":1}]`)
		f := l.report(61).Findings[0]
		if f.Missing != "" {
			t.Fatal(f.Missing)
		}
		return f.Result
	}
	feast := func(day float64) bool { return day >= 3 && day < 7 }
	blind, told := build(false, feast).Effect, build(true, feast).Effect
	if !(blind > 0.5) || math.Abs(told) > blind/2 {
		t.Errorf("a feast of four days: effect %v untold, %v told", blind, told)
	}
	forGood := func(day float64) bool { return day >= 0 }
	if blind, told := build(false, forGood).Effect, build(true, forGood).Effect; math.Abs(told-blind) > 1e-9 {
		t.Errorf("three times the food for good is what is tried, but %v untold becomes %v told", blind, told)
	}
}

// Intervals over which the change came belong to neither side; the last is open.
func TestIntervalsAndCounts(t *testing.T) {
	l := newLedger(t)
	for day := -43.0; day < 0; day += 4 {
		l.add(day, "chore", "pier", `"name":"clean glass"`)
	}
	for day := 5.0; day < 55; day += 6 {
		l.add(day, "chore", "pier", `"name":"Clean glass"`)
	}
	l.trial(-5, `"outcomes":[{"what":"interval","of":"clean glass","hoped":"rise","matters":1.2},{"what":"count","of":"clean glass","hoped":"fall","matters":1.2}]`)
	r := l.report(61)
	f := r.Findings[0]
	var days []float64
	for _, p := range f.Ask.Treated {
		days = append(days, p.Value)
	}
	if n := len(days); n != 10+8+1 || days[0] != 4 || days[10] != 6 || !f.Ask.Treated[n-1].Open {
		t.Errorf("intervals %v, the last open %v", days, f.Ask.Treated[len(days)-1].Open)
	}
	if r.Verdict != effect.Helped || math.Abs(f.Result.Effect-1.5) > 0.05 {
		t.Errorf("from 4 to 6 days: %q, %v times, want helped and 1.5", r.Verdict, f.Result.Effect)
	}
	for _, p := range r.Findings[1].Ask.Treated {
		if p.Value < 0 || p.Value > 2 || p.Value != math.Trunc(p.Value) {
			t.Errorf("%v times in the week around %v", p.Value, p.At)
		}
	}
}

func TestPeaksOfADay(t *testing.T) {
	l := newLedger(t)
	for day := -20.0; day < 40; day++ {
		high := 27.0
		if day >= 0 {
			high = 26
		}
		for hour, v := range map[float64]float64{8: high - 2, 15: high + 0.2*float64(int(day+20)%2), 21: high - 1} {
			l.read(day+hour/24, "pier", "temperature", v, "°C", "thermometer")
		}
	}
	l.trial(-1, `"outcomes":[{"what":"peak","of":"temperature","unit":"°C","hoped":"fall","matters":0.5}]`)
	r := l.report(61)
	f := r.Findings[0]
	if n := len(f.Ask.Treated); n != 60 {
		t.Errorf("%d peaks, want one for each of 60 days", n)
	}
	if f.Missing != "" || math.Abs(f.Result.Effect+1) > 0.15 {
		t.Errorf("peak fell by %v, want 1 (%s)", f.Result.Effect, f.Missing)
	}
}
