package rounds

import (
	"strings"
	"testing"
)

// A plan of two doses and a test, accepted on day 0: the dose of day 1 is due that
// day with its amount, its plan and its cautions; once logged, the next comes; a
// reading far off what the test should read stops the plan.
func TestStepsOfACorrection(t *testing.T) {
	tank := at(-60, `"kind":"tank","name":"quay","net_volume":400,"unit":"L"`)
	plan := `{"at":"2025-03-03T09:00:00Z","kind":"correction","id":"p","tank":"quay","quantity":"magnesium","aim":1400,"unit":"mg/L","substance":"magnesium chloride hexahydrate","steps":[` +
		`{"at":"2025-03-04T08:00:00Z","amount":160,"unit":"g","expected":1350,"sd":20},{"at":"2025-03-05T08:00:00Z","amount":160,"unit":"g","expected":1398,"sd":20},{"at":"2025-03-06T08:00:00Z","expected":1396,"sd":30}]}`
	s := sheetOn(t, onDay(1), tank, plan)
	var step Row
	for _, r := range s.Rows {
		if r.Kind == StepDue {
			step = r
		}
	}
	if step.Action.Do != "dose" || step.Action.Amount != "160" || step.Action.Unit != "g" || step.Action.Plan == "" || len(step.Cautions) == 0 {
		t.Fatalf("%+v of %s", step, keys(s))
	}
	done := at(1, `"kind":"dose","tank":"quay","substance":"magnesium chloride hexahydrate","amount":160,"unit":"g"`)
	s = sheetOn(t, onDay(1.1), tank, plan, done)
	for _, r := range s.Rows {
		if r.Kind == StepDue {
			t.Errorf("a dose that was given is due: %+v", r)
		}
	}
	wrong := at(3, `"kind":"reading","tank":"quay","quantity":"magnesium","value":1520,"unit":"mg/L"`)
	s = sheetOn(t, onDay(3.1), tank, plan, done, wrong)
	found := false
	for _, r := range s.Rows {
		found = found || r.Kind == PlanStopped && strings.Contains(r.Why, "1,520 mg/L")
	}
	if !found {
		t.Errorf("no word of a stopped plan: %s", keys(s))
	}
}
