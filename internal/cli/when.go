package cli

import (
	"strconv"
	"strings"
	"time"
)

// layouts are the ways a moment may be typed, besides the words below. Those
// without an offset are in the zone of the tank.
var layouts = []string{
	time.RFC3339,
	"2006-01-02T15:04Z07:00",
	"2006-01-02T15:04:05",
	"2006-01-02T15:04",
	"2006-01-02 15:04:05",
	"2006-01-02 15:04",
	"2006-01-02",
}

// moment reads a moment as a person types it. The empty text is now.
func (j *job) moment(flag, text string, loc *time.Location) (time.Time, error) {
	now := j.Now().In(loc)
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "", "now":
		return now, nil
	case "today":
		return midnight(now, 0), nil
	case "yesterday":
		return midnight(now, -1), nil
	}
	for _, layout := range layouts {
		if t, err := time.ParseInLocation(layout, strings.TrimSpace(text), loc); err == nil {
			return t, nil
		}
	}
	if t, err := time.ParseInLocation("15:04", strings.TrimSpace(text), loc); err == nil {
		return midnight(now, 0).Add(t.Sub(midnight(t, 0))), nil
	}
	return time.Time{}, usage(
		"write it as 2026-03-14, 2026-03-14 08:30 or 2026-03-14T08:30:00+01:00",
		"%s %q is not a moment", flag, text)
}

func midnight(t time.Time, addDays int) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day()+addDays, 0, 0, 0, 0, t.Location())
}

func longMoment(t time.Time) string { return t.Format("Monday 2 January 2006, 15:04") }
func longDay(t time.Time) string    { return t.Format("Monday 2 January 2006") }
func shortDay(t time.Time) string   { return t.Format("Mon 2 Jan") }

// length reads a length of time as 14d, 36h or 2w.
func length(flag, text string) (time.Duration, error) {
	text = strings.TrimSpace(text)
	for suffix, unit := range map[string]time.Duration{"w": 7 * 24 * time.Hour, "d": 24 * time.Hour, "h": time.Hour} {
		number, ok := strings.CutSuffix(text, suffix)
		if !ok {
			continue
		}
		v, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(number), ",", ".", 1), 64)
		if err == nil && v >= 0 && v*unit.Hours() <= 366*24 {
			return time.Duration(v * float64(unit)), nil
		}
	}
	return 0, usage("", "%s %q: expected a length of time up to a year, such as 14d, 36h or 2w", flag, text)
}
