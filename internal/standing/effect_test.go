package standing_test

import (
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
)

// What cannot be counted is said once, where it is logged; what can be, is not.
func TestUnaccounted(t *testing.T) {
	var lines []book.Line
	for _, text := range []string{
		`{"kind":"tank","at":"2026-01-01T00:00:00Z","name":"quay","net_volume":100,"unit":"L"}`,
		`{"kind":"substance","at":"2026-01-01T00:00:00Z","name":"stock","contains":[{"quantity":"calcium","value":40,"unit":"mg/mL"}]}`,
		`{"kind":"substance","at":"2026-01-01T00:00:00Z","name":"powder","contains":[{"quantity":"calcium","value":300,"unit":"mg/g"}]}`,
	} {
		l, err := book.ParseLine([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, l)
	}
	f := book.Replay(lines, time.Date(2026, 2, 1, 0, 0, 0, 0, time.UTC))
	for _, c := range []struct{ name, fields, says string }{
		{"a solution in mL", `"kind":"dose","substance":"Stock","amount":5,"unit":"mL"`, ""},
		{"a solution in L", `"kind":"dose","substance":"stock","amount":0.1,"unit":"L"`, ""},
		{"a solution in g", `"kind":"dose","substance":"stock","amount":5,"unit":"g"`, "a gram of stock"},
		{"a powder in mL", `"kind":"dose","substance":"powder","amount":5,"unit":"mL"`, "a mL of powder"},
		{"a built-in salt in g", `"kind":"dose","substance":"calcium hydroxide","amount":5,"unit":"g"`, ""},
		{"a built-in salt in mL", `"kind":"dose","substance":"baking soda","amount":500,"unit":"mL"`, "or log the grams"},
		{"limewater in mL", `"kind":"dose","substance":"limewater","amount":500,"unit":"mL"`, ""},
		{"nobody's juice", `"kind":"dose","substance":"juice","amount":5,"unit":"mL"`, "in mg/mL"},
		{"a top-off of a salt", `"kind":"top-off","volume":5,"unit":"L","substance":"calcium hydroxide","concentration":1.2`, ""},
		{"a top-off of nobody's juice", `"kind":"top-off","volume":5,"unit":"L","substance":"juice","concentration":1.2`, "What juice contains"},
		{"a plain top-off", `"kind":"top-off","volume":5,"unit":"L"`, ""},
		{"a routine of a salt in mL", `"kind":"routine","name":"r","action":"dose","substance":"calcium hydroxide","amount":50,"unit":"mL","every_days":1`, "a mL of calcium hydroxide"},
		{"a chore", `"kind":"chore","name":"glass"`, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, err := book.ParseLine([]byte(`{"at":"2026-01-10T00:00:00Z","tank":"quay",` + c.fields + `}`))
			if err != nil {
				t.Fatal(err)
			}
			got := standing.Unaccounted(f, l)
			if (got == "") != (c.says == "") || !strings.Contains(got, c.says) {
				t.Errorf("said %q, want %q in it", got, c.says)
			}
		})
	}
}
