package web

import (
	"strings"
	"testing"
)

const harbourThings = `{"kind":"equipment","at":"2025-06-01T08:00:00Z","tank":"harbour","name":"left pump","type":"circulation pump"}
{"kind":"chore","at":"2026-01-02T08:00:00Z","tank":"harbour","name":"glass cleaned"}
{"kind":"chore","at":"2026-01-06T08:00:00Z","tank":"harbour","name":"glass cleaned"}
{"kind":"chore","at":"2026-01-10T08:00:00Z","tank":"harbour","name":"glass cleaned"}
{"kind":"chore","at":"2026-01-14T08:00:00Z","tank":"harbour","name":"glass cleaned"}
{"kind":"chore","at":"2026-01-18T08:00:00Z","tank":"harbour","name":"glass cleaned"}
`

// A thing that is due, and a habit that lapsed, are on the page and one row of the
// rounds; a tap does either, and it is due no more.
func TestUpkeep(t *testing.T) {
	s := newSite(t, harbour+harbourThings)
	page := s.page("/upkeep")
	for _, want := range []string{"Left pump: descale", "Unplug it first", "Glass cleaned", "Every 4 days for 5 times", "residual-current"} {
		if !strings.Contains(page.text(), want) {
			t.Errorf("%q is missing in %s", want, page.text())
		}
	}
	for _, form := range page.all("form") {
		if form.attrs["action"] != "/write/harbour/chore" {
			continue
		}
		var sent []string
		for _, in := range form.all("input") {
			sent = append(sent, in.attrs["name"], in.attrs["value"])
		}
		if r := s.post(form.attrs["action"], sent...); r.status != 303 || !strings.HasPrefix(r.header.Get("Location"), "/upkeep") {
			t.Errorf("%v: %d to %s", sent, r.status, r.header.Get("Location"))
		}
	}
	text := s.page("/upkeep").text()
	if strings.Contains(text, "Every 4 days for 5 times") || !strings.Contains(text, "last on") {
		t.Errorf("after both were done: %s", text)
	}
}
