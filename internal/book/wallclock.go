package book

import (
	"strings"
	"time"
)

// parseTableTime reads a time of a table: RFC 3339 with its offset, with a
// space for the T and without seconds if so written; without an offset it is
// what a clock at the tank showed; a day alone is its noon.
func parseTableTime(text string, zone *time.Location) (time.Time, *Fault) {
	s := strings.ToUpper(text)
	if len(s) > 10 && s[10] == ' ' {
		s = s[:10] + "T" + strings.TrimLeft(s[10:], " ")
	}
	if t, ok := parseMoment(s); ok {
		return t, nil
	}
	if t, err := time.Parse("2006-01-02T15:04Z07:00", s); err == nil {
		t, _ := parseMoment(t.Format(time.RFC3339))
		return t, nil
	}
	if t, ok := parseDay(s); ok {
		s = t.Format(time.DateOnly) + "T12:00"
	}
	return atTank(text, s, zone)
}

func atTank(text, s string, zone *time.Location) (time.Time, *Fault) {
	for _, layout := range []string{"2006-01-02T15:04", "2006-01-02T15:04:05"} {
		t, err := time.ParseInLocation(layout, s, zone)
		if err != nil || strings.ContainsRune(s, ',') {
			continue
		}
		if shown, err := time.Parse(layout, s); err != nil || t.Format(layout) != shown.Format(layout) {
			return t, faultf("time", "time %q does not exist in %s, where clocks went forward; add the offset", clip(text), zone)
		}
		t, _ = parseMoment(t.Format(time.RFC3339Nano))
		return t, nil
	}
	return time.Time{}, faultf("time", "time %q is not understood; expected such as 2026-03-01 19:30 or 2026-03-01T19:30:00+01:00", clip(text))
}
