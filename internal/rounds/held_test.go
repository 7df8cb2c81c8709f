package rounds

import (
	"strings"
	"testing"
)

// A plan written by hand asks for 60 g of soda in 300 L, 6.7 dKH in a day: it is not
// asked for, and the reason is told. The same of 6 g is.
func TestADoseAboveTheCeilingIsNotAskedFor(t *testing.T) {
	tank := at(-60, `"kind":"tank","name":"quay","net_volume":300,"unit":"L"`)
	for _, c := range []struct {
		kind, line string
		held       bool
	}{
		{"correction", `"kind":"correction","tank":"quay","quantity":"alkalinity","aim":12,"unit":"dKH","substance":"sodium bicarbonate","steps":[{"at":"2025-03-03T10:00:00Z","amount":60,"unit":"g"}]`, true},
		{"correction", `"kind":"correction","tank":"quay","quantity":"alkalinity","aim":9,"unit":"dKH","substance":"sodium bicarbonate","steps":[{"at":"2025-03-03T10:00:00Z","amount":6,"unit":"g"}]`, false},
		{"course", `"kind":"course","tank":"quay","name":"soda","substance":"sodium bicarbonate","amount":60,"unit":"g","every_hours":24,"days":5`, true},
		{"course", `"kind":"course","tank":"quay","name":"soda","substance":"sodium bicarbonate","amount":6,"unit":"g","every_hours":24,"days":5`, false},
	} {
		s := sheetOn(t, onDay(0.05), tank, at(0, strings.ReplaceAll(c.line, "2025-03-03T10:00:00Z", onDay(0.06).Format("2006-01-02T15:04:05Z"))))
		held, doses := of(s, DoseHeld), 0
		for _, r := range s.Rows {
			if r.Action.Do == "dose" {
				doses++
			}
		}
		if len(held) == 1 != c.held || doses == 1 == c.held {
			t.Errorf("%s: held %v, asked for %d: %+v", c.line, held, doses, s.Rows)
		}
		if c.held && (!strings.Contains(held[0].Why, "would raise alkalinity by 6.7 dKH in a day") || held[0].Action.Do == "dose" || s.Rows[0].Kind != DoseHeld) {
			t.Errorf("%+v", held[0])
		}
	}
}
