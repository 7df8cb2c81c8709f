package web

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// deed is a form sent: what must come of it.
type deed struct {
	name   string
	path   string
	fields []string // names and values in turn
	want   string   // describe of the line kept; empty when nothing may be kept
	says   string   // a sentence on the page that comes back
}

var when = []string{"at.date", "2026-03-20", "at.time", "18:00"}

func with2(pairs ...string) []string { return append(append([]string(nil), when...), pairs...) }

// Each form with good and with wrong input: a good one keeps one line, a wrong
// one keeps nothing, says why beside the field and gives back what was typed.
func TestDeedForms(t *testing.T) {
	for _, d := range []deed{
		{"dose", "/write/harbour/dose", with2("substance", "calcium chloride", "amount", "12.5", "unit", "g"), "dose, 12.5 g calcium chloride", ""},
		{"dose with a decimal comma", "/write/harbour/dose", with2("substance", "calcium chloride", "amount", "12,5", "unit", "g"), "dose, 12.5 g calcium chloride", ""},
		{"dose without amount", "/write/harbour/dose", with2("substance", "calcium chloride", "unit", "g"), "", "A figure is missing here"},
		{"dose of words", "/write/harbour/dose", with2("substance", "calcium chloride", "amount", "a spoon", "unit", "g"), "", "“a spoon” is not a number"},
		{"dose that may be two things", "/write/harbour/dose", with2("substance", "x", "amount", "1,250", "unit", "mL"), "", "could be 1250 or 1.250"},
		{"dose of less than nothing", "/write/harbour/dose", with2("substance", "x", "amount", "-4", "unit", "mL"), "", "Amount -4 is not possible"},
		{"dose of nothing named", "/write/harbour/dose", with2("amount", "4", "unit", "mL"), "", "Substance is missing"},
		{"dose in 2062", "/write/harbour/dose", []string{"at.date", "2062-01-01", "at.time", "10:00", "substance", "x", "amount", "4", "unit", "mL"}, "", "future"},
		{"dose on no day", "/write/harbour/dose", []string{"at.date", "31.3.", "at.time", "10:00", "substance", "x", "amount", "4", "unit", "mL"}, "", "is not a day"},
		{"water change", "/write/harbour/water%20change", with2("volume", "30", "unit", "L", "mix", "blue tub"), "water change, 30 L with blue tub", ""},
		{"water change of stated water", "/write/harbour/water%20change", with2("volume", "10", "unit", "US gal", "composition.0.quantity", "salinity",
			"composition.0.value", "35", "composition.0.unit", "PSU"), "water change, 10 US gal", ""},
		{"water change of nothing known", "/write/harbour/water%20change", with2("volume", "30", "unit", "L"), "", "mix"},
		{"top-off", "/write/harbour/top-off", with2("volume", "4", "unit", "L"), "top-off, 4 L", ""},
		{"feeding", "/write/harbour/feeding", with2("food", "mysis", "amount", "2", "unit", "g"), "feeding, 2 g mysis", ""},
		{"feeding without amount", "/write/harbour/feeding", with2("food", "mysis", "unit", "g"), "feeding, mysis", ""},
		{"harvest", "/write/harbour/harvest", with2("what", "macroalgae", "wet_mass", "150", "unit", "g"), "harvest, 150 g macroalgae", ""},
		{"score", "/write/harbour/score", with2("sign", "film algae", "value", "2"), "film algae, 2 of 4", ""},
		{"score beyond the scale", "/write/harbour/score", with2("sign", "film algae", "value", "9"), "", "How much 9"},
		{"chore", "/write/harbour/chore", with2("name", "glass cleaned"), "glass cleaned", ""},
		{"setting", "/write/harbour/setting", with2("equipment", "left lamp", "property", "power", "value", "60", "unit", "%"), "left lamp, power set to 60 %", ""},
		{"note", "/write/harbour/note", with2("note", "all well"), "note", ""},
		{"empty note", "/write/harbour/note", when, "", "Note is missing"},
	} {
		t.Run(d.name, func(t *testing.T) { checkDeed(t, d) })
	}
}

