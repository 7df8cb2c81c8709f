package standing_test

import (
	"fmt"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
)

func TestHabits(t *testing.T) {
	now := time.Date(2026, 3, 20, 18, 0, 0, 0, time.UTC)
	dose := func(daysAgo, amount float64, more string) string {
		return fmt.Sprintf(`{"kind":"dose","at":%q,"tank":"quay","substance":"soda stock","amount":%g,"unit":"mL"%s}`, now.Add(-time.Duration(daysAgo*24*float64(time.Hour))).Format(time.RFC3339), amount, more)
	}
	const routine = `{"kind":"routine","at":"2026-03-01T08:00:00Z","tank":"quay","name":"soda","action":"dose","substance":"Soda stock","amount":12,"unit":"mL","every_days":2}`
	regular := []string{dose(8.1, 12, ""), dose(6, 11, ""), dose(4.2, 12, ""), dose(2, 12, ""), dose(0.1, 12.5, "")}
	for name, c := range map[string]struct {
		lines []string
		want  string
	}{
		"every other day":    {regular, "12 mL of soda stock every 2 days"},
		"a day":              {[]string{dose(4, 5, ""), dose(3, 5, ""), dose(2, 5, ""), dose(1, 5, "")}, "5 mL of soda stock a day"},
		"three times":        {regular[:3], ""},
		"at odd times":       {[]string{dose(20, 12, ""), dose(19, 12, ""), dose(10, 12, ""), dose(9.5, 12, ""), dose(1, 12, "")}, ""},
		"in odd amounts":     {[]string{dose(8, 3, ""), dose(6, 30, ""), dose(4, 12, ""), dose(2, 80, "")}, ""},
		"steps of a plan":    {[]string{dose(8, 12, `,"plan":"p"`), dose(6, 12, `,"plan":"p"`), dose(4, 12, `,"plan":"p"`), dose(2, 12, `,"plan":"p"`)}, ""},
		"stopped a week ago": {[]string{dose(15, 12, ""), dose(13, 12, ""), dose(11, 12, ""), dose(9, 12, "")}, ""},
		"declared":           {append([]string{routine}, regular...), ""},
	} {
		var lines []book.Line
		for i, text := range append([]string{`{"kind":"tank","at":"2025-10-01T08:00:00Z","name":"quay","net_volume":300,"unit":"L"}`}, c.lines...) {
			l, err := book.ParseLine([]byte(text))
			if err != nil {
				t.Fatal(err)
			}
			l.ID = fmt.Sprint("line-", i)
			lines = append(lines, l)
		}
		f := book.Replay(lines, now)
		got := ""
		for _, h := range standing.Habits(&f.Tanks[0], now) {
			got += h.Words()
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}
