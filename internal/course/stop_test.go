package course

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/internal/stoprule"
)

func scored(at time.Time, sign string, value int) string {
	return fmt.Sprintf(`{"kind":"score","at":%q,"tank":"quay","sign":%q,"value":%d}`, at.Format(time.RFC3339), sign, value)
}

func plan(kind string, at time.Time) string {
	return fmt.Sprintf(`{"kind":%q,"at":%q,"tank":"quay","plan":"course-1","why":"they were only shy."}`, kind, at.Format(time.RFC3339))
}

func days(n float64) time.Duration { return time.Duration(n * 24 * float64(time.Hour)) }

func TestTheRulesOfTheTradeAreUnderstood(t *testing.T) {
	for name, k := range courses {
		if rules, err := stoprule.ParseList(k.stopWhen); err != nil || (k.stopWhen != "") != (len(rules) > 0) {
			t.Errorf("%s: %v, %v", name, rules, err)
		}
	}
}

// Two scores of 0 running on day 2 stop a course of 7 days, 14 turns every 12 hours:
// those of day 0 and 1 and the first of day 2, five in all, had come up; the nine
// after are not asked for. Gone on with on day 4, at 08:30, turns 9 to 13 are.
func TestAStopRuleHoldsTheCourse(t *testing.T) {
	lines := []string{accepted(t), scored(start.Add(-days(1)), "polyp extension", 0), scored(start.Add(days(1)), "polyp extension", 0), scored(start.Add(days(2)+time.Hour), "polyp extension", 0)}
	for i := range 5 {
		lines = append(lines, dose(start.Add(time.Duration(12*i)*time.Hour)))
	}
	before := stand(t, replay(t, lines...), start.Add(days(2)))
	if before.Stopped != nil || before.Given != 5 || before.Next == nil {
		t.Fatalf("before the second: %+v", before)
	}
	held := stand(t, replay(t, lines...), start.Add(days(2)+2*time.Hour))
	if held.Stopped == nil || held.Next != nil || held.Over || held.Left != 9 || !strings.HasPrefix(held.Says, "Stop: polyp extension scored 0 twice running.") {
		t.Errorf("after it: %+v", held)
	}
	if s := stand(t, replay(t, lines...), start.Add(days(8))); !s.Over || s.Missed != 0 {
		t.Errorf("after its last day: %+v", s)
	}
	again := append(lines, plan("plan resume", start.Add(days(4)+30*time.Minute)))
	gone := stand(t, replay(t, again...), start.Add(days(4)+time.Hour))
	if gone.Stopped != nil || gone.Next == nil || !gone.Next.Equal(start.Add(days(4.5))) || gone.Left != 4 || gone.Missed != 0 {
		t.Errorf("gone on with: %+v", gone)
	}
	if s := stand(t, replay(t, append(again, scored(start.Add(days(5)), "polyp extension", 0))...), start.Add(days(5)+time.Hour)); s.Stopped != nil {
		t.Errorf("one more 0 is not two: %+v", s)
	}
	if s := stand(t, replay(t, append(again, scored(start.Add(days(5)), "polyp extension", 0), scored(start.Add(days(5.1)), "polyp extension", 0))...), start.Add(days(5.2))); s.Stopped == nil {
		t.Error("two more are")
	}
	ended := stand(t, replay(t, append(lines, plan("plan end", start.Add(days(3))))...), start.Add(days(6)))
	if !ended.Over || ended.Given != 5 || ended.Missed != 0 || !strings.Contains(ended.Says, "only shy. 5 of 14") {
		t.Errorf("ended: %+v", ended)
	}
}

// A turn that was due still when the rule fired is not asked for either.
func TestADueTurnIsNotAskedForOnceStopped(t *testing.T) {
	f := replay(t, accepted(t), scored(start.Add(time.Hour), "cyanobacteria", 0), scored(start.Add(2*time.Hour), "cyanobacteria", 0))
	if s := stand(t, f, start.Add(3*time.Hour)); s.Next != nil || s.Stopped == nil || s.Left != 14 {
		t.Errorf("%+v", s)
	}
}

// By hand: 400 L take 10.4 mL a dose; two days of 5.2 mL twice a day and eight of
// 10.4 mL make 4·5.2 + 16·10.4 = 187.2 mL.
func TestHalfDosesToBeginWith(t *testing.T) {
	p, err := Work(replay(t), Ask{Tank: "quay", Known: "peroxide"}, start)
	if err != nil || p.HalfDays != 2 || math.Abs(p.Total-187.2) > 1e-9 || !strings.Contains(p.Says, "5.2 mL each on the first 2 days") {
		t.Fatalf("%+v, %v", p, err)
	}
	turns := p.Schedule()
	if turns[3].Amount != "5.2" || turns[4].Amount != "10.4" || len(turns) != 20 {
		t.Errorf("%+v", turns)
	}
	none := 0.0
	whole, err := Work(replay(t), Ask{Tank: "quay", Known: "peroxide", HalfDays: &none}, start)
	if err != nil || whole.HalfDays != 0 || math.Abs(whole.Total-208) > 1e-9 || !strings.Contains(strings.Join(whole.Warnings, " "), "half a dose on the first two days") {
		t.Errorf("without: %+v, %v", whole, err)
	}
	s := stand(t, replay(t, accepted(t)), start.Add(time.Hour))
	if s.Amount != "5.2" || s.Turns[4].Amount != "10.4" {
		t.Errorf("accepted: %+v", s)
	}
}