func checkDeed(t *testing.T, d deed) {
	s := newSite(t, harbour)
	var got reply
	lines := s.added(func() {
		got = s.post(d.path, append([]string{"id", "019b7805-0000-7000-8000-00000000ff01"}, d.fields...)...)
	})
	if d.want == "" {
		if len(lines) != 0 {
			t.Fatalf("%d lines were stored, want none", len(lines))
		}
		if got.status != http.StatusUnprocessableEntity {
			t.Errorf("status %d, want 422", got.status)
		}
		page := soundPage(t, got.body)
		if wrong := wrongs(page); !strings.Contains(wrong, d.says) {
			t.Errorf("the page says %q, want %q", wrong, d.says)
		}
		for i := 0; i < len(d.fields); i += 2 {
			if v := d.fields[i+1]; d.fields[i] != "unit" && !strings.Contains(got.body, v) {
				t.Errorf("the typed %s=%q is not given back", d.fields[i], v)
			}
		}
		return
	}
	if got.status != http.StatusSeeOther || len(lines) != 1 {
		t.Fatalf("status %d, %d lines: %s", got.status, len(lines), wrongs(parsePage(t, got.body)))
	}
	if words := describe(lines[0]); words != d.want {
		t.Errorf("stored %q, want %q", words, d.want)
	}
	if at := lines[0].At.UTC().Format("2006-01-02 15:04"); at != "2026-03-20 18:00" { // Lisbon keeps UTC in March
		t.Errorf("stored at %s", at)
	}
	if body := s.get(got.header.Get("Location")); !strings.Contains(body.body, "data-test=\"kept\"") {
		t.Error("the next page does not say what was kept")
	}
}

func wrongs(page *node) string {
	var all []string
	for _, n := range page.all(".wrong") {
		all = append(all, n.text())
	}
	return strings.Join(all, " | ")
}

func TestReadings(t *testing.T) {
	base := with2("unit.alkalinity", "dKH", "kit.alkalinity", "drop kit", "id.alkalinity", "019b7805-0000-7000-8000-00000000ee01",
		"unit.calcium", "mg/L", "id.calcium", "019b7805-0000-7000-8000-00000000ee02")
	for _, c := range []struct {
		name, says string
		fields     []string
		lines      int
	}{
		{"two at once", "", []string{"value.alkalinity", "8.1", "value.calcium", "420"}, 2},
		{"none", "No figure was entered", nil, 0},
		{"one impossible keeps neither", "not possible", []string{"value.alkalinity", "8.1", "value.calcium", "-5"}, 0},
		{"not a number", "is not a number", []string{"value.alkalinity", "blue"}, 0},
		{"far off is asked about", "Far from the", []string{"value.alkalinity", "12.5"}, 0},
		{"far off, read again", "", []string{"value.alkalinity", "12.5", "sure.alkalinity", "true"}, 1},
		{"below the limit", "", []string{"value.calcium", "5", "below.calcium", "true"}, 1},
		{"wrong day", "is not a day", []string{"value.alkalinity", "8.1", "at.date", "soon"}, 0},
		{"an odd unit", "does not fit alkalinity", []string{"value.alkalinity", "8.1", "unit.alkalinity", "furlong"}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newSite(t, harbour+harbourReadings())
			var got reply
			lines := s.added(func() { got = s.post("/read/harbour", append(append([]string(nil), base...), c.fields...)...) })
			if len(lines) != c.lines {
				t.Errorf("%d lines stored, want %d", len(lines), c.lines)
			}
			if c.lines > 0 {
				if got.status != http.StatusSeeOther {
					t.Errorf("status %d: %s", got.status, wrongs(parsePage(t, got.body)))
				}
				return
			}
			if got.status != http.StatusUnprocessableEntity || !strings.Contains(wrongs(soundPage(t, got.body)), c.says) {
				t.Errorf("status %d, says %q, want %q", got.status, wrongs(parsePage(t, got.body)), c.says)
			}
		})
	}
}

