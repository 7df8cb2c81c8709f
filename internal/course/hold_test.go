package course_test

import (
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/course"
)

// By hand, IUPAC weights: 1 g of NaHCO3 in 300 L is 0.1113 dKH; the trade's ceiling of
// a day is 1 dKH (common practice, no source), so 8.99 g a day at most.
func TestACourseIsHeldToTheCeilingOfADay(t *testing.T) {
	now := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	lines := func(more ...string) *book.Facts {
		var out []book.Line
		for i, text := range append([]string{`{"kind":"tank","at":"2025-10-01T08:00:00Z","name":"quay","net_volume":300,"unit":"L"}`}, more...) {
			l, err := book.ParseLine([]byte(text))
			if err != nil {
				t.Fatal(err)
			}
			l.ID = string(rune('a' + i))
			out = append(out, l)
		}
		return book.Replay(out, now)
	}
	const correction = `{"kind":"correction","at":"2026-03-01T08:00:00Z","tank":"quay","quantity":"alkalinity","aim":9,"unit":"dKH","substance":"sodium bicarbonate","steps":[{"at":"2026-03-04T09:00:00Z","amount":6,"unit":"g"}]}`
	for name, c := range map[string]struct {
		facts               *book.Facts
		amount, every, half float64
		refused             string
	}{
		"under it":     {lines(), 8.9, 24, 0, ""},
		"above it":     {lines(), 200, 24, 0, "22.3 dKH in a day"},
		"in two doses": {lines(), 6, 12, 0, "1.3 dKH in a day"},
		"half is enough to begin with, the whole is not": {lines(), 6, 12, 1, "1.3 dKH in a day"},
		"every other day":   {lines(), 8.9, 48, 0, ""},
		"with a correction": {lines(correction), 6, 24, 0, "what is planned besides it would raise alkalinity"},
	} {
		half := c.half
		p, err := course.Work(c.facts, course.Ask{Tank: "quay", Name: "soda", Substance: "sodium bicarbonate", Amount: c.amount, Unit: "g", EveryHours: c.every, Days: 5, HalfDays: &half, Start: now.Add(time.Hour)}, now)
		if err != nil {
			t.Fatal(err)
		}
		if (p.Refused != "") != (c.refused != "") || !strings.Contains(p.Refused, c.refused) || p.Refused != "" && p.Instead == "" {
			t.Errorf("%s: refused %q, want %q", name, p.Refused, c.refused)
		}
		if _, err := course.Accept(p, now); (err != nil) != (c.refused != "") {
			t.Errorf("%s: accepted with %v", name, err)
		}
	}
}
