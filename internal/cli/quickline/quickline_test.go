package quickline_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/cli/quickline"
)

// The book of two tanks that the cases below speak about.
const declared = `
{"kind":"tank","at":"2026-01-01T08:00:00Z","name":"Harbour tank","system":"soft coral","net_volume":420,"unit":"L","time_zone":"Europe/Lisbon"}
{"kind":"tank","at":"2026-01-01T08:00:00Z","name":"Cellar quarantine","system":"quarantine","net_volume":80,"unit":"L"}
{"kind":"instrument","at":"2026-01-01T08:00:00Z","name":"drop kit","quantity":"alkalinity","method":"drop titration","unit":"dKH"}
{"kind":"instrument","at":"2026-01-01T08:00:00Z","name":"pocket photometer","quantity":"alkalinity","method":"photometer","unit":"mg/L CaCO3"}
{"kind":"instrument","at":"2026-01-01T08:00:00Z","name":"colour card","quantity":"nitrate","method":"colour card","unit":"mg/L NO3"}
{"kind":"substance","at":"2026-01-01T08:00:00Z","name":"magnesium chloride hexahydrate","formula":"MgCl2·6H2O","purity":1,"form":"solid"}
{"kind":"mix","at":"2026-01-01T08:00:00Z","name":"reef salt","composition":[{"quantity":"alkalinity","value":7.5,"unit":"dKH"}]}
{"kind":"reading","at":"2026-01-02T08:00:00Z","tank":"Harbour tank","quantity":"alkalinity","value":7.9,"unit":"dKH","instrument":"drop kit"}
{"kind":"reading","at":"2026-01-02T08:00:00Z","tank":"Harbour tank","quantity":"salinity","value":1.0255,"unit":"SG 25/25"}
`

var noon = time.Date(2026, 1, 20, 12, 0, 0, 0, time.UTC)

func facts(t testing.TB, lines string) *book.Facts {
	t.Helper()
	var all []book.Line
	for text := range strings.Lines(strings.TrimSpace(lines)) {
		line, err := book.ParseLine([]byte(strings.TrimSpace(text)))
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		all = append(all, line)
	}
	return book.Replay(all, noon)
}

