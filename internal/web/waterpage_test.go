package web

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"
)

// seaWater is the check case of Dickson, Sabine and Christian 2007 in the form a
// keeper would type: alkalinity 2,300 µmol/kg at salinity 35 and 25 °C.
const seaWater = "a.temperature=25&a.temperature.unit=%C2%B0C&a.salinity=35&a.salinity.unit=PSU&a.alkalinity=2300&a.alkalinity.unit=%C2%B5mol/kg&a.ph=8.1&a.ph.unit=total"

func TestBenchTellsWhatFollows(t *testing.T) {
	s := newSite(t, harbour)
	page := s.page("/water?" + seaWater)
	if n := len(page.all("[data-test=finding]")); n < 10 {
		t.Errorf("only %d findings stand on the page", n)
	}
	if got := page.all("#a-alkalinity"); len(got) != 1 || got[0].attrs["value"] != "2300" {
		t.Error("what was typed is not given back")
	}
	text := page.text()
	for _, want := range []string{"Carbon dioxide", "aragonite", "Could be told too", "±"} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if strings.Contains(text, "Where they differ") {
		t.Error("one water is compared with nothing")
	}
}

// The script asks for the findings alone: the same findings, no page around.
func TestBenchFindingsAlone(t *testing.T) {
	s := newSite(t, harbour)
	part := s.get("/water?" + seaWater + "&part=findings")
	if part.status != http.StatusOK || strings.Contains(part.body, "<html") {
		t.Fatalf("status %d: %s", part.status, words200(part.body))
	}
	whole := s.page("/water?" + seaWater).all("#findings")[0]
	if got := parsePage(t, "<div>"+part.body+"</div>").text(); got != whole.text() {
		t.Errorf("the part says %q, the page %q", got, whole.text())
	}
}

func TestBenchComparesTwoWaters(t *testing.T) {
	s := newSite(t, harbour)
	page := s.page("/water?" + seaWater + "&b.salinity=31&b.salinity.unit=PSU&b.salinity.doubt=0.2&b.alkalinity=11&b.alkalinity.unit=dKH&b.temperature=25&b.temperature.unit=%C2%B0C")
	diff := page.all(".differences")
	if len(diff) != 1 {
		t.Fatalf("%d lists of differences stand on the page", len(diff))
	}
	for _, want := range []string{"Salinity", "Alkalinity", "After a change of 10 %"} {
		if !strings.Contains(diff[0].text(), want) {
			t.Errorf("the differences do not name %q: %s", want, diff[0].text())
		}
	}
	order := []string{}
	for _, n := range page.all(".sheets")[0].inner {
		if n.tag != "" {
			order = append(order, n.attrs["class"])
		}
	}
	if got := strings.Join(order, ", "); got != "water-sheet, differences, water-sheet" {
		t.Errorf("on a phone the order is %q, want the differences between the waters", got)
	}
	same := s.page("/water?" + seaWater + "&" + strings.ReplaceAll(seaWater, "a.", "b."))
	if text := same.all(".differences")[0].text(); !strings.Contains(text, "In nothing beyond the doubt") {
		t.Errorf("a water differs from itself: %s", text)
	}
}

// What cannot be used is said beside the figure; the others are worked with.
func TestBenchSaysWhatIsWrong(t *testing.T) {
	for _, c := range []struct{ query, says string }{
		{"a.calcium=blue&a.calcium.unit=mg/L", "is not a number"},
		{"a.calcium=-4&a.calcium.unit=mg/L", "not possible"},
		{"a.calcium=1,250&a.calcium.unit=mg/L", "could be 1250 or 1.250"},
		{"a.calcium=420&a.calcium.unit=mg/L&a.calcium.doubt=some", "the doubt"},
		{"a.calcium=420&a.calcium.unit=mg/L&a.calcium.doubt=-1", "a figure above 0"},
		{"b.salinity=1.024&b.salinity.unit=SG+20/20&b.salinity.sample=warm", "sample"},
		{"b.salinity=1.024&b.salinity.unit=SG+20/20&b.salinity.sample=400", "sample"},
		{"a.air=lots", "is not a number"},
		{"a.air=5", "100 to 20,000"},
	} {
		t.Run(c.query, func(t *testing.T) {
			s := newSite(t, harbour)
			page := s.page("/water?a.magnesium=1300&a.magnesium.unit=mg/L&" + c.query)
			if wrong := strings.ToLower(wrongs(page)); !strings.Contains(wrong, strings.ToLower(c.says)) {
				t.Errorf("the page says %q, want %q", wrong, c.says)
			}
			if n := len(page.all("input[aria-invalid=true]")); n != 1 {
				t.Errorf("%d figures are marked, want 1", n)
			}
			if len(page.all("[data-test=finding]")) == 0 {
				t.Error("nothing is told of the magnesium that is right")
			}
		})
	}
}

