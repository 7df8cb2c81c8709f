package browsertest

import (
	"fmt"
	"net/url"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
)

// planned are an accepted course that a stop rule has stopped and a correction with
// a missed dose, in the demo's first tank.
func planned(t *testing.T) []book.Line {
	t.Helper()
	at := func(days float64) string {
		return today.Add(time.Duration(days * 24 * float64(time.Hour))).Format(time.RFC3339)
	}
	var lines []book.Line
	add := func(kind string, days float64, fields string) {
		text := fmt.Sprintf(`{"kind":%q,"at":%q,"tank":%q,"id":"planned-%d",%s}`, kind, at(days), testTank, len(lines), fields)
		l, err := book.ParseLine([]byte(text))
		if err == nil {
			err = book.Validate(l)
		}
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		lines = append(lines, l)
	}
	add("course", -3, `"name":"Mat course","substance":"hydrogen peroxide 3 %","amount":6,"unit":"mL","most":16,"half_days":1,"every_hours":12,"days":7,"signs":["polyp extension"],"stop_when":[{"sign":"polyp extension","is":"at most","value":0,"times":2}]`)
	add("dose", -2.99, `"substance":"hydrogen peroxide 3 %","amount":3,"unit":"mL","plan":"planned-0"`)
	add("score", -1, `"sign":"polyp extension","value":0`)
	add("score", -0.1, `"sign":"polyp extension","value":0`)
	add("correction", -2, fmt.Sprintf(`"quantity":"alkalinity","aim":8.4,"unit":"dKH","substance":"sodium bicarbonate","steps":[{"at":%q,"amount":3,"unit":"g"},{"at":%q,"amount":3,"unit":"g"}]`, at(-1.5), at(1)))
	return lines
}

// TestACourseIsPlannedAndTicked: the result follows what is typed, is accepted, and
// its turn is done in one tap.
func TestACourseIsPlannedAndTicked(t *testing.T) {
	site := serve(t, demo(t))
	b := open(t, site.home, phone)
	path := "/course/" + url.PathEscape(testTank)
	b.visit(path)
	b.judged("a course, worked out")
	b.enter("#amount", "5")
	b.says("2.5 mL of hydrogen peroxide 3 %")
	b.done()
	b.enter("#half", "0")
	b.says("5 mL of hydrogen peroxide 3 %, every 12 hours for 10 days")
	b.done()
	b.tap("form[action] button.main:not(form.waters button)")
	b.says("0 of 20 turns done")
	b.judged("a course, accepted")
	b.tap(".course-next button.deed")
	b.says("1 of 20 turns done")
	if n := len(site.journal.Lines()); n == 0 || !strings.Contains(b.text(), "Next turn") {
		t.Errorf("%d lines, and the page says %s", n, b.text())
	}
}
