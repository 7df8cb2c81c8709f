package rounds

import (
	"fmt"
	"math"
	"strings"
	"time"

	"driftline/internal/prose"
)

// quietWords say plainly what does not need doing, and what comes next when
// nothing does.
func quietWords(s *Sheet, quiet []string, tanks, days int, zones map[string]*time.Location) string {
	switch {
	case tanks == 0:
		return "No tank is declared yet."
	case len(s.Rows) > 0 && len(quiet) == 0:
		return ""
	case len(s.Rows) > 0:
		return "Nothing to do today for " + listWords(quiet) + "."
	case len(s.Next) == 0:
		return fmt.Sprintf("Nothing needs doing today, and nothing falls due within %d days.", days)
	}
	n := s.Next[0]
	loc := zones[n.Tank]
	if loc == nil {
		loc = time.UTC
	}
	return fmt.Sprintf("Nothing needs doing today. Next: %s on %s. %s", prose.Lower(n.Title), dateWords(*n.On, loc), n.Why)
}

func dateWords(t time.Time, loc *time.Location) string { return t.In(loc).Format("Monday 2 January") }

func days(d float64) time.Duration { return time.Duration(d * 24 * float64(time.Hour)) }

func daysWords(d time.Duration) string { return EveryWords(math.Round(d.Hours() / 24)) }

// EveryWords write an interval: "7 days", "day", "12 hours".
func EveryWords(d float64) string {
	switch {
	case d < 0.95:
		return fmt.Sprintf("%.0f hours", d*24)
	case d < 1.05:
		return "day"
	case d < 10 && math.Abs(d-math.Round(d)) > 0.05:
		return fmt.Sprintf("%.1f days", d)
	}
	return fmt.Sprintf("%.0f days", d)
}

func listWords(names []string) string {
	switch n := len(names); n {
	case 0:
		return ""
	case 1:
		return names[0]
	default:
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
}

// sentenceOf joins reasons with semicolons and ends with a full stop.
func sentenceOf(parts []string) string {
	text := strings.TrimSuffix(strings.Join(parts, "; "), ".")
	if text == "" {
		return ""
	}
	return prose.Capital(text) + "."
}
