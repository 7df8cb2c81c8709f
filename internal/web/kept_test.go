package web

import (
	"strings"
	"testing"
)

// A dose that no ledger can count is kept, and the next page says what is lacking.
func TestKeptSaysWhatCannotBeCounted(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	for _, c := range []struct {
		unit string
		says bool
	}{{"mL", true}, {"g", false}} {
		got := s.post("/write/harbour/dose", "substance", "calcium hydroxide", "amount", "5", "unit", c.unit)
		page := s.get(got.header.Get("Location"))
		if !strings.Contains(page.body, `data-test="kept"`) || strings.Contains(page.body, "nothing of it is counted") != c.says {
			t.Errorf("5 %s: status %d, said %v, want %v", c.unit, got.status, !c.says, c.says)
		}
	}
}