func TestUnderstood(t *testing.T) {
	cases := []struct{ name, line, want string }{
		{"the whole name", `"Harbour tank" alkalinity 7.8 dKH kit "drop kit"`,
			`{"kind":"reading","tank":"Harbour tank","quantity":"alkalinity","value":7.8,"unit":"dKH","instrument":"drop kit"}`},
		{"the name unquoted, in capitals", `HARBOUR TANK alkalinity 7.8 dKH kit drop kit`,
			`{"kind":"reading","tank":"Harbour tank","quantity":"alkalinity","value":7.8,"unit":"dKH","instrument":"drop kit"}`},
		{"the start of the name, a synonym, a glued unit", `harb alk 7.8dkh`,
			`{"kind":"reading","tank":"Harbour tank","quantity":"alkalinity","value":7.8,"unit":"dKH"}`},
		{"the unit of the last reading", `harbour alkalinity 7.80`,
			`{"kind":"reading","tank":"Harbour tank","quantity":"alkalinity","value":7.80,"unit":"dKH"}`},
		{"the unit of the only kit", `harbour nitrate 5`,
			`{"kind":"reading","tank":"Harbour tank","quantity":"nitrate","value":5,"unit":"mg/L NO3","instrument":"colour card"}`},
		{"the start of a kit's name", `harbour alkalinity 140 ppm kit pocket`,
			`{"kind":"reading","tank":"Harbour tank","quantity":"alkalinity","value":140,"unit":"mg/L CaCO3","instrument":"pocket photometer"}`},
		{"a decimal comma", `harbour alkalinity 7,8 dKH`,
			`{"kind":"reading","tank":"Harbour tank","quantity":"alkalinity","value":7.8,"unit":"dKH"}`},
		{"under the limit of the kit", `harbour nitrate "<0.2" note cells cleaned`,
			`{"kind":"reading","tank":"Harbour tank","note":"cells cleaned","quantity":"nitrate","value":0.2,"unit":"mg/L NO3","instrument":"colour card","below":true}`},
		{"below in words", `harbour nitrate below 0.2`,
			`{"kind":"reading","tank":"Harbour tank","quantity":"nitrate","value":0.2,"unit":"mg/L NO3","instrument":"colour card","below":true}`},
		{"a dose", `harbour dose 40 g magnesium chloride hexahydrate`,
			`{"kind":"dose","tank":"Harbour tank","substance":"magnesium chloride hexahydrate","amount":40,"unit":"g"}`},
		{"a dose with of and a glued unit", `harbour dosed 40g of Magnesium Chloride Hexahydrate`,
			`{"kind":"dose","tank":"Harbour tank","substance":"magnesium chloride hexahydrate","amount":40,"unit":"g"}`},
		{"a water change", `harbour change 60 L mix "reef salt"`,
			`{"kind":"water change","tank":"Harbour tank","volume":60,"unit":"L","mix":"reef salt"}`},
		{"a share of the tank, with the only mix", `harbour water change 10%`,
			`{"kind":"water change","tank":"Harbour tank","volume":42,"unit":"L","mix":"reef salt"}`},
		{"a unit of two words", `cellar change 2 US gal with reef salt`,
			`{"kind":"water change","tank":"Cellar quarantine","volume":2,"unit":"US gal","mix":"reef salt"}`},
		{"top-off", `harbour top-off 4 L`,
			`{"kind":"top-off","tank":"Harbour tank","volume":4,"unit":"L"}`},
		{"top-off with a substance", `harbour top off 4 L with magnesium chloride hexahydrate 1.5 g/L`,
			`{"kind":"top-off","tank":"Harbour tank","volume":4,"unit":"L","substance":"magnesium chloride hexahydrate","concentration":1.5}`},
		{"a count of the shelf", `shelf 2 kg MgCl2·6H2O`,
			`{"kind":"stock","substance":"magnesium chloride hexahydrate","amount":2,"unit":"kg"}`},
		{"a count, the name first", `shelf "Magnesium chloride" 1,5 kg`,
			`{"kind":"stock","substance":"magnesium chloride hexahydrate","amount":1.5,"unit":"kg"}`},
		{"a purchase with its price, of a mix", `harbour shelf added 20kg of Reef Salt for 61.90 eur note the blue bucket`,
			`{"kind":"stock","note":"the blue bucket","substance":"reef salt","amount":20,"unit":"kg","added":true,"price":61.90,"currency":"EUR"}`},
		{"a name that ends with a figure, a unit of two words", `shelf hydrogen peroxide 3 % 1 US gal`,
			`{"kind":"stock","substance":"hydrogen peroxide 3 %","amount":1,"unit":"US gal"}`},
		{"feeding, amount first", `harbour feed 2 g of frozen copepods`,
			`{"kind":"feeding","tank":"Harbour tank","food":"frozen copepods","amount":2,"unit":"g"}`},
		{"feeding, amount last", `harbour fed frozen copepods 2g`,
			`{"kind":"feeding","tank":"Harbour tank","food":"frozen copepods","amount":2,"unit":"g"}`},
		{"feeding without an amount", `harbour feed frozen copepods`,
			`{"kind":"feeding","tank":"Harbour tank","food":"frozen copepods"}`},
		{"harvest", `harbour harvest 120 g sea lettuce`,
			`{"kind":"harvest","tank":"Harbour tank","what":"sea lettuce","wet_mass":120,"unit":"g"}`},
		{"score", `harbour score film algae 2`,
			`{"kind":"score","tank":"Harbour tank","sign":"film algae","value":2}`},
		{"chore", `harbour chore glass cleaned`,
			`{"kind":"chore","tank":"Harbour tank","name":"glass cleaned"}`},
		{"note of a tank", `harbour note "glass cleaned"`,
			`{"kind":"note","tank":"Harbour tank","note":"glass cleaned"}`},
		{"note of no tank", `note power was out`,
			`{"kind":"note","note":"power was out"}`},
	}
	f := facts(t, declared)
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			words, err := quickline.Split(c.line)
			if err != nil {
				t.Fatal(err)
			}
			got, err := quickline.Parse(words, f, noon)
			if err != nil {
				t.Fatalf("%s: %v", c.line, err)
			}
			sameLine(t, got.Line, c.want)
			if err := book.Validate(withID(got.Line)); err != nil {
				t.Errorf("understood but not valid: %v", err)
			}
		})
	}
}

func withID(l book.Line) book.Line {
	l.ID = book.NewID(noon)
	return l
}

// sameLine compares as the log would write both, without id and moment.
func sameLine(t *testing.T, got book.Line, want string) {
	t.Helper()
	text, err := got.MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	var g, w map[string]json.RawMessage
	if err := json.Unmarshal(text, &g); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(want), &w); err != nil {
		t.Fatal(err)
	}
	delete(g, "at")
	delete(g, "id")
	for k := range w {
		if string(g[k]) != string(w[k]) {
			t.Errorf("%s: got %s, want %s", k, g[k], w[k])
		}
		delete(g, k)
	}
	for k, v := range g {
		t.Errorf("unexpected %s: %s", k, v)
	}
}

