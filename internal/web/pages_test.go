package web

import (
	"net/http"
	"strings"
	"testing"
)

const oddTank = "/%3Cscript%3Ealert%281%29%3C%2Fscript%3E"

// Every page that can be opened by address is there, sound, and free of what
// tank names and notes would do if they were not escaped.
func TestEveryPageIsSound(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	for _, path := range []string{
		"/", "/tank/harbour", "/tank/HARBOUR", "/tank/harbour/alkalinity", "/tank/harbour/alkalinity?from=2026-01-01&to=2026-02-01",
		"/tank/harbour/alkalinity?since=2026-02-01&till=2026-03-01", "/tank/harbour/alkalinity?readings=all", "/tank/harbour/magnesium",
		"/tank/harbour/ph-and-air", "/tank" + oddTank + "/ph-and-air", "/water", "/water/harbour", "/water/harbour?mix=blue+tub", "/water" + oddTank,
		"/water?a.alkalinity=8.2&a.alkalinity.unit=dKH&a.ph=8.1&a.ph.unit=NBS&b.salinity=1.0245&b.salinity.unit=SG+20/20&b.salinity.sample=24&a.calcium=%3Cscript%3E",
		"/follows/harbour/carbon%20dioxide", "/follows" + oddTank + "/carbon%20dioxide",
		"/tank" + oddTank, "/tank" + oddTank + "/calcium", "/read", "/read/harbour", "/read/harbour?quantity=calcium", "/read" + oddTank,
		"/write", "/write/harbour", "/write/harbour/dose?substance=calcium+chloride&amount=12&unit=g", "/write/harbour/water%20change",
		"/write/harbour/top-off", "/write/harbour/feeding", "/write/harbour/harvest", "/write/harbour/score", "/write/harbour/chore",
		"/write/harbour/setting", "/write/harbour/note", "/log", "/log?text=clam", "/log?kind=reading&tank=harbour&page=0",
		"/log?from=2026-03-01&to=2026-02-01", "/log/019b7805-0000-7000-8000-000000000003", "/log/019b7805-0000-7000-8000-000000000100",
		"/settings", "/settings/declare/tank", "/settings/declare/instrument", "/settings/declare/instrument?quantity=nitrate",
		"/settings/declare/substance", "/settings/declare/mix", "/settings/declare/food", "/feeding/harbour", "/feeding/harbour?times=1.5&span=week", "/settings/declare/routine", "/settings/declare/routine?tank=harbour",
		"/settings/declare/routine?tank=harbour&action=dose", "/settings/declare/routine?tank=harbour&action=water+change",
		"/settings/declare/routine?tank=harbour&action=test", "/settings/declare/routine?tank=harbour&action=feeding",
		"/settings/declare/routine?tank=harbour&action=chore", "/settings/declare/band?tank=harbour&quantity=calcium",
		"/settings/declare/tank?line=019b7805-0000-7000-8000-000000000001",
		"/shelf", "/shelf?substance=boric+acid&unit=kg", "/settings/bands/harbour", "/settings/shown", "/settings/book", "/about", "/begin", "/begin?tank=harbour", "/begin?tank=harbour&step=3",
	} {
		t.Run(path, func(t *testing.T) {
			s.t = t
			got := s.get(path)
			if got.status != http.StatusOK {
				t.Fatalf("status %d: %s", got.status, words200(got.body))
			}
			soundPage(t, got.body)
			for _, bad := range []string{"<script>alert", "<b>opens", "NaN", "%!", "ZgotmplZ", "<nil>", "0001-01-01"} {
				if strings.Contains(got.body, bad) {
					t.Errorf("the page holds %q", bad)
				}
			}
		})
	}
}

func TestWhatIsNotThere(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	for _, path := range []string{"/nothing", "/tank/nowhere", "/tank/harbour/unobtainium", "/read/nowhere", "/write/harbour/sorcery",
		"/log/no-such-line", "/settings/declare/animal", "/photo/none.jpg", "/assets/000/driftline.css"} {
		if got := s.get(path); got.status != http.StatusNotFound {
			t.Errorf("%s answers %d, want 404", path, got.status)
		}
	}
}

func TestRoundsTellOfTheHarbour(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	page := s.page("/")
	if got := page.all("[data-test=round]"); len(got) == 0 {
		t.Error("the weekly change that was never done is not on the rounds")
	}
	var taps []*node
	for _, f := range page.all("form[data-keep]") {
		if f.attrs["action"] == "/write/harbour/water%20change" {
			taps = append(taps, f)
		}
	}
	if len(taps) != 1 {
		t.Fatalf("%d one-tap forms for the change, want 1", len(taps))
	}
	pairs := []string{}
	for _, in := range taps[0].all("input") {
		pairs = append(pairs, in.attrs["name"], in.attrs["value"])
	}
	lines := s.added(func() {
		for range 2 { // a double tap
			if got := s.post(taps[0].attrs["action"], pairs...); got.status != http.StatusSeeOther {
				t.Errorf("the tap answers %d: %s", got.status, words200(got.body))
			}
		}
	})
	if len(lines) != 1 {
		t.Fatalf("two taps stored %d lines, want 1", len(lines))
	}
	if got := describe(lines[0]); got != "water change, 30 L with blue tub" {
		t.Errorf("the tap stored %q", got)
	}
}

func TestQuantityPageSaysWhatItKnows(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	page := s.page("/tank/harbour/alkalinity")
	text := page.text()
	for _, want := range []string{"dKH", "Ledger", "Level,", "Unexplained", "drop kit", "likely a misread", "7.5 to 9.0 dKH, aim 8.2"} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if n := len(page.all("tr.odd")); n != 1 {
		t.Errorf("%d readings are marked as odd, want the one of 10.9 dKH", n)
	}
	got := s.get("/tank/harbour/alkalinity/drawing?from=2026-01-01T00:00:00Z&to=2026-02-01T00:00:00Z")
	if got.status != http.StatusOK || !strings.Contains(got.body, "<svg") || !strings.HasPrefix(got.header.Get("Content-Type"), "text/html") {
		t.Errorf("the drawing answers %d %s", got.status, got.header.Get("Content-Type"))
	}
	if got := s.get("/tank/harbour/alkalinity/drawing?from=yesterday&to=now"); got.status != http.StatusBadRequest {
		t.Errorf("a span that is none answers %d, want 400", got.status)
	}
}

func TestFirstPageIsSmall(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	weight := len(s.get("/").body) // unpacked, so an upper bound
	for _, name := range []string{"driftline.css", "island.js", "mark.svg"} {
		r := s.get(s.server.assets.Path(name))
		if r.status != http.StatusOK || !strings.Contains(r.header.Get("Cache-Control"), "immutable") {
			t.Errorf("%s answers %d with %q", name, r.status, r.header.Get("Cache-Control"))
		}
		weight += len(r.body)
	}
	if weight > 200<<10 {
		t.Errorf("the first page weighs %d bytes", weight)
	}
}
