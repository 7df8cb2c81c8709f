package calendar_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/book/booktest"
	"driftline/internal/calendar"
	"driftline/internal/standing"
)

var start = time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC) // a Monday

func at(day float64) time.Time { return start.Add(time.Duration(day * 24 * float64(time.Hour))) }

func facts(t *testing.T, day float64, texts ...string) *book.Facts {
	t.Helper()
	lines := []book.Line{{Kind: book.KindTank, At: at(-100), ID: "tank", Body: &book.Tank{Name: "quay", NetVolume: "300", Unit: "L", TimeZone: "Europe/Lisbon"}}}
	lines = append(lines, booktest.Parse(t, texts...)...)
	return book.Replay(lines, at(day))
}

func make14(t *testing.T, f *book.Facts) calendar.Calendar {
	t.Helper()
	c, err := calendar.Make(standing.NewDesk(), f, f.AsOf, 14)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func daysOf(c calendar.Calendar, title string) []string {
	var out []string
	for _, e := range c.Entries {
		if strings.HasPrefix(e.Title, title) {
			out = append(out, e.Day.Format("2 Jan"))
		}
	}
	return out
}

var busy = []string{
	`{"kind":"routine","at":"2026-03-01T08:00:00Z","tank":"quay","name":"salt week","action":"water change","volume":20,"unit":"L","mix":"tub","every_days":7,"from":"2026-03-04"}`,
	`{"kind":"routine","at":"2026-03-01T08:00:00Z","tank":"quay","name":"mysids","action":"feeding","food":"mysids","amount":1,"unit":"g","every_days":0.5,"from":"2026-03-01"}`,
	`{"kind":"routine","at":"2026-03-01T08:00:00Z","tank":"quay","name":"feeder","action":"feeding","food":"pellets","amount":0.5,"unit":"g","every_days":0.25,"from":"2026-03-01","automatic":true}`,
	`{"kind":"equipment","at":"2025-11-05T08:00:00Z","tank":"quay","name":"left pump","type":"circulation pump"}`,
	`{"kind":"instrument","at":"2026-02-01T08:00:00Z","name":"drops","quantity":"calcium","method":"drop titration","expires":"2026-03-10T00:00:00Z"}`,
	`{"kind":"absence","at":"2026-03-01T08:00:00Z","from":"2026-03-06T12:00:00Z","until":"2026-03-12T12:00:00Z","minder":"Ilse, 2nd floor; key with her"}`,
}

func TestDaysAhead(t *testing.T) {
	c := make14(t, facts(t, 0, busy...))
	for title, want := range map[string][]string{
		"Salt week":       {"4 Mar", "11 Mar"},
		"Left pump":       {"5 Mar"}, // 120 days after the 5th of November (common practice, no source)
		"Drops":           {"10 Mar"},
		"Away from today": {"6 Mar"},
		"Back":            {"12 Mar"},
	} {
		if got := daysOf(c, title); !slices.Equal(got, want) {
			t.Errorf("%s on %v, want %v", title, got, want)
		}
	}
	if got := daysOf(c, "Mysids"); len(got) != 14 || got[0] != "2 Mar" {
		t.Errorf("mysids on %v, want each of 14 days", got)
	}
	if len(c.Machines) != 1 || !strings.Contains(c.Machines[0], "every 6 hours") {
		t.Errorf("machines: %q", c.Machines)
	}
	for _, e := range c.Entries {
		if strings.HasPrefix(e.Title, "Feeder") {
			t.Errorf("a machine asks for a hand: %+v", e)
		}
	}
	if _, err := calendar.Make(standing.NewDesk(), facts(t, 0), at(0), 400); err == nil {
		t.Error("400 days are taken")
	}
}

// RFC 5545: 3.1 lines end with CRLF and are no longer than 75 octets; 3.6 a calendar
// has PRODID and VERSION; 3.6.1 an event has UID and DTSTAMP; 3.3.11 commas and
// semicolons in text are escaped; 3.8.2.2 the end of an all-day event is the day after.
func TestStream(t *testing.T) {
	c := make14(t, facts(t, 0, busy...))
	var out bytes.Buffer
	if err := c.Write(&out, at(0)); err != nil {
		t.Fatal(err)
	}
	text := out.String()
	if strings.Count(text, "\n") != strings.Count(text, "\r\n") {
		t.Error("a line does not end with CRLF")
	}
	seen := map[string]bool{}
	for _, l := range strings.Split(text, "\r\n") {
		if len(l) > 75 {
			t.Errorf("%d octets in %q", len(l), l)
		}
		if strings.HasPrefix(l, "UID:") {
			if seen[l] {
				t.Errorf("%s is there twice", l)
			}
			seen[l] = true
		}
	}
	if n := strings.Count(text, "BEGIN:VEVENT"); n != len(c.Entries) || len(seen) != n || strings.Count(text, "DTSTAMP:") != n {
		t.Errorf("%d events of %d entries, %d identities", n, len(c.Entries), len(seen))
	}
	unfolded := strings.ReplaceAll(text, "\r\n ", "")
	for _, want := range []string{"BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:", "DTSTART;VALUE=DATE:20260304", "DTEND;VALUE=DATE:20260305", `SUMMARY:quay: Salt week`, `DESCRIPTION:Ilse\, 2nd floor\; key with her minds the tanks.`} {
		if !strings.Contains(unfolded, want) {
			t.Errorf("%q is missing", want)
		}
	}
	// Read again a day later, what stays on its day keeps its identity.
	later := make14(t, facts(t, 1, busy...))
	var again bytes.Buffer
	if err := later.Write(&again, at(1)); err != nil {
		t.Fatal(err)
	}
	id := func(text, title string) string {
		for _, ev := range strings.Split(text, "BEGIN:VEVENT") {
			if strings.Contains(ev, "SUMMARY:"+title) {
				return ev[strings.Index(ev, "UID:"):strings.Index(ev, "@")]
			}
		}
		return ""
	}
	if a, b := id(text, "quay: Salt week"), id(again.String(), "quay: Salt week"); a == "" || a != b {
		t.Errorf("identities %q and %q", a, b)
	}
}
