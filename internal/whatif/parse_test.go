package whatif

import (
	"strings"
	"testing"
	"time"
)

// Whatever is typed as a plan is read as one or refused in one line.
func FuzzPlanText(f *testing.F) {
	for _, text := range []string{"go on", "machines", "away 24", "away 24 from 2026-04-01", "stop dosing", "stop soda", "no top-off",
		"change 10% every 7 of bin", "change 40L every 14", "dose 10 g sodium bicarbonate every 2", "demand alkalinity 1.5",
		"away 7; change 40L every 7 of bin; demand alkalinity 2", "go on; go on", ";", "change NaN% every Inf", "away NaN", "dose 1 every", "every", ""} {
		f.Add(text)
	}
	asOf := time.Date(2026, 3, 2, 6, 0, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ParsePlan(text, asOf)
		if err != nil {
			if strings.Contains(err.Error(), "\n") {
				t.Errorf("%q is refused in more than one line: %v", text, err)
			}
			return
		}
		if p.Name == "" || !p.HandsOff && len(p.Changes) == 0 && p.Name != "go on" {
			t.Errorf("%q is taken for %+v, which changes nothing", text, p)
		}
	})
}
