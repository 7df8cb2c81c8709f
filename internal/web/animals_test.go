package web

import (
	"strings"
	"testing"
)

const harbourAnimals = `{"kind":"animal","at":"2026-02-01T08:00:00Z","tank":"harbour","name":"the wrasses","group":"fish","count":4,"mass":6,"mass_unit":"g","price":120,"currency":"EUR","stage":"quarantine"}
{"kind":"animal","at":"2026-03-10T08:00:00Z","tank":"harbour","name":"the wrasses","what":"observed","feeding":4,"breathing":0,"skin":0}
{"kind":"animal","at":"2026-03-12T08:00:00Z","tank":"harbour","name":"the wrasses","what":"died","count":1,"cause":"jumped"}
{"kind":"animal","at":"2026-02-01T08:00:00Z","tank":"harbour","name":"the snails","group":"snail","count":9}
{"kind":"reading","at":"2026-03-10T08:00:00Z","tank":"harbour","quantity":"temperature","value":25.2,"unit":"°C"}
{"kind":"reading","at":"2026-03-14T08:00:00Z","tank":"harbour","quantity":"temperature","value":25.4,"unit":"°C"}
{"kind":"reading","at":"2026-03-10T08:00:00Z","tank":"harbour","quantity":"salinity","value":35,"unit":"PSU"}
{"kind":"reading","at":"2026-03-12T08:00:00Z","tank":"harbour","quantity":"salinity","value":35,"unit":"PSU"}
{"kind":"reading","at":"2026-03-14T08:00:00Z","tank":"harbour","quantity":"salinity","value":35,"unit":"PSU"}
`

func TestAnimalsOnTheirWayIn(t *testing.T) {
	s := newSite(t, harbour+harbourAnimals)
	text := s.page("/animals").text()
	for _, want := range []string{"The wrasses, harbour", "Quarantine since", "of 48 days are over", "4 → 3", "3, fish, 6 g each", "Jumped", "All that were bought", "palytoxin", "4, 1 died"} {
		if want == "4 → 3" {
			want = "when there were 4"
		}
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in %s", want, text)
		}
	}
	if rounds := s.page("/").text(); !strings.Contains(rounds, "Look at the wrasses, harbour") {
		t.Errorf("the rounds do not ask for a look: %s", rounds)
	}
}

func TestAnimalForms(t *testing.T) {
	s := newSite(t, harbour+harbourAnimals)
	for what, c := range map[string]struct {
		fields []string
		kept   string
	}{
		"":         {[]string{"name", "a goby", "group", "fish", "count", "1", "stage", "arrival"}, "animal, a goby, 1"},
		"observed": {[]string{"name", "the wrasses", "what", "observed", "feeding", "3", "aggression", ""}, "the wrasses: observed"},
		"died":     {[]string{"name", "the wrasses", "what", "died", "count", "1", "cause", "not known"}, "the wrasses, 1: died"},
		"stage":    {[]string{"name", "the wrasses", "what", "stage", "stage", "meeting"}, "the wrasses: meeting"},
		"moved":    {[]string{"name", "the snails", "what", "moved", "to", "<script>alert(1)</script>"}, "the snails: moved"},
		"treated":  {[]string{"name", "the wrasses", "what", "treated", "treatment", "as ordered", "ordered_by", "the veterinarian"}, "the wrasses: as ordered, ordered by the veterinarian"},
	} {
		path := "/write/harbour/animal"
		if what != "" {
			path += "?name=the+wrasses&what=" + what
		}
		s.page(path)
		var r reply
		lines := s.added(func() { r = s.post(path, append(c.fields, "at.date", "2026-03-14", "at.time", "08:00")...) })
		if r.status != 303 || len(lines) != 1 {
			t.Errorf("%q: %d %s", what, r.status, words200(r.body))
			continue
		}
		if got := describe(lines[0]); !strings.Contains(got, c.kept) {
			t.Errorf("%q was kept as %q, want %q in it", what, got, c.kept)
		}
	}
	if r := s.post("/write/harbour/animal?what=treated", "name", "the wrasses", "what", "treated", "treatment", "something"); r.status == 303 {
		t.Error("a treatment that nobody ordered was kept")
	}
}

func TestTheBagOnThePage(t *testing.T) {
	s := newSite(t, harbour+harbourAnimals)
	if text := s.page("/animals?litres=2&psu=33.5&c=22&tank=harbour&group=fish").text(); !strings.Contains(text, "Drip ") || !strings.Contains(text, "Float the closed bag") {
		t.Errorf("the bag: %s", text)
	}
	for query, want := range map[string]string{"litres=x&psu=31&c=22": "is not a figure", "litres=2&psu=31&c=22&tank=%3Cscript%3Ealert(1)%3C/script%3E": "never read", "litres=2&psu=3100&c=22": "salinity"} {
		if text := s.page("/animals?" + query).text(); !strings.Contains(text, want) {
			t.Errorf("%s: %q is missing in %s", query, want, text)
		}
	}
}

// A rule of the keeper's own stands before those of the trade until it is taken back;
// each animal has its life on a page of its own.
func TestOwnRulesAndLives(t *testing.T) {
	s := newSite(t, harbour+`{"kind":"animal","at":"2026-02-01T08:00:00Z","tank":"harbour","name":"the pair","group":"fish","count":2,"origin":"a friend"}
{"kind":"animal","at":"2026-02-11T08:00:00Z","tank":"harbour","name":"the pair","what":"died","count":1,"cause":"not known"}
{"kind":"animal","at":"2026-03-11T08:00:00Z","tank":"harbour","name":"the goby","group":"fish","count":1,"mass":3,"mass_unit":"g","stage":"planned"}
`)
	if r := s.post("/animals/rule", "about", "tangs", "says", ""); r.status != 422 {
		t.Errorf("a rule that says nothing: %d", r.status)
	}
	if r := s.post("/animals/rule", "about", "Tangs", "says", "Never two in less than two metres."); r.status != 303 {
		t.Fatalf("%d", r.status)
	}
	text := s.page("/animals").text()
	for _, want := range []string{"Never two in less than two metres.", "To come, in order", "Into quarantine from"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing", want)
		}
	}
	s.post("/animals/rule", "about", "tangs", "says", "no longer")
	if strings.Contains(s.page("/animals").text(), "two metres") {
		t.Error("the rule still stands")
	}
	life := s.page("/animals/the%20pair").text()
	for _, want := range []string{"From a friend", "1 died: not known", "there were"} {
		if !strings.Contains(life, want) {
			t.Errorf("%q is missing of %s", want, life)
		}
	}
	if r := s.get("/animals/nobody"); r.status != 404 {
		t.Errorf("an animal nobody told of: %d", r.status)
	}
}
