package rounds

import (
	"fmt"
	"strings"
	"testing"
)

func ofKind(s *Sheet, k Kind) (out []Row) {
	for _, r := range s.Rows {
		if r.Kind == k {
			out = append(out, r)
		}
	}
	return out
}

// A sign scored at its stop rule twice running stands on the rounds at once, above
// all else, and no further turn is asked for until the keeper says to go on.
func TestAStopRuleOnTheRounds(t *testing.T) {
	lines := []string{at(-60, `"kind":"tank","name":"quay","net_volume":400,"unit":"L"`),
		at(0, `"kind":"course","tank":"quay","name":"Mat course","substance":"hydrogen peroxide 3 %","amount":10.4,"unit":"mL","half_days":2,"every_hours":12,"days":7,"stop_when":[{"sign":"polyp extension","is":"at most","value":1,"times":2}]`)}
	score := func(day float64) string {
		return at(day, `"kind":"score","tank":"quay","sign":"polyp extension","value":1`)
	}
	first := sheetOn(t, onDay(0.1), append(lines, score(0.05))...)
	if due := ofKind(first, CourseDue); len(due) != 1 || due[0].Action.Amount != "5.2" || !strings.Contains(due[0].Why, "half of the dose") || len(ofKind(first, CourseStopped)) != 0 {
		t.Fatalf("%+v", due)
	}
	lines = append(lines, score(0.05), score(1.05))
	s := sheetOn(t, onDay(1.1), lines...)
	stop := ofKind(s, CourseStopped)
	if len(stop) != 1 || s.Rows[0].Kind != CourseStopped || stop[0].Title != "Stop: polyp extension scored 1 twice running, quay" || stop[0].Action.Do != "course" || len(ofKind(s, CourseDue)) != 0 {
		t.Fatalf("%+v of %s", stop, keys(s))
	}
	for _, r := range s.Next {
		if r.Kind == CourseDue {
			t.Errorf("a turn is told to come: %+v", r)
		}
	}
	gone := sheetOn(t, onDay(1.6), append(lines, at(1.2, `"kind":"plan resume","tank":"quay","plan":"`+stop[0].Lines[0]+`"`))...)
	if len(ofKind(gone, CourseStopped)) != 0 || len(ofKind(gone, CourseDue)) != 1 {
		t.Errorf("gone on with: %s", keys(gone))
	}
}

// A plan with a missed dose offers to be worked out again.
func TestAMissedStepOffersToWorkTheRestOut(t *testing.T) {
	tank := at(-60, `"kind":"tank","name":"quay","net_volume":400,"unit":"L"`)
	plan := at(0, `"kind":"correction","tank":"quay","quantity":"magnesium","aim":1400,"unit":"mg/L","substance":"magnesium chloride hexahydrate","steps":[`+
		`{"at":"2025-03-04T08:00:00Z","amount":160,"unit":"g"},{"at":"2025-03-05T08:00:00Z","amount":160,"unit":"g"},{"at":"2025-03-06T08:00:00Z","amount":160,"unit":"g"}]`)
	for day, offered := range map[float64]bool{1: false, 2.1: true} {
		due := ofKind(sheetOn(t, onDay(day), tank, plan), StepDue)
		if len(due) != 1 || (len(due[0].Also) == 1 && due[0].Also[0].Do == "work anew" && due[0].Also[0].Quantity == "magnesium") != offered {
			t.Errorf("day %v: %+v", day, due)
		}
	}
}

// Magnesium low by weekly readings: its row leads to a correction, and to the
// make-up water when that has less than the aim.
func TestALowQuantityLeadsToItsRemedies(t *testing.T) {
	base := []string{at(-60, `"kind":"tank","name":"quay","system":"soft coral","net_volume":400,"unit":"L"`),
		at(-60, `"kind":"band","tank":"quay","quantity":"magnesium","unit":"mg/L","low":1350,"aim":1400,"high":1450`)}
	for week := 8; week >= 0; week-- {
		base = append(base, at(-7*float64(week)-0.1, fmt.Sprintf(`"kind":"reading","tank":"quay","quantity":"magnesium","value":%d,"unit":"mg/L"`, 1240+week)))
	}
	remedies := func(lines ...string) (do []string) {
		for _, a := range row(t, sheetOn(t, onDay(0), append(base, lines...)...), rowKey("quay", "quantity", "magnesium")).Also {
			do = append(do, strings.TrimSpace(a.Do+" "+a.Mix))
		}
		return do
	}
	mix := func(mg int) []string {
		return []string{at(-50, fmt.Sprintf(`"kind":"mix","name":"bag","composition":[{"quantity":"magnesium","value":%d,"unit":"mg/L"}]`, mg)),
			at(-20, `"kind":"water change","tank":"quay","volume":20,"unit":"L","mix":"bag"`)}
	}
	if got := strings.Join(remedies(), ", "); got != "correct" {
		t.Errorf("without a mix: %s", got)
	}
	if got := strings.Join(remedies(mix(1250)...), ", "); got != "correct, mix bag" {
		t.Errorf("with a mix that lacks it: %s", got)
	}
	if got := strings.Join(remedies(mix(1420)...), ", "); got != "correct" {
		t.Errorf("with a mix that has it: %s", got)
	}
}
