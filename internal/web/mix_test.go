package web

import (
	"net/http"
	"strings"
	"testing"
)

// By hand: 22 g of magnesium in 100 L are 184 g of MgCl2·6H2O (203.295 over 24.305).
func TestThePageAtTheMixingBin(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	page := s.get("/mix?bin=mixed&litres=100&salinity=35&have.magnesium=1180&want.magnesium=1400&with.magnesium=magnesium+chloride+hexahydrate")
	if page.status != http.StatusOK || !strings.Contains(page.body, "184") || !strings.Contains(page.body, "At the bin") {
		t.Errorf("status %d: %s", page.status, words200(page.body))
	}
	// With the salt still to be weighed it takes 211 g, and 3,600 g of salt instead of
	// 3,700 (worked by hand in the test of the recipe).
	empty := s.get("/mix?litres=100&salinity=35&have.magnesium=1180&want.magnesium=1400&with.magnesium=magnesium+chloride+hexahydrate")
	for _, want := range []string{"211", "3,600", "less salt"} {
		if !strings.Contains(empty.body, want) {
			t.Errorf("%q is not on the sheet of an empty bin", want)
		}
	}
	part := s.get("/mix?part=findings&litres=100")
	if strings.Contains(part.body, "<html") || !strings.Contains(part.body, "To weigh") {
		t.Errorf("the part alone is %s", words200(part.body))
	}
	// The aim of the tank's band, and what the declared tub holds.
	filled := s.get("/mix?tank=harbour&mix=blue+tub")
	for _, want := range []string{`name="want.alkalinity" id="want.alkalinity" value="8.2"`, `name="have.alkalinity" id="have.alkalinity" value="9.1"`, "cannot be taken out"} {
		if !strings.Contains(filled.body, want) {
			t.Errorf("%q is not on the page", want)
		}
	}
	for query, says := range map[string]string{"litres=much": "is not a number", "litres=0": "not possible", "salinity=99": "not that of a sea tank", "want.magnesium=x": "is not a number"} {
		if page := s.get("/mix?" + query); page.status != http.StatusOK || !strings.Contains(page.body, says) {
			t.Errorf("%s: status %d, want %q", query, page.status, says)
		}
	}
}

// What was emptied in the form stays empty: no aim of the tank comes back.
func TestWhatWasEmptiedAtTheMixingBinStaysEmpty(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	page := s.get("/mix?typed=1&tank=harbour&litres=50&salinity=35&temperature=25")
	if !strings.Contains(page.body, `name="want.alkalinity" id="want.alkalinity" value=""`) {
		t.Error("an aim came back")
	}
}

// By hand: a fifth of the harbour's litres, and what follows is on the page.
func TestTheChangeThatFollows(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	part := s.get("/mix?part=findings&typed=1&tank=harbour&litres=50&salinity=35&temperature=25&change=20&every=7&weeks=8&have.alkalinity=9")
	for _, want := range []string{"The change in harbour", "20\u00a0L of the", "If it is repeated every 7 days", "weeks from today", "Warmth", `<h4>Alkalinity</h4>`} {
		if !strings.Contains(part.body, want) {
			t.Errorf("%q is not among what follows", want)
		}
	}
	for query, says := range map[string]string{"change=5000": "is not possible in harbour", "change=x": "is not a number", "every=0.001": "expected 0.25 to 365", "weeks=1000": "expected 1 to 104"} {
		if page := s.get("/mix?tank=harbour&" + query); page.status != http.StatusOK || !strings.Contains(page.body, says) {
			t.Errorf("%s: status %d, want %q", query, page.status, says)
		}
	}
	if page := s.get("/mix?tank=nowhere"); !strings.Contains(page.body, "is not in the book") {
		t.Error("an unknown tank is not named")
	}
}