func TestCeilingsAndSecondCourses(t *testing.T) {
	own := Ask{Tank: "quay", Name: "tonic", Substance: "tonic", Amount: 6, Unit: "mL", Most: 5, EveryHours: 24, Days: 3}
	low := Ask{Tank: "quay", Known: "peroxide", Most: 8, Unit: "mL"} // 10.4 mL is the trade's, 26.6 the hard stop
	raised := Ask{Tank: "quay", Known: "peroxide", Amount: 30, Most: 40, Unit: "mL"}
	bath := Ask{Tank: "quay", Name: "bath", Action: "chore", Chore: "formalin bath", EveryHours: 24, Days: 3}
	for name, ask := range map[string]Ask{"above their own": own, "above their own, lower": low, "their own above the hard one": raised, "an illness by a chore": bath} {
		if p, err := Work(replay(t), ask, start); err != nil || p.Refused == "" {
			t.Errorf("%s: %+v, %v", name, p, err)
		}
	}
	f := replay(t, accepted(t))
	for _, substance := range []string{"", "hydrogen peroxide 6 %"} {
		if p, err := Work(f, Ask{Tank: "quay", Known: "peroxide", Substance: substance}, start.Add(time.Hour)); err != nil || !strings.Contains(p.Refused, "still under way") {
			t.Errorf("a second course of %q: %+v, %v", substance, p, err)
		}
	}
	if p, err := Work(f, Ask{Tank: "quay", Known: "lights out"}, start.Add(time.Hour)); err != nil || p.Refused != "" {
		t.Errorf("another thing beside it: %+v, %v", p, err)
	}
	for name, ask := range map[string]Ask{
		"in the past":   {Tank: "quay", Known: "peroxide", Start: start.Add(-days(2))},
		"far ahead":     {Tank: "quay", Known: "peroxide", Start: start.Add(days(200))},
		"too many half": {Tank: "quay", Known: "lights out", HalfDays: ptr(4)},
	} {
		if p, err := Work(replay(t), ask, start); err == nil {
			t.Errorf("%s: %+v", name, p)
		}
	}
}

func ptr(v float64) *float64 { return &v }

func TestRulesAskForTheirScoresAndTests(t *testing.T) {
	rules, err := stoprule.ParseList("polyp extension <= 1; nitrate > 20 mg/L NO3")
	if err != nil {
		t.Fatal(err)
	}
	p, err := Work(replay(t), Ask{Tank: "quay", Name: "glass", Action: "chore", Chore: "glass cleaned", EveryHours: 24, Days: 3, Signs: []string{"film algae"}, StopWhen: rules}, start)
	if err != nil || strings.Join(p.Signs, ", ") != "film algae, polyp extension" || !strings.Contains(strings.Join(p.Warnings, " "), "Test nitrate") {
		t.Fatalf("%+v, %v", p, err)
	}
	l, err := Accept(p, start)
	if err != nil {
		t.Fatal(err)
	}
	if err := book.Validate(l); err != nil || len(l.Body.(*book.Course).StopWhen) != 2 {
		t.Errorf("%+v, %v", l.Body, err)
	}
}

// Lisbon puts its clocks forward at one in the morning of 29 March 2026 (EU Directive
// 2000/84/EC: the last Sunday of March), so that 08:00 is 08:00 UTC before it and
// 07:00 UTC after; a course every 36 hours keeps its hours instead.
func TestTurnsKeepToTheClock(t *testing.T) {
	lisbon, err := time.LoadLocation("Europe/Lisbon")
	if err != nil {
		t.Fatal(err)
	}
	at := time.Date(2026, 3, 28, 8, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		every float64
		turn  int
		want  time.Time
	}{{24, 1, at.Add(23 * time.Hour)}, {12, 2, at.Add(23 * time.Hour)}, {168, 1, at.Add((7*24 - 1) * time.Hour)}, {36, 1, at.Add(36 * time.Hour)}, {8, 1, at.Add(8 * time.Hour)}} {
		if got := standing.TurnAt(at, c.every, c.turn, lisbon); !got.Equal(c.want) {
			t.Errorf("turn %d every %v hours is at %v, want %v", c.turn, c.every, got, c.want)
		}
	}
}
