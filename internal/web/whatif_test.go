package web

import (
	"net/url"
	"strings"
	"testing"
)

const bayWithSlash = `{"kind":"tank","at":"2026-01-01T08:00:00Z","name":"Größe 2/b & <more>","system":"mixed","net_volume":80,"unit":"gal","time_zone":"Europe/Lisbon"}
{"kind":"band","at":"2026-01-01T08:01:00Z","tank":"Größe 2/b & <more>","quantity":"alkalinity","unit":"dKH","low":7.5,"aim":8.2,"high":9}
{"kind":"routine","at":"2026-01-01T08:04:00Z","tank":"Größe 2/b & <more>","name":"soda, by hand","action":"dose","substance":"sodium bicarbonate","amount":4,"unit":"g","every_days":2,"from":"2026-01-01T08:00:00Z"}
`

func readingsOf(tank string) string {
	return strings.ReplaceAll(strings.ReplaceAll(harbourReadings(), `"harbour"`, `"`+tank+`"`), "8000-0000000001", "8000-0000000009")
}

// Each ready choice of the form comes to a plan beside going on, in the picture and
// in the table of what it takes.
func TestPlansSideBySide(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	const path = "/whatif/harbour"
	for query, want := range map[string][]string{
		"":                              {"In 60 days", "Go on", "Work by hand"},
		"away=14":                       {"Away 14 days"},
		"away=7,5&from=2026-04-01":      {"Away 7.5 days from 2026-04-01"},
		"share=10&every=7":              {"10 % changed every 7 days", "New salt water"},
		"share=10&every=7&mix=blue+tub": {"10 % changed every 7 days of blue tub"},
		"stop=dosing&days=30":           {"No doses", "In 30 days"},
		"stop=hands":                    {"Machines only"},
		"stop=top-off":                  {"No top-off"},
		"stop=routine:weekly+change":    {"Without weekly change"},
		"own=dose+10+g+sodium+bicarbonate+every+2": {"Sodium bicarbonate", "300 g"},
		"own=demand+alkalinity+1.5%3B+no+top-off":  {"Demand alkalinity 1.5; no top-off"},
	} {
		page := s.page(path + "?" + query)
		for _, w := range want {
			if !strings.Contains(page.text(), w) {
				t.Errorf("%s: %q is missing in %s", query, w, page.text())
			}
		}
		panels := 0
		for _, svg := range page.all("svg") {
			if strings.Contains(svg.attrs["class"], "panel") {
				panels++
			}
		}
		if wanted := 1 + min(len(query), 1); panels != wanted {
			t.Errorf("%s: %d panels of alkalinity, want %d", query, panels, wanted)
		}
	}
	four := s.page(path + "?away=14&share=10&every=7&stop=dosing")
	if !strings.Contains(four.text(), "They differ most in alkalinity") && !strings.Contains(four.text(), "about as likely as each other") {
		t.Errorf("four plans: %s", four.text())
	}
	if part := s.get(path + "?away=14&part=findings"); strings.Contains(part.body, "<html") || !strings.Contains(part.body, "Away 14 days") {
		t.Errorf("the part alone is %s", words200(part.body))
	}
	if text := s.page("/tank/harbour").text(); !strings.Contains(text, "What if") {
		t.Error("the tank's page does not lead there")
	}
}

func TestPlansThatCannotBe(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	for query, want := range map[string]string{
		"days=0":                                "The days looked ahead, “0”",
		"days=366":                              "The days looked ahead, “366”",
		"days=soon":                             "The days looked ahead, “soon”",
		"away=-3":                               "The days away, “-3”",
		"away=14&from=someday":                  "\"someday\" is not a day",
		"share=10":                              "A water change needs its share",
		"share=110&every=7":                     "A water change needs its share",
		"stop=routine:nothing":                  "nothing",
		"own=dance":                             "\"dance\" is not a plan",
		"own=away+1%0Aaway+2%0Aaway+3%0Aaway+4": "4 plans beside going on are too many",
		"own=away+1%0Aaway+1":                   "two plans are called",
		"own=dose+10+g+moonstone":               "moonstone",
	} {
		page := s.page("/whatif/harbour?" + query)
		alerts := 0
		for _, n := range page.all("p") {
			if n.attrs["role"] == "alert" {
				alerts++
			}
		}
		if text := page.text(); alerts != 1 || !strings.Contains(strings.ToLower(text), strings.ToLower(want)) || strings.Contains(text, "What they take") {
			t.Errorf("%s: %d alerts, %q in %s", query, alerts, want, text)
		}
	}
}

// Any name of a tank, a volume in gallons, figures in the keeper's own unit.
func TestPlansOfAnyTank(t *testing.T) {
	const name = "Größe 2/b & <more>"
	s := newSite(t, bayWithSlash+readingsOf(name)+`{"kind":"preference","at":"2026-01-02T08:00:00Z","name":"unit of alkalinity","value":"meq/L"}`+"\n")
	page := s.page("/whatif/" + url.PathEscape(name) + "?away=14")
	if text := page.text(); !strings.Contains(text, "What if, "+name) || !strings.Contains(text, "meq/L") || strings.Contains(text, "dKH") || !strings.Contains(text, "Sodium bicarbonate") {
		t.Errorf("%s", text)
	}
}

func TestPlansOfAnEmptyTank(t *testing.T) {
	s := newSite(t, harbour)
	if text := s.page("/whatif/harbour").text(); !strings.Contains(text, "nothing to follow") {
		t.Errorf("%s", text)
	}
}

func BenchmarkWhatifPage(b *testing.B) {
	s := newSite(&testing.T{}, harbour+harbourReadings())
	const address = "/whatif/harbour?away=14&share=10&every=7&stop=dosing&days=180"
	s.get(address)
	b.ReportAllocs()
	for b.Loop() {
		s.get(address)
	}
}
