package standing

import (
	"math"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
)

var testStart = time.Date(2025, 1, 1, 12, 0, 0, 0, time.UTC)

func onDay(d float64) time.Time { return addDays(testStart, d) }

// replay reads lines of the log format; {D n} in a line is the time n days
// after the start.
func replay(t testing.TB, asOf time.Time, lines ...string) *book.Facts {
	t.Helper()
	var out []book.Line
	for i, text := range lines {
		l, err := book.ParseLine([]byte(text))
		if err != nil {
			t.Fatalf("line %d, %s: %v", i+1, text, err)
		}
		if l.ID == "" {
			l.ID = book.ContentID(l)
		}
		out = append(out, l)
	}
	return book.Replay(out, asOf)
}

// at writes the time so many days after the start into a line.
func at(day float64, fields string) string {
	return `{"at":"` + onDay(day).Format(time.RFC3339) + `",` + fields + `}`
}

const quayTank = `"kind":"tank","name":"quay","system":"mixed","net_volume":400,"unit":"L"`

func tankLine() string { return at(-1, quayTank) }

func reading(day float64, quantity, value, unit, instrument string) string {
	return at(day, `"kind":"reading","tank":"quay","quantity":"`+quantity+`","value":`+value+`,"unit":"`+unit+`","instrument":"`+instrument+`"`)
}

func surveyOf(t testing.TB, asOf time.Time, lines ...string) *survey {
	t.Helper()
	f := replay(t, asOf, append([]string{tankLine()}, lines...)...)
	tank, ok := f.Tank("quay")
	if !ok {
		t.Fatal("no tank")
	}
	return newSurvey(f, tank, newShelf(f), asOf)
}

func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.6g, want %.6g ± %.2g", what, got, want, tolerance)
	}
}

func contains(t testing.TB, text, part string) {
	t.Helper()
	if !strings.Contains(text, part) {
		t.Errorf("%q lacks %q", text, part)
	}
}
