package web

import (
	"net/http"
	"strings"
	"testing"

	"driftline/internal/book"
)

// tapOf are the hidden fields of the form that goes to an address, as a page shows it.
func tapOf(t *testing.T, n *node, action string) []string {
	t.Helper()
	for _, form := range n.all("form") {
		if form.attrs["action"] != action {
			continue
		}
		var pairs []string
		for _, in := range form.all("input") {
			if in.attrs["type"] == "hidden" {
				pairs = append(pairs, in.attrs["name"], in.attrs["value"])
			}
		}
		return pairs
	}
	t.Fatalf("no form goes to %s", action)
	return nil
}

// Common practice, no source: 2.6 mL of 3 % peroxide in 100 L, so 7.8 mL in the 300 L
// of the harbour, 3.9 on the first two days.
func TestACourseFromPlanToEnd(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	const path = "/course/harbour"
	query := path + "?what=peroxide&start.date=2026-03-20&start.time=18:00"
	if text := s.page(query).text(); !strings.Contains(text, "3.9 mL") || !strings.Contains(text, "7.8 mL") || !strings.Contains(text, "Cyanobacteria is scored 0 twice running") {
		t.Fatalf("the plan is %s", text)
	}
	if part := s.get(query + "&part=findings"); strings.Contains(part.body, "<html") || !strings.Contains(part.body, "Accept the course") {
		t.Errorf("the part alone is %s", words200(part.body))
	}
	accept := tapOf(t, s.page(query), path)
	lines := s.added(func() { s.post(path, accept...) })
	again := s.added(func() { s.post(path, accept...) })
	if len(lines) != 1 || len(again) != 0 || lines[0].Kind != book.KindCourse || lines[0].Body.(*book.Course).HalfDays != "2" {
		t.Fatalf("%d lines, then %d: %+v", len(lines), len(again), lines)
	}
	line := path + "/" + lines[0].ID
	if text := s.page(path).text(); !strings.Contains(text, "still under way") {
		t.Errorf("a second one beside it: %s", text)
	}

	// One tap on the rounds does the turn.
	home := s.page("/")
	if !strings.Contains(home.text(), "Peroxide against cyanobacteria, harbour: due at 18:00") {
		t.Fatalf("the rounds are %s", home.text())
	}
	done := s.added(func() { s.post("/write/harbour/dose", tapOf(t, home, "/write/harbour/dose")...) })
	if len(done) != 1 || done[0].Body.(*book.Dose).Plan != lines[0].ID || done[0].Body.(*book.Dose).Amount != "3.9" {
		t.Fatalf("%+v", done)
	}
	if text := s.page(line).text(); !strings.Contains(text, "1 of 20 turns done") || strings.Contains(s.page("/").text(), "due at 18:00") {
		t.Errorf("after the first turn: %s", text)
	}

	// Two scores of 0 stop it; it goes on, and ends.
	for range 2 {
		s.post("/write/harbour/score", "sign", "polyp extension", "value", "0")
	}
	if text := s.page("/").text(); !strings.Contains(text, "Stop: polyp extension scored 0 twice running, harbour") {
		t.Errorf("the rounds after two scores of 0: %s", text)
	}
	held := s.page(line)
	if text := held.text(); !strings.Contains(text, "Go on with it") || strings.Contains(text, "Next turn") {
		t.Errorf("the course after them: %s", text)
	}
	gone := s.added(func() { s.post(line+"/resume", append(tapOf(t, held, line+"/resume"), "why", "only shy")...) })
	if len(gone) != 1 || gone[0].Kind != book.KindPlanResume {
		t.Fatalf("%+v", gone)
	}
	if text := s.page(line).text(); strings.Contains(text, "Go on with it") || !strings.Contains(text, "Next turn") {
		t.Errorf("gone on with: %s", text)
	}
	s.post(line+"/end", "why", "clean")
	if text := s.page(line).text(); !strings.Contains(text, "Ended by the keeper: clean.") || strings.Contains(text, "End the course") {
		t.Errorf("ended: %s", text)
	}
	if text := s.page("/log/" + lines[0].ID).text(); !strings.Contains(text, "half of it on the first 2 days") || !strings.Contains(text, "Retract") {
		t.Errorf("its line: %s", text)
	}
}