// A page that lost the answer sends the same figures again, or changed ones.
func TestReadingsSentAgain(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	fields := with2("unit.alkalinity", "dKH", "kit.alkalinity", "drop kit", "id.alkalinity", "019b7805-0000-7000-8000-00000000ee01")
	send := func(v string) {
		if got := s.post("/read/harbour", append(append([]string(nil), fields...), "value.alkalinity", v)...); got.status != http.StatusSeeOther {
			t.Fatalf("status %d: %s", got.status, wrongs(parsePage(t, got.body)))
		}
	}
	lines := s.added(func() { send("8.1"); send("8.1"); send("8.3"); send("8.3") })
	if len(lines) != 2 {
		t.Fatalf("%d lines stored, want the reading and its correction", len(lines))
	}
	f := s.server.facts()
	tank, _ := f.Tank("harbour")
	last := tank.Events[len(tank.Events)-1]
	if got := describe(last); got != "alkalinity 8.3 dKH by drop kit" {
		t.Errorf("the newest event is %q", got)
	}
}

func TestCorrectAndRetract(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	const id = "019b7805-0000-7000-8000-000000000120"
	page := s.page("/log/" + id)
	form := page.all("form[action=/log/" + id + "/correct]")
	if len(form) != 1 {
		t.Fatal("the line has no form to correct it")
	}
	wrong := s.post("/log/"+id+"/correct", "id", "019b7805-0000-7000-8000-00000000dd01", "quantity", "alkalinity", "value", "eighty", "unit", "dKH",
		"at.date", "2026-03-04", "at.time", "09:00")
	if wrong.status != http.StatusUnprocessableEntity || !strings.Contains(wrong.body, "eighty") {
		t.Errorf("a wrong correction answers %d", wrong.status)
	}
	good := s.post("/log/"+id+"/correct", "id", "019b7805-0000-7000-8000-00000000dd01", "quantity", "alkalinity", "value", "8.0", "unit", "dKH",
		"instrument", "drop kit", "at.date", "2026-03-04", "at.time", "09:00")
	if good.status != http.StatusSeeOther {
		t.Fatalf("the correction answers %d: %s", good.status, wrongs(parsePage(t, good.body)))
	}
	old := s.page("/log/" + id).text()
	if !strings.Contains(old, "History of this line") || !strings.Contains(old, "corrected") {
		t.Error("the old line does not show its history")
	}
	if got := s.post("/log/"+id+"/retract", "id", "019b7805-0000-7000-8000-00000000dd02"); got.status != http.StatusConflict {
		t.Errorf("retracting a corrected line answers %d, want 409", got.status)
	}
	if got := s.post("/log/019b7805-0000-7000-8000-00000000dd01/retract", "id", "019b7805-0000-7000-8000-00000000dd03", "note", "wrong vial"); got.status != http.StatusSeeOther {
		t.Errorf("the retraction answers %d: %s", got.status, words200(got.body))
	}
	if text := s.page("/log/019b7805-0000-7000-8000-00000000dd01").text(); !strings.Contains(text, "retracted") || !strings.Contains(text, "wrong vial") {
		t.Error("the retracted line does not say so")
	}
}

