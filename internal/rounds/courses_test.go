package rounds

import (
	"strings"
	"testing"
)

// A course of doses every 12 hours: the turn due today is a row with its amount,
// its plan, its stop rule and its cautions; once done, the next is what comes.
func TestTurnsOfACourse(t *testing.T) {
	tank := at(-60, `"kind":"tank","name":"quay","net_volume":400,"unit":"L"`)
	course := at(0, `"kind":"course","tank":"quay","name":"mat course","substance":"hydrogen peroxide 3 %","amount":10.4,"unit":"mL","most":26.6,"every_hours":12,"days":7,"signs":["cyanobacteria"],"stop":"shrimps lie down"`)
	find := func(s *Sheet) (out []Row) {
		for _, r := range s.Rows {
			if r.Kind == CourseDue {
				out = append(out, r)
			}
		}
		return out
	}
	due := find(sheetOn(t, onDay(0.1), tank, course))
	if len(due) != 1 || due[0].Action.Amount != "10.4" || due[0].Action.Plan == "" || !strings.Contains(due[0].Why, "shrimps lie down") || len(due[0].Cautions) == 0 {
		t.Fatalf("%+v", due)
	}
	both := at(0.05, `"kind":"dose","tank":"quay","substance":"hydrogen peroxide 3 %","amount":10.4,"unit":"mL"`) + "\n" +
		at(0.5, `"kind":"dose","tank":"quay","substance":"hydrogen peroxide 3 %","amount":10.4,"unit":"mL"`)
	lines := append([]string{tank, course}, strings.Split(both, "\n")...)
	s := sheetOn(t, onDay(0.55), lines...)
	if got := find(s); len(got) != 0 {
		t.Errorf("a day's turns are done, yet %+v", got)
	}
	found := false
	for _, r := range s.Next {
		found = found || r.Kind == CourseDue
	}
	if !found {
		t.Error("tomorrow's turn is not told")
	}
}
