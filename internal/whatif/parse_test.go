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
		"away 7; change 40L every 7 of bin; demand alkalinity 2", "go on; go on", ";", "change NaN% every Inf", "away NaN", "feed 1.5 times", "feed 3 g pellets", "also feed 0.5 g nori", "no food", "harvest 100 g every 14", "5 more fish of 4 g", "feed NaN times", "also feed", "1e9 more fish of 1e300 g", "dose 1 every", "every", ""} {
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
