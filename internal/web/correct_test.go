package web

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"driftline/internal/book"
)

var hiddenID = regexp.MustCompile(`name="id" value="([^"]+)"`)

// A plan is worked out, accepted once however often it is sent, shown as under
// way, and ended.
func TestACorrectionIsAcceptedAndEnded(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	const path = "/correct/harbour/alkalinity"
	page := s.get(path + "?aim=9.2&unit=dKH")
	if page.status != http.StatusOK || !strings.Contains(page.body, "Accept the plan") || !strings.Contains(page.body, "sodium bicarbonate") {
		t.Fatalf("status %d, page %s", page.status, words200(page.body))
	}
	part := s.get(path + "?aim=9.2&unit=dKH&part=findings")
	if strings.Contains(part.body, "<html") || !strings.Contains(part.body, "Then expected") {
		t.Errorf("the part alone is %s", words200(part.body))
	}
	ids := hiddenID.FindAllStringSubmatch(page.body, -1)
	id := ids[len(ids)-1][1]
	var lines []book.Line
	for range 2 { // sent twice
		lines = append(lines, s.added(func() { s.post(path, "id", id, "aim", "9.2", "unit", "dKH") })...)
	}
	if len(lines) != 1 || lines[0].Kind != book.KindCorrection {
		t.Fatalf("%d lines were added: %+v", len(lines), lines)
	}
	page = s.get(path + "?aim=9.2&unit=dKH")
	if !strings.Contains(page.body, "under way") || !strings.Contains(page.body, "still under way") || strings.Contains(page.body, "Accept the plan") {
		t.Errorf("the page of a running plan is %s", words200(page.body))
	}
	lines = s.added(func() { s.post(path+"/end/"+lines[0].ID, "why", "holiday") })
	if len(lines) != 1 || lines[0].Kind != book.KindPlanEnd {
		t.Fatalf("%d lines were added", len(lines))
	}
	if page = s.get(path); !strings.Contains(page.body, "doses: holiday.") {
		t.Errorf("the page of an ended plan is %s", words200(page.body))
	}
}

func TestCorrectionsThatCannotBe(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	for path, status := range map[string]int{"/correct/harbour/temperature": 404, "/correct/nowhere/magnesium": 404, "/correct/harbour/mood": 404} {
		if got := s.get(path); got.status != status {
			t.Errorf("%s: status %d, want %d", path, got.status, status)
		}
	}
	for query, says := range map[string]string{"aim=much": "is not a number", "aim=14": "Not now", "aim=9.2&most=-3": "not possible", "aim=9.2&with=nothing": "nothing is known"} {
		if page := s.get("/correct/harbour/alkalinity?unit=dKH&" + query); page.status != http.StatusOK || !strings.Contains(strings.ToLower(page.body), strings.ToLower(says)) {
			t.Errorf("%s: status %d, want %q", query, page.status, says)
		}
	}
	if got := s.added(func() { s.post("/correct/harbour/alkalinity", "aim", "14", "unit", "dKH") }); len(got) != 0 {
		t.Errorf("a refused plan was kept: %+v", got)
	}
	if got := s.post("/correct/harbour/alkalinity/end/none"); got.status != http.StatusNotFound {
		t.Errorf("ending what is not there: status %d", got.status)
	}
}