func TestFirstUse(t *testing.T) {
	s := newSite(t, "")
	if got := s.get("/"); got.status != http.StatusSeeOther || got.header.Get("Location") != "/begin" {
		t.Fatalf("an empty book answers %d %s", got.status, got.header.Get("Location"))
	}
	soundPage(t, s.get("/begin").body)
	if got := s.post("/begin/tank", "name", "", "system", "mixed", "net_volume", "abc", "unit", "L", "time_zone", "Europe/Atlantis"); got.status != http.StatusUnprocessableEntity {
		t.Errorf("a wrong tank answers %d", got.status)
	}
	got := s.post("/begin/tank", "id", "019b7805-0000-7000-8000-00000000cc01", "name", "first tank", "system", "mixed", "net_volume", "200", "unit", "L", "time_zone", "Pacific/Auckland")
	if got.status != http.StatusSeeOther {
		t.Fatalf("the tank answers %d: %s", got.status, wrongs(parsePage(t, got.body)))
	}
	soundPage(t, s.get(got.header.Get("Location")).body)
	got = s.post("/begin/kit?tank=first+tank", "id", "019b7805-0000-7000-8000-00000000cc02", "quantity", "alkalinity", "method", "drop titration", "name", "drops")
	if got.status != http.StatusSeeOther {
		t.Fatalf("the kit answers %d: %s", got.status, wrongs(parsePage(t, got.body)))
	}
	page := soundPage(t, s.get(got.header.Get("Location")).body)
	if n := len(page.all("input[value=drops]")); n != 1 {
		t.Errorf("the reading's form does not name the kit")
	}
	got = s.post("/begin/reading?tank=first+tank", "id", "019b7805-0000-7000-8000-00000000cc03", "quantity", "alkalinity", "value", "7.9", "unit", "dKH", "instrument", "drops",
		"at.date", "2026-03-21", "at.time", "07:30") // the morning of the 21st in Auckland is the evening of the 20th in UTC
	if got.status != http.StatusSeeOther || got.header.Get("Location")[:2] != "/?" {
		t.Fatalf("the reading answers %d: %s", got.status, wrongs(parsePage(t, got.body)))
	}
	s.page("/")
	s.page("/tank/first%20tank")
}

func TestSettingsForms(t *testing.T) {
	for _, d := range []deed{
		{"instrument", "/settings/declare/instrument?quantity=nitrate", []string{"name", "card", "method", "colour card", "unit", "mg/L NO3"}, "instrument card for nitrate, colour card", ""},
		{"instrument without name", "/settings/declare/instrument?quantity=nitrate", []string{"method", "colour card", "unit", "mg/L NO3"}, "", "Name is missing"},
		{"salt", "/settings/declare/substance", []string{"name", "my magnesium", "form", "solid", "formula", "MgCl2·6H2O", "purity", "0.97"}, "substance my magnesium MgCl2·6H2O", ""},
		{"salt of no formula", "/settings/declare/substance", []string{"name", "mystery", "form", "solid", "formula", "Xx9"}, "", "is not an element"},
		{"bottle", "/settings/declare/substance", []string{"name", "bottle", "form", "solution", "contains.0.quantity", "alkalinity", "contains.0.value", "1.8",
			"contains.0.unit", "meq/mL"}, "substance bottle", ""},
		{"mix", "/settings/declare/mix", []string{"name", "batch 2", "volume", "50", "unit", "L", "composition.0.quantity", "salinity", "composition.0.value", "35",
			"composition.0.unit", "PSU"}, "make-up water batch 2 50 L", ""},
		{"routine", "/settings/declare/routine?tank=harbour&action=dose", []string{"name", "pump", "substance", "bottle", "amount", "12", "unit", "mL", "every_days", "1",
			"automatic", "true", "from", "2026-03-01"}, "routine pump, dose of 12 mL bottle every day, by a machine", ""},
		{"routine of never", "/settings/declare/routine?tank=harbour&action=dose", []string{"name", "pump", "substance", "bottle", "amount", "12", "unit", "mL", "every_days", "0"}, "", "Every so many days 0 is not possible"},
		{"band", "/settings/declare/band?tank=harbour&quantity=calcium", []string{"low", "400", "aim", "425", "high", "450", "unit", "mg/L"}, "band of calcium, from 400 to 450 aim 425 mg/L", ""},
		{"band upside down", "/settings/declare/band?tank=harbour&quantity=calcium", []string{"low", "450", "high", "400", "unit", "mg/L"}, "", "low"},
		{"tank", "/settings/declare/tank", []string{"name", "attic", "system", "soft coral", "net_volume", "90", "unit", "L", "time_zone", "Europe/Oslo"}, "tank attic, soft coral, 90 L", ""},
		{"tank without water", "/settings/declare/tank", []string{"name", "attic", "system", "soft coral", "net_volume", "0", "unit", "L", "time_zone", "Europe/Oslo"}, "", "Water in it 0 is not possible"},
	} {
		t.Run(d.name, func(t *testing.T) {
			s := newSite(t, harbour)
			var got reply
			lines := s.added(func() {
				got = s.post(d.path, append([]string{"id", "019b7805-0000-7000-8000-00000000bb01"}, d.fields...)...)
			})
			if d.want == "" {
				if len(lines) != 0 || got.status != http.StatusUnprocessableEntity || !strings.Contains(wrongs(soundPage(t, got.body)), d.says) {
					t.Errorf("status %d, %d lines, says %q", got.status, len(lines), wrongs(parsePage(t, got.body)))
				}
				return
			}
			if len(lines) != 1 || got.status != http.StatusSeeOther {
				t.Fatalf("status %d, %d lines: %s", got.status, len(lines), wrongs(parsePage(t, got.body)))
			}
			if words := describe(lines[0]); words != d.want {
				t.Errorf("stored %q, want %q", words, d.want)
			}
		})
	}
}