// A hydrometer in cool water floats higher: the same figure means less salt than
// in a sample at the temperature it is marked for.
func TestBenchCorrectsForTheSample(t *testing.T) {
	s := newSite(t, harbour)
	salinity := func(sample string) string {
		page := s.page("/water?a.salinity=1.0264&a.salinity.unit=SG+25/25&a.salinity.sample=" + sample + "&a.salinity.sample-unit=%C2%B0C")
		return page.all("[data-test=finding]")[0].text()
	}
	warm, cool := salinity("25"), salinity("15")
	if warm == cool || warm != salinity("") {
		t.Errorf("at 25 °C %q, at 15 °C %q, untold %q", warm, cool, salinity(""))
	}
	if psu := s.page("/water?a.salinity=35&a.salinity.unit=PSU&a.salinity.sample=15").all("[data-test=finding]")[0].text(); psu != s.page("/water?a.salinity=35&a.salinity.unit=PSU").all("[data-test=finding]")[0].text() {
		t.Errorf("a salinity in PSU hangs on the sample: %q", psu)
	}
}

// carbonReadings are all that pH needs, in the harbour tank.
func carbonReadings() string {
	var b strings.Builder
	for i := range 12 {
		at := time.Date(2026, 3, 7, 8, 0, 0, 0, time.UTC).AddDate(0, 0, i)
		for _, r := range []string{`"quantity":"pH","value":7.95,"unit":"NBS"`, `"quantity":"salinity","value":35,"unit":"PSU"`,
			`"quantity":"temperature","value":25.5,"unit":"°C"`, `"quantity":"alkalinity","value":8.1,"unit":"dKH","instrument":"drop kit"`} {
			fmt.Fprintf(&b, `{"kind":"reading","at":%q,"tank":"harbour",%s}`+"\n", at.Format(time.RFC3339), r)
		}
	}
	return b.String()
}

func TestBenchBeginsWithTheNewestReadings(t *testing.T) {
	s := newSite(t, harbour+carbonReadings())
	page := s.page("/water/harbour?mix=blue+tub")
	for id, want := range map[string]string{"a-ph": "7.95", "a-alkalinity": "8.1", "a-calcium": "", "b-alkalinity": "9.1", "b-salinity": "35", "b-ph": ""} {
		if got := page.all("#" + id); len(got) != 1 || got[0].attrs["value"] != want {
			t.Errorf("%s does not begin with %q", id, want)
		}
	}
	if text := page.text(); !strings.Contains(text, "Read Wed 18 Mar, 08:00 (2 days ago)") || !strings.Contains(text, "As declared") {
		t.Error("the figures do not say how old they are")
	}
	emptied := s.page("/water/harbour?a.air=")
	if got := emptied.all("#a-ph")[0].attrs["value"]; got != "" {
		t.Errorf("an emptied form begins again with %q", got)
	}
}

// The pages of what follows, and the diagnosis of pH, for a tank whose log has
// what they need and for one that has nothing.
func TestWhatFollowsFromTheReadings(t *testing.T) {
	s := newSite(t, harbour+carbonReadings())
	tank := s.page("/tank/harbour")
	rows := tank.all("[data-test=follows]")
	if len(rows) == 0 {
		t.Fatal("nothing follows from the readings of the tank")
	}
	for _, row := range rows {
		href := row.all("a")[0].attrs["href"]
		page := s.page(href)
		if len(page.all("figure.chart")) != 1 || len(page.all("table")) == 0 {
			t.Errorf("%s has no picture with a table beside it", href)
		}
		got := s.get(href + "/drawing?from=2026-03-01T00:00:00Z&to=2026-03-15T00:00:00Z")
		if got.status != http.StatusOK || !strings.Contains(got.body, "<svg") {
			t.Errorf("the drawing of %s answers %d", href, got.status)
		}
	}
	if got := s.get("/follows/harbour/sorcery"); got.status != http.StatusNotFound {
		t.Errorf("a figure nobody works out answers %d, want 404", got.status)
	}
	if got := s.get("/follows/harbour/carbon%20dioxide/drawing?from=soon&to=later"); got.status != http.StatusBadRequest {
		t.Errorf("a span that is none answers %d, want 400", got.status)
	}
}

func TestPHDiagnosisPage(t *testing.T) {
	s := newSite(t, harbour+carbonReadings())
	page := s.page("/tank/harbour/ph-and-air")
	if len(page.all("figure.chart")) != 1 || len(page.all("table")) == 0 {
		t.Error("the diagnosis has no picture with a table beside it")
	}
	for _, want := range []string{"NBS", "µatm", "What it rests on", "What would change it"} {
		if !strings.Contains(page.text(), want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if n := len(s.page("/tank/harbour/pH").all("a[href=/tank/harbour/ph-and-air]")); n != 1 {
		t.Errorf("the page of pH leads to the diagnosis %d times", n)
	}
	if n := len(s.page("/tank/harbour/alkalinity").all("a[href=/tank/harbour/ph-and-air]")); n != 0 {
		t.Error("the page of alkalinity leads to the diagnosis of pH")
	}
	empty := newSite(t, harbour).page("/tank/harbour/ph-and-air")
	if len(empty.all("figure")) != 0 || len(empty.all("p.lead")) != 1 || empty.all("p.lead")[0].text() == "" {
		t.Error("a tank without readings does not say what the diagnosis needs")
	}
}
