package rounds

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

func trialLine(day float64, more string) string {
	return at(day, fmt.Sprintf(`"kind":"trial","tank":"quay","id":"trial-1","name":"More flow","change":"flow pump to 80 %%","on":[{"from":%q,"until":%q}],"ends":%q,"comparison":["pier"],"outcomes":[{"what":"score","of":"film","hoped":"fall","every_days":3},{"what":"reading","of":"nitrate","unit":"mg/L NO3","hoped":"fall","every_days":7}],"stop_when":[{"sign":"polyps","is":"at most","value":1,"times":2}]%s`,
		onDay(10).Format(time.RFC3339), onDay(30).Format(time.RFC3339), onDay(50).Format(time.RFC3339), more))
}

func quayAndPier() []string {
	return []string{at(-60, `"kind":"tank","name":"quay","net_volume":400,"unit":"L"`), at(-60, `"kind":"tank","name":"pier","net_volume":200,"unit":"L"`)}
}

func of(s *Sheet, kind Kind) (out []Row) {
	for _, r := range s.Rows {
		if r.Kind == kind {
			out = append(out, r)
		}
	}
	return out
}

func titles(rows []Row) string {
	var out []string
	for _, r := range rows {
		out = append(out, r.Title)
	}
	return strings.Join(out, "; ")
}

// What is watched is asked for in the treated and the comparison tank until it was
// looked at; the change comes and goes on its days; a stop rule is told at once.
func TestTrialsOnTheRounds(t *testing.T) {
	lines := append(quayAndPier(), trialLine(2, ""))
	s := sheetOn(t, onDay(2.2), lines...)
	looks := of(s, TrialLook)
	if got := titles(looks); !strings.Contains(got, "Score film, quay") || !strings.Contains(got, "Score film, pier") || !strings.Contains(got, "Nitrate, quay: look for the trial") {
		t.Errorf("looks on the day it was written: %s", got)
	}
	for _, r := range looks {
		if r.Tank == "pier" && r.Action.Sign == "film" && (r.Action.Do != "score" || !strings.Contains(r.Why, "left as it is")) {
			t.Errorf("%+v", r)
		}
	}
	lines = append(lines, at(2.3, `"kind":"score","tank":"quay","sign":"film","value":2`), at(2.3, `"kind":"score","tank":"pier","sign":"film","value":2`))
	if got := titles(of(sheetOn(t, onDay(2.4), lines...), TrialLook)); strings.Contains(got, "film") {
		t.Errorf("both were scored, yet %s", got)
	}
	if got := titles(of(sheetOn(t, onDay(5.4), lines...), TrialLook)); !strings.Contains(got, "Score film, quay") {
		t.Errorf("three days later: %s", got)
	}
	for day, want := range map[float64]string{9.5: "", 10.2: "The change comes, quay: flow pump to 80 %", 11.5: "", 30.1: "The change goes, quay: flow pump to 80 %"} {
		if got := titles(of(sheetOn(t, onDay(day), lines...), TrialTurn)); got != want {
			t.Errorf("day %v: %q, want %q", day, got, want)
		}
	}
	if got := titles(of(sheetOn(t, onDay(50.5), lines...), TrialOver)); got != "More flow, quay: the trial is over" {
		t.Errorf("at its end: %q", got)
	}
	if got := sheetOn(t, onDay(54), lines...); len(of(got, TrialOver))+len(of(got, TrialLook)) != 0 {
		t.Errorf("four days after its end: %s", titles(got.Rows))
	}
	lines = append(lines, at(12, `"kind":"score","tank":"quay","sign":"polyps","value":1`), at(13, `"kind":"score","tank":"quay","sign":"polyps","value":0`))
	stopped := sheetOn(t, onDay(13.1), lines...)
	rows := of(stopped, TrialStopped)
	if len(rows) != 1 || stopped.Rows[0].Kind != TrialStopped || !strings.Contains(rows[0].Title, "polyps scored 1, 0 twice running") && !strings.Contains(rows[0].Title, "polyps") || !strings.Contains(rows[0].Why, "The change comes off") {
		t.Errorf("after two bad scores: %+v", stopped.Rows)
	}
	if got := of(stopped, TrialLook); len(got) != 0 {
		t.Errorf("a stopped trial still asks for %s", titles(got))
	}
}

// A test due for its own sake is not asked for twice.
func TestATestIsAskedForOnce(t *testing.T) {
	lines := append(quayAndPier(), trialLine(2, ""))
	for day := -40.0; day <= -10; day += 5 {
		lines = append(lines, at(day, `"kind":"reading","tank":"quay","quantity":"nitrate","value":5,"unit":"mg/L NO3","instrument":"card"`))
	}
	n := 0
	for _, r := range sheetOn(t, onDay(3), lines...).Rows {
		if r.Tank == "quay" && r.Action.Do == "read" && r.Action.Quantity == "nitrate" {
			n++
		}
	}
	if n != 1 {
		t.Errorf("nitrate of the quay is asked for %d times", n)
	}
}