// Declaring a tank anew keeps its name, whatever it is called.
func TestTankOfAnyName(t *testing.T) {
	s := newSite(t, harbour)
	const name = `a/b?c#d 100% "é"`
	if got := s.post("/begin/tank", "name", name, "system", "mixed", "net_volume", "50", "unit", "L", "time_zone", "UTC"); got.status != http.StatusSeeOther {
		t.Fatalf("the name is not taken: %s", wrongs(parsePage(t, got.body)))
	}
	for _, path := range []string{tankPath(name), readPath(name), writePath(name) + "/dose", bandsPath(name), quantityPath(name, "calcium")} {
		if text := s.page(path).text(); !strings.Contains(text, name) {
			t.Errorf("%s does not name the tank", path)
		}
	}
	f, _ := s.server.facts().Tank(name)
	page := s.page(declarePath("tank", "line", newest(f.Declared)))
	if in := page.all("input[name=name]"); len(in) != 1 || in[0].attrs["type"] != "hidden" || in[0].attrs["value"] != name {
		t.Error("the form that changes the tank lets its name be typed over")
	}
}

func TestBandsAndShown(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	lines := s.added(func() {
		if got := s.post("/settings/bands/harbour", "low.alkalinity", "7.4", "aim.alkalinity", "8.2", "high.alkalinity", "9", "unit.alkalinity", "dKH"); got.status != http.StatusSeeOther {
			t.Errorf("status %d", got.status)
		}
	})
	if len(lines) != 1 || describe(lines[0]) != "band of alkalinity, from 7.4 to 9 aim 8.2 dKH" {
		t.Errorf("the bands stored %d lines", len(lines))
	}
	if got := s.post("/settings/bands/harbour", "low.alkalinity", "nine"); got.status != http.StatusUnprocessableEntity {
		t.Errorf("a wrong band answers %d", got.status)
	}
	lines = s.added(func() { s.post("/settings/shown", "tolerance", "10", "unit of alkalinity", "meq/L") })
	if len(lines) != 2 {
		t.Fatalf("%d preference lines, want 2", len(lines))
	}
	// 8.2 dKH is 2.93 meq/L: 1 meq/L is 2.804 dKH by the definition of the German degree (10 mg/L CaO).
	if text := s.page("/tank/harbour/alkalinity").text(); !strings.Contains(text, "2.6 to 3.2 meq/L, aim 2.9") && !strings.Contains(text, "2.64 to 3.21 meq/L, aim 2.92") {
		t.Errorf("the page does not tell the band in meq/L: %s", s.page("/tank/harbour/alkalinity").all("dl")[0].text())
	}
	if got := s.post("/settings/shown", "tolerance", "90"); got.status != http.StatusUnprocessableEntity {
		t.Errorf("a tolerance of 90 percent answers %d", got.status)
	}
}

