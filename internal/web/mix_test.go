package web

import (
	"net/http"
	"strings"
	"testing"
)

// By hand: 22 g of magnesium in 100 L are 184 g of MgCl2·6H2O (203.295 over 24.305).
func TestThePageAtTheMixingBin(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	page := s.get("/mix?litres=100&salinity=35&have.magnesium=1180&want.magnesium=1400&with.magnesium=magnesium+chloride+hexahydrate")
	if page.status != http.StatusOK || !strings.Contains(page.body, "184") || !strings.Contains(page.body, "At the bin") {
		t.Errorf("status %d: %s", page.status, words200(page.body))
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