func TestOneTankNeedsNoName(t *testing.T) {
	one := strings.Join(strings.Split(strings.TrimSpace(declared), "\n")[:1], "\n")
	for _, text := range []string{"alkalinity 8 dKH", "change 10 L mix x", "note hello", "alk 8,1dKH"} {
		words, _ := quickline.Split(text)
		e, err := quickline.Parse(words, facts(t, one), noon)
		if strings.HasPrefix(text, "change") {
			if err == nil || !strings.Contains(err.Error(), "no mix is called") {
				t.Errorf("%s: got %v, want a word about the mix", text, err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", text, err)
		}
		if e.Line.Tank != "Harbour tank" && e.Line.Kind != book.KindNote {
			t.Errorf("%s: went to tank %q", text, e.Line.Tank)
		}
	}
}

func TestRefusedWithOneSentence(t *testing.T) {
	cases := []struct{ name, line, want string }{
		{"nothing", ``, "nothing was said"},
		{"an unknown tank", `Attic alkalinity 8`, `no tank is called "Attic"; there is Harbour tank and Cellar quarantine`},
		{"an unknown quantity", `harbour sparkle 8`, "sparkle"},
		{"no quantity", `harbour`, "nothing follows the tank's name"},
		{"no value", `harbour alkalinity`, "value is missing"},
		{"a word for a value", `harbour alkalinity high`, `value "high" is not a number`},
		{"an unknown unit", `harbour alkalinity 8 furlongs`, "furlongs"},
		{"thousands or decimals", `harbour calcium 1,236 mg/L`, "write 1236 or 1.236"},
		{"two decimal signs", `harbour calcium 1.236,5 mg/L`, "more than one decimal sign"},
		{"an undeclared kit", `harbour alkalinity 8 dKH kit spare`, `no kit for alkalinity is called "spare"; declared: drop kit and pocket photometer`},
		{"no name after kit", `harbour alkalinity 8 dKH kit`, "a name is missing after kit"},
		{"no unit known", `cellar magnesium 1300`, "say one of"},
		{"a dose without a unit", `harbour dose 40 magnesium chloride hexahydrate`, "expected g, mg, mL or L"},
		{"an unknown substance", `harbour dose 40 g moonshine`, `no substance is called "moonshine"`},
		{"nothing dosed", `harbour dose 40 g`, "say what was dosed"},
		{"an unknown mix", `harbour change 40 L mix tap`, `no mix is called "tap"; declared: reef salt`},
		{"too large a share", `harbour change 140 %`, "not a share of the tank"},
		{"a score without a figure", `harbour score film algae`, "algae"},
		{"nothing on the shelf", `harbour shelf`, "say what is on the shelf and how much"},
		{"how much of it is missing", `shelf magnesium chloride`, "say how much of magnesium chloride there is"},
		{"the shelf in a unit that is none", `shelf 2 buckets of reef salt`, `unit "buckets" is not a mass or a volume`},
		{"a price without its currency", `shelf added 2 kg reef salt for 30`, "say"},
		{"an open quotation", `harbour note "glass`, "opened and not closed"},
	}
	f := facts(t, declared)
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := quickline.Parse([]string{c.line}, f, noon)
			if err == nil {
				t.Fatal("understood")
			}
			if !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %q, want it to say %q", err, c.want)
			}
			if strings.ContainsAny(err.Error(), "\n") {
				t.Errorf("more than one line: %q", err)
			}
		})
	}
}

func TestSaidBackInTheTanksZone(t *testing.T) {
	summer := time.Date(2026, 7, 4, 7, 30, 0, 0, time.UTC)
	e, err := quickline.Parse([]string{"harbour alkalinity 7.8 dKH kit drop"}, facts(t, declared), summer)
	if err != nil {
		t.Fatal(err)
	}
	want := "Harbour tank, Saturday 4 July 2026, 08:30: alkalinity 7.8 dKH, read with the drop kit."
	if e.Said != want {
		t.Errorf("got  %s\nwant %s", e.Said, want)
	}
}

// FuzzQuickLine: whatever is typed, the parser answers with a line the log can
// write and read again, or with one sentence.
func FuzzQuickLine(f *testing.F) {
	for _, seed := range []string{
		`"Harbour tank" alkalinity 7.8 dKH kit "drop kit"`, `harbour dose 40 g magnesium chloride hexahydrate`,
		`harbour change 10 % mix reef salt`, `harb alk 7,8`, `harbour nitrate <0.2 note x`, `note hello`,
		`cellar top off 4 L with magnesium chloride hexahydrate 1.5 g/L`, `harbour score film algae 2`, `− 1 ,`, `harbour feed 2`,
	} {
		f.Add(seed)
	}
	known := facts(f, declared)
	f.Fuzz(func(t *testing.T, text string) {
		e, err := quickline.Parse([]string{text}, known, noon)
		if err != nil {
			if err.Error() == "" {
				t.Fatalf("%q: refused without a word", text)
			}
			return
		}
		line := withID(e.Line)
		if book.Validate(line) != nil {
			return // understood, and refused by the book as an import would be
		}
		written, err := line.MarshalJSON()
		if err != nil {
			t.Fatalf("%q: valid, yet cannot be written: %v", text, err)
		}
		if _, err := book.ParseLine(written); err != nil {
			t.Fatalf("%q: written as %s, and cannot be read again: %v", text, written, err)
		}
	})
}