func TestLogSearch(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	for query, want := range map[string]string{
		"text=clam": "1 line.", "text=opens+wide": "1 line.", "text=nothing+like+it": "No line says that.", "kind=reading": "24 lines, newest first.",
		"kind=reading&from=2026-03-01": "5 lines, newest first.", "kind=reading&from=2026-01-03&to=2026-01-03": "1 line.",
		"tank=harbour&kind=routine": "1 line.", "text=10.9": "1 line.",
	} {
		if got := s.page("/log?" + query).all("[data-test=count]")[0].text(); got != want {
			t.Errorf("%s finds %q, want %q", query, got, want)
		}
	}
}

func TestExportAndImport(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	out := s.get("/settings/book/driftline.jsonl")
	if out.status != http.StatusOK || strings.Count(out.body, "\n") != len(s.journal.Lines()) {
		t.Fatalf("the export answers %d with %d lines", out.status, strings.Count(out.body, "\n"))
	}
	if csv := s.get("/settings/book/driftline.csv"); !strings.HasPrefix(csv.body, "time,tank,quantity,value,unit") {
		t.Errorf("the table begins %q", words200(csv.body))
	}
	s.page("/settings/book")
	for _, c := range []struct {
		name, file, text string
		status, lines    int
		says             string
	}{
		{"the same again", "book.jsonl", out.body, 200, 0, "0 lines added, 31 were in the book already"},
		{"one bad line", "r.csv", "time,tank,quantity,value,unit\n2026-03-18T10:00:00Z,harbour,calcium,420,mg/L\n2026-03-18T10:00:00Z,harbour,pH,82,NBS\n", 422, 1, "not possible"},
		{"no file", "", "", 422, 0, "No file was chosen"},
		{"a picture", "a.png", "x", 422, 0, "not a JSON object"},
		{"a log by another name", "book.txt", out.body, 200, 0, "0 lines added"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got reply
			lines := s.added(func() { got = s.upload(c.file, c.text) })
			if got.status != c.status || len(lines) != c.lines || !strings.Contains(got.body, c.says) {
				t.Errorf("status %d, %d lines: %s", got.status, len(lines), parsePage(t, got.body).all("main")[0].text())
			}
		})
	}
}

func (s *site) upload(name, text string) reply {
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	part, err := m.CreateFormFile("file", name)
	if err != nil {
		s.t.Fatal(err)
	}
	if _, err := part.Write([]byte(text)); err != nil {
		s.t.Fatal(err)
	}
	if err := m.Close(); err != nil {
		s.t.Fatal(err)
	}
	r := httptest.NewRequest(http.MethodPost, "http://localhost"+importPath, &b)
	r.Header.Set("Content-Type", m.FormDataContentType())
	return s.send(r)
}

func TestFigure(t *testing.T) {
	for typed, want := range map[string]string{"7.9": "7.9", " 7,9 ": "7.9", "8.20": "8.20", "1 320": "1320", ".5": "0.5", "−2": "-2", "5.": "5", "0,125": "0.125",
		"1,320": "", "1.2.3": "", "": "", "1e3": "", "0x1p3": "", "7,9,1": "", "NaN": "", "Infinity": ""} {
		got, err := figure(typed)
		if want == "" && err == nil {
			t.Errorf("figure(%q) = %q, want a sentence", typed, got)
		}
		if want != "" && (err != nil || got != want) {
			t.Errorf("figure(%q) = %q, %v, want %q", typed, got, err, want)
		}
	}
}

// What a form is begun with must come back from the line it made.
func TestUntoldIsTold(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	for _, l := range s.journal.Lines() {
		sh, ok := sheets[l.Kind]
		if !ok {
			continue
		}
		zone := zoneOf(s.server.facts(), l.Tank)
		values := untold(l, zone)
		f, err := s.server.correction(l, values)
		if err != nil {
			t.Fatal(err)
		}
		values["id"] = l.ID
		again, ok := tell(f, sh.kind, l.Tank, values, zone)
		if !ok {
			t.Errorf("%s cannot be told again: %s", describe(l), f.sentences())
			continue
		}
		if describe(again) != describe(l) || !again.At.Equal(l.At) || again.Note != l.Note {
			t.Errorf("%s came back as %s at %v", describe(l), describe(again), again.At)
		}
	}
}