func TestACourseOfChoresIsTickedOff(t *testing.T) {
	s := newSite(t, harbour)
	const path = "/course/harbour"
	lines := s.added(func() {
		s.post(path, "what", "chore", "name", "glass", "chore", "glass wiped", "every", "24", "days", "3", "start.date", "2026-03-20", "start.time", "18:00", "signs", "film algae", "rules", "film algae <= 0 twice running")
	})
	if len(lines) != 1 {
		t.Fatalf("%+v", lines)
	}
	done := s.added(func() { s.post("/write/harbour/chore", tapOf(t, s.page("/"), "/write/harbour/chore")...) })
	if len(done) != 1 || done[0].Body.(*book.Chore).Plan != lines[0].ID {
		t.Fatalf("%+v", done)
	}
	if text := s.page(path + "/" + lines[0].ID).text(); !strings.Contains(text, "1 of 3 turns done") {
		t.Errorf("%s", text)
	}
}

func TestCoursesThatCannotBe(t *testing.T) {
	s := newSite(t, harbour)
	const path = "/course/harbour"
	for query, says := range map[string]string{
		"?what=peroxide&amount=40": "never planned", "?what=peroxide&amount=much": "not a number", "?what=peroxide&start.date=2026-01-01": "in the past",
		"?what=peroxide&rules=nonsense": "not understood", "?what=dose": "no name", "?what=dose&name=dip&with=copper+sulfate&amount=1&every=24&days=3": "veterinarian",
		"?what=chore&name=a&every=0&chore=b&days=3": "hours", "?what=peroxide&half=30": "half the dose", "?what=nothing": "7.8 mL",
	} {
		if text := s.page(path + query).text(); !strings.Contains(text, says) {
			t.Errorf("%s does not say %q: %s", query, says, text)
		}
	}
	if got := s.added(func() { s.post(path, "what", "peroxide", "amount", "40") }); len(got) != 0 {
		t.Errorf("a refused course was kept: %+v", got)
	}
	if text := s.page(path + "?what=peroxide&rules=none").text(); strings.Contains(text, "Cyanobacteria is scored 0 twice running") {
		t.Errorf("without a rule: %s", text)
	}
	for _, gone := range []string{"/course/nowhere", path + "/none"} {
		if got := s.get(gone); got.status != http.StatusNotFound {
			t.Errorf("%s: status %d", gone, got.status)
		}
	}
}

// A plan that a reading has stopped is gone on with, or worked out again in its place.
func TestTheRestOfACorrectionIsWorkedOutAgain(t *testing.T) {
	s := newSite(t, harbour+harbourReadings()+
		`{"kind":"correction","at":"2026-03-17T09:00:00Z","id":"old","tank":"harbour","quantity":"alkalinity","aim":9,"unit":"dKH","substance":"sodium bicarbonate","steps":[{"at":"2026-03-18T08:00:00Z","amount":5,"unit":"g"},{"at":"2026-03-21T08:00:00Z","amount":5,"unit":"g"}]}`+"\n")
	const path = "/correct/harbour/alkalinity"
	if text := s.page("/").text(); !strings.Contains(s.page(path).text(), "Work the rest out again") || !strings.Contains(text, "What comes next") {
		t.Fatalf("%s", text)
	}
	page := s.page(path + "?anew=true&aim=9.2&unit=dKH")
	lines := s.added(func() { s.post(path, tapOf(t, page, path)...) })
	if len(lines) != 2 || lines[0].Kind != book.KindPlanEnd || lines[0].Body.(*book.PlanEnd).Plan != "old" || lines[1].Kind != book.KindCorrection {
		t.Fatalf("%+v", lines)
	}
	if text := s.page(path).text(); !strings.Contains(text, "worked out again") || strings.Count(text, "under way") != 2 { // its head, and why no third is planned
		t.Errorf("%s", text)
	}
}
