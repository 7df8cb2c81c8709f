package web

import (
	"strings"
	"testing"
)

func TestTheSheetForAnAbsence(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	text := s.page("/away?from=2026-03-25&until=2026-04-08&every=4&call=Ana+555+0199").text()
	for _, want := range []string{"Wednesday 25 March 2026 to Wednesday 8 April 2026", "Visits on Sunday 29 March 2026", "Weekly change: do it the day before", "fresh water", "No power", "Ana 555 0199"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in %s", want, text)
		}
	}
	for query, want := range map[string]string{"": "Type both days", "from=2026-03-25": "Type both days", "from=2026-04-25&until=2026-04-08": "before it begins", "from=x&until=2026-04-08": "not",
		"from=2026-03-25&until=2026-04-08&every=often": "is not a figure", "from=2026-03-25&until=2027-04-08": "too long"} {
		if text := s.page("/away?" + query).text(); !strings.Contains(text, want) {
			t.Errorf("%q: %q is missing in %s", query, want, text)
		}
	}
	if lines := s.added(func() { s.page("/away?from=2026-03-25&until=2026-04-08") }); len(lines) != 0 {
		t.Error("looking at an absence wrote into the book")
	}
}
