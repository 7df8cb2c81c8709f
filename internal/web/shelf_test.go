package web

import (
	"net/http"
	"strings"
	"testing"

	"driftline/internal/book"
)

// A tub of 4 kg, of which two changes of 30 L took 30 × 37 × 35/35 = 1110 g each.
const tub = `{"kind":"stock","at":"2026-03-01T08:00:00Z","substance":"blue tub","amount":4,"unit":"kg","price":24.9,"currency":"EUR"}
{"kind":"water change","at":"2026-03-07T08:00:00Z","tank":"harbour","volume":30,"unit":"L","mix":"blue tub"}
{"kind":"water change","at":"2026-03-14T08:00:00Z","tank":"harbour","volume":30,"unit":"L","mix":"blue tub"}
{"kind":"dose","at":"2026-03-15T08:00:00Z","tank":"harbour","substance":"sodium bicarbonate","amount":5,"unit":"g"}
`

func TestThePageOfTheShelf(t *testing.T) {
	s := newSite(t, harbour+tub)
	page := s.page("/shelf")
	text := page.text()
	for _, want := range []string{"Blue tub", "1.78 ± ", "weekly change, harbour: 1.11 kg a week", "EUR a month", "Used, and never counted", "Sodium bicarbonate"} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if n := len(page.all("[data-test=shelf]")); n != 1 {
		t.Errorf("%d things stand on the shelf, want 1", n)
	}
	if text = s.page("/shelf?until=2026-06-30").text(); !strings.Contains(text, "To the end of 30 June ") || !strings.Contains(text, "get ") {
		t.Error("the page does not say what lacks until the end of June")
	}
	for until, says := range map[string]string{"2026-01-30": "is past", "soon": "is not a day", "2036-01-01": "too far off"} {
		if text = s.page("/shelf?until=" + until).text(); !strings.Contains(text, says) {
			t.Errorf("until %s: the page does not say %q", until, says)
		}
	}
	if text = newSite(t, harbour).page("/shelf").text(); !strings.Contains(text, "Nothing is written on the shelf yet") {
		t.Error("an empty shelf does not say so")
	}
}

func TestCountsArriveAsLines(t *testing.T) {
	s := newSite(t, harbour+tub)
	var lines []book.Line
	for range 2 { // sent twice
		lines = append(lines, s.added(func() {
			got := s.post("/shelf", "id", "019d0000-0000-7000-8000-000000000009", "substance", "blue tub", "amount", "20,5", "unit", "kg", "added", "true",
				"price", "62.50", "currency", "EUR", "at.date", "2026-03-20", "at.time", "08:00", "note", "")
			if got.status != http.StatusSeeOther {
				t.Errorf("status %d: %s", got.status, words200(got.body))
			}
		})...)
	}
	if len(lines) != 1 || lines[0].Tank != "" {
		t.Fatalf("%d lines were added: %+v", len(lines), lines)
	}
	if b := lines[0].Body.(*book.Stock); b.Substance != "blue tub" || b.Amount != "20.5" || !b.Added || b.Price != "62.50" || b.Currency != "EUR" {
		t.Errorf("%+v", b)
	}
	// A count without a price names no currency.
	lines = s.added(func() {
		s.post("/shelf", "substance", "boric acid", "amount", "100", "unit", "g", "price", "", "currency", "EUR", "at.date", "2026-03-20", "at.time", "08:00")
	})
	if b := lines[0].Body.(*book.Stock); b.Currency != "" || b.Added {
		t.Errorf("%+v", b)
	}
	for what, pairs := range map[string][]string{
		"figure is missing": {"substance", "blue tub", "amount", "", "unit", "kg"}, "is not a number": {"substance", "blue tub", "amount", "much", "unit", "kg"},
		"is missing": {"substance", "", "amount", "1", "unit", "kg"}, "expected": {"substance", "blue tub", "amount", "1", "unit", "furlong"},
	} {
		pairs = append(pairs, "at.date", "2026-03-20", "at.time", "08:00")
		var got reply
		if lines := s.added(func() { got = s.post("/shelf", pairs...) }); len(lines) != 0 || got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, what) {
			t.Errorf("%q: status %d, %d lines", what, got.status, len(lines))
		}
	}
	// The line has a form of its own to put it right.
	if page := s.page("/log/019d0000-0000-7000-8000-000000000009"); len(page.all("input[name=added]")) != 1 {
		t.Error("the line of a purchase cannot be corrected in its form")
	}
}

func TestASolutionIsDeclared(t *testing.T) {
	s := newSite(t, harbour)
	lines := s.added(func() {
		s.post("/settings/declare/substance", "name", "calcium stock", "form", "solution", "formula", "CaCl2·2H2O", "grams_per_litre", "200")
	})
	if len(lines) != 1 || lines[0].Body.(*book.Substance).GramsPerLitre != "200" {
		t.Errorf("%+v", lines)
	}
}

// The plan's sentence about the shelf stands on the pages of plans.
func TestPlansAreHeldAgainstTheShelf(t *testing.T) {
	s := newSite(t, harbour+harbourReadings()+tub)
	page := s.get("/correct/harbour/alkalinity?aim=9.2&unit=dKH")
	if !strings.Contains(page.body, "of which nothing is written on the shelf") {
		t.Errorf("the correction does not speak of the shelf: %s", words200(page.body))
	}
	// 100 L take 3.7 kg; 1.78 kg are there.
	if page = s.get("/mix?litres=100&salinity=35&mix=blue+tub"); !strings.Contains(strings.ReplaceAll(page.body, "\u00a0", " "), "3.7 kg; 1.78 kg stands on the shelf, 1.92 kg short: buy it first") {
		t.Errorf("the batch does not speak of the shelf: %s", words200(page.body))
	}
}
