package book_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
)

var now = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

// Each case spoils one field; the sentence must name it and say what is expected.
func TestValidateRefuses(t *testing.T) {
	tests := []struct{ name, fields, field, says string }{
		{"a date in 2062", `"kind":"note","note":"x","at":"2062-01-01T00:00:00Z"`, "at", "future"},
		{"a date two days ahead", `"kind":"note","note":"x","at":"2026-03-03T12:00:01Z"`, "at", "not more than a day"},
		{"a date before 1970", `"kind":"note","note":"x","at":"1969-12-31T23:59:59Z"`, "at", "1970"},
		{"an empty note", `"kind":"note"`, "note", "missing"},
		{"a stop rule of nothing", course(`"stop_when":[{"is":"above","value":1}]`), "stop_when", "a sign or a quantity"},
		{"a stop rule of two things", course(`"stop_when":[{"sign":"detritus","quantity":"nitrate","unit":"mg/L NO3","is":"above","value":1}]`), "stop_when", "one of them"},
		{"a stop rule that equals", course(`"stop_when":[{"sign":"detritus","is":"equal","value":1}]`), "stop_when", "at most"},
		{"a stop rule without a value", course(`"stop_when":[{"sign":"detritus","is":"above"}]`), "stop_when", "missing"},
		{"a stop rule above all scores", course(`"stop_when":[{"sign":"detritus","is":"above","value":5}]`), "stop_when", "0 to 4"},
		{"a stop rule without a unit", course(`"stop_when":[{"quantity":"nitrate","is":"above","value":5}]`), "unit", "unit"},
		{"a stop rule half a time", course(`"stop_when":[{"sign":"detritus","is":"above","value":1,"times":1.5}]`), "stop_when", "whole"},
		{"half doses beyond the end", course(`"half_days":8`), "half_days", "7 days"},
		{"going on with nothing", `"kind":"plan resume","tank":"Harbour"`, "plan", "missing"},
		{"a void of nothing", `"kind":"void"`, "replaces", "missing"},
		{"its own correction", `"kind":"note","note":"x","id":"a","replaces":"a"`, "replaces", "own id"},
		{"an id with a space", `"kind":"note","note":"x","id":"a b"`, "id", "UUID"},
		{"a name too long", `"kind":"chore","tank":"a","name":"` + strings.Repeat("é", 201) + `"`, "name", "200"},
		{"a name on two lines", `"kind":"chore","tank":"a","name":"x\ny"`, "name", "control"},
		{"no tank", `"kind":"chore","name":"x"`, "tank", "missing"},

		{"a tank without name", `"kind":"tank","net_volume":1,"unit":"L"`, "name", "missing"},
		{"an unknown system", `"kind":"tank","name":"a","system":"pond","net_volume":1,"unit":"L"`, "system", `"pond" is not known; expected soft coral, mixed`},
		{"no volume", `"kind":"tank","name":"a","unit":"L"`, "net_volume", "missing"},
		{"a volume of nothing", `"kind":"tank","name":"a","net_volume":0,"unit":"L"`, "net_volume", "more than 0"},
		{"a volume in dKH", `"kind":"tank","name":"a","net_volume":1,"unit":"dKH"`, "unit", "L"},
		{"a volume without unit", `"kind":"tank","name":"a","net_volume":1`, "unit", "missing"},
		{"a length without unit", `"kind":"tank","name":"a","net_volume":1,"unit":"L","length":80`, "length_unit", "cm"},
		{"a latitude of 91", `"kind":"tank","name":"a","net_volume":1,"unit":"L","latitude":91`, "latitude", "-90"},
		{"a longitude of 200", `"kind":"tank","name":"a","net_volume":1,"unit":"L","longitude":200`, "longitude", "180"},
		{"an unknown zone", `"kind":"tank","name":"a","net_volume":1,"unit":"L","time_zone":"Atlantis/Deep"`, "time_zone", "Europe/"},
		{"the zone Local", `"kind":"tank","name":"a","net_volume":1,"unit":"L","time_zone":"Local"`, "time_zone", "not known"},

		{"a band of nothing", `"kind":"band","tank":"a","quantity":"pH","unit":"NBS"`, "low", "at least one"},
		{"low above aim", `"kind":"band","tank":"a","quantity":"pH","unit":"NBS","low":8.3,"aim":8.1`, "low", "above aim"},
		{"aim above high", `"kind":"band","tank":"a","quantity":"pH","unit":"NBS","aim":8.3,"high":8.1`, "aim", "above high"},
		{"low above high", `"kind":"band","tank":"a","quantity":"pH","unit":"NBS","low":8.3,"high":8.1`, "low", "above high"},
		{"an impossible band", `"kind":"band","tank":"a","quantity":"pH","unit":"NBS","high":82`, "high", "4"},
		{"a band without unit", `"kind":"band","tank":"a","quantity":"calcium","low":400`, "unit", "mg/L"},

		{"an unknown quantity", `"kind":"instrument","name":"k","quantity":"unobtainium"`, "quantity", "alkalinity"},
		{"an unknown method", `"kind":"instrument","name":"k","quantity":"pH","method":"taste"`, "method", "electrode"},
		{"a negative sd", `"kind":"instrument","name":"k","quantity":"pH","unit":"NBS","sd":-1`, "sd", "0 or more"},
		{"an sd without unit", `"kind":"instrument","name":"k","quantity":"calcium","sd":1`, "unit", "mg/L"},
		{"a relative sd of 5", `"kind":"instrument","name":"k","quantity":"pH","relative_sd":5`, "relative_sd", "fraction"},

		{"a purity of 120", `"kind":"substance","name":"s","purity":120`, "purity", "percentage"},
		{"a formula of nothing known", `"kind":"substance","name":"s","formula":"Xx9"`, "formula", "MgCl2·6H2O"},
		{"a bracket left open", `"kind":"substance","name":"s","formula":"Na2(CO3"`, "formula", "not closed"},
		{"an unknown form", `"kind":"substance","name":"s","form":"gas"`, "form", "solid"},
		{"contents without unit", `"kind":"substance","name":"s","contains":[{"quantity":"calcium","value":1}]`, "contains", "mg/g"},
		{"contents in dKH per banana", `"kind":"substance","name":"s","contains":[{"quantity":"calcium","value":1,"unit":"dKH/banana"}]`, "contains", "mg/g"},
		{"contents of an unknown thing", `"kind":"substance","name":"s","contains":[{"quantity":"joy","value":1,"unit":"mg/g"}]`, "contains", "joy"},
		{"a content without value", `"kind":"substance","name":"s","contains":[{"quantity":"calcium","unit":"mg/g"}]`, "contains", "value of calcium is missing"},
		{"more than it weighs", `"kind":"substance","name":"s","contains":[{"quantity":"calcium","value":1500,"unit":"mg/g"}]`, "contains", "at most 1000 mg/g"},
		{"more than all of it", `"kind":"substance","name":"s","contains":[{"quantity":"calcium","value":101,"unit":"%"}]`, "contains", "at most 100 %"},
		{"a negative content", `"kind":"substance","name":"s","contains":[{"quantity":"calcium","value":-1,"unit":"mg/g"}]`, "contains", "0 or more"},

		{"a mix with a volume of no unit", `"kind":"mix","name":"m","volume":5`, "unit", "missing"},
		{"a mix of impossible water", `"kind":"mix","name":"m","composition":[{"quantity":"calcium","value":-5,"unit":"mg/L"}]`, "composition", "calcium"},
		{"a mix in a wrong unit", `"kind":"mix","name":"m","composition":[{"quantity":"calcium","value":5,"unit":"dKH"}]`, "composition", "mg/L"},

		{"an unknown action", `"kind":"routine","tank":"a","name":"r","action":"dance","every_days":1`, "action", "water change"},
		{"no interval", `"kind":"routine","tank":"a","name":"r","action":"chore"`, "every_days", "missing"},
		{"an interval of nothing", `"kind":"routine","tank":"a","name":"r","action":"chore","every_days":0`, "every_days", "more than 0"},
		{"a dose of nothing", `"kind":"routine","tank":"a","name":"r","action":"dose","amount":1,"unit":"g","every_days":1`, "substance", "missing"},
		{"a dose without amount", `"kind":"routine","tank":"a","name":"r","action":"dose","substance":"s","unit":"g","every_days":1`, "amount", "missing"},
		{"a change without mix", `"kind":"routine","tank":"a","name":"r","action":"water change","volume":5,"unit":"L","every_days":1`, "mix", "composition"},
		{"a feeding of nothing", `"kind":"routine","tank":"a","name":"r","action":"feeding","every_days":1`, "food", "missing"},
		{"a test of nothing", `"kind":"routine","tank":"a","name":"r","action":"test","every_days":1`, "quantity", "missing"},
		{"an end before its start", `"kind":"routine","tank":"a","name":"r","action":"chore","every_days":1,"from":"2025-02-01","until":"2025-01-01"`, "until", "before"},

		{"an unknown unit", `"kind":"reading","tank":"a","quantity":"calcium","value":420,"unit":"furlongs"`, "unit", "mg/L"},
		{"another quantity's unit", `"kind":"reading","tank":"a","quantity":"calcium","value":420,"unit":"dKH"`, "unit", "mg/L"},
		{"no unit", `"kind":"reading","tank":"a","quantity":"calcium","value":420`, "unit", "missing"},
		{"no value", `"kind":"reading","tank":"a","quantity":"calcium","unit":"mg/L"`, "value", "missing"},
		{"negative calcium", `"kind":"reading","tank":"a","quantity":"calcium","value":-420,"unit":"mg/L"`, "value", "calcium −420"},
		{"pH 82", `"kind":"reading","tank":"a","quantity":"pH","value":82,"unit":"NBS"`, "value", "pH 82"},
		{"a value beyond numbers", `"kind":"reading","tank":"a","quantity":"pH","value":1e999,"unit":"NBS"`, "value", "1e999"},
		{"a sample without unit", `"kind":"reading","tank":"a","quantity":"pH","value":8,"unit":"NBS","sample_temperature":25`, "temperature_unit", "°C"},
		{"a sample that boils", `"kind":"reading","tank":"a","quantity":"pH","value":8,"unit":"NBS","sample_temperature":250,"temperature_unit":"C"`, "sample_temperature", "250"},

		{"a negative dose", `"kind":"dose","tank":"a","substance":"s","amount":-1,"unit":"g"`, "amount", "0 or more"},
		{"a dose of a mountain", `"kind":"dose","tank":"a","substance":"s","amount":1e12,"unit":"g"`, "amount", "at most 100,000 kg"},
		{"a dose of a lake", `"kind":"dose","tank":"a","substance":"s","amount":1e300,"unit":"mL"`, "amount", "at most 100,000 m3"},
		{"a tank called dots", `"kind":"tank","name":" .. ","net_volume":1,"unit":"L"`, "name", "only dots"},
		{"a dose in metres", `"kind":"dose","tank":"a","substance":"s","amount":1,"unit":"m"`, "unit", "mL"},
		{"a change of nothing", `"kind":"water change","tank":"a","volume":0,"unit":"L","mix":"m"`, "volume", "more than 0"},
		{"a change without water", `"kind":"water change","tank":"a","volume":1,"unit":"L"`, "mix", "composition"},
		{"a concentration of nothing", `"kind":"top-off","tank":"a","volume":1,"unit":"L","concentration":1`, "substance", "missing"},
		{"a food without unit", `"kind":"feeding","tank":"a","food":"f","amount":1`, "unit", "missing"},
		{"a harvest in litres", `"kind":"harvest","tank":"a","what":"w","wet_mass":1,"unit":"L"`, "unit", "g"},
		{"a score of 5", `"kind":"score","tank":"a","sign":"s","value":5`, "value", "4"},
		{"a score of -1", `"kind":"score","tank":"a","sign":"s","value":-1`, "value", "0 (none)"},
		{"a setting without value", `"kind":"setting","tank":"a","equipment":"e","property":"p"`, "value", "missing"},
		{"a photo by path", `"kind":"photo","tank":"a","file":"../../x.jpg"`, "file", "hash"},
		{"a preference of nothing", `"kind":"preference","name":"p"`, "value", "missing"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			text := "{" + test.fields + "}"
			if !strings.Contains(text, `"at"`) {
				text = `{"at":"2026-02-01T00:00:00Z",` + test.fields + "}"
			}
			l, err := book.ParseLine([]byte(text))
			if err != nil {
				t.Fatal(err)
			}
			err = book.ValidateAt(l, now)
			var f *book.Fault
			if !errors.As(err, &f) || f.Field != test.field || !strings.Contains(f.Reason, test.says) {
				t.Errorf("error %v (field %q), want field %q and %q", err, fieldOf(f), test.field, test.says)
			}
			if f != nil && strings.ContainsAny(f.Reason, "\n!") {
				t.Errorf("not one plain sentence: %q", f.Reason)
			}
		})
	}
}

// What the format calls optional may be absent, and forgiving spellings pass.
func TestValidateAccepts(t *testing.T) {
	for _, fields := range []string{
		`"kind":"tank","name":"a","net_volume":100,"unit":"gal"`,
		`"kind":"tank","name":"a","system":"Fish Only","net_volume":100,"unit":"litres"`,
		`"kind":"band","tank":"a","quantity":"Alk","unit":"dkh","aim":8`,
		`"kind":"instrument","name":"k","quantity":"pH"`,
		`"kind":"substance","name":"s"`,
		`"kind":"substance","name":"s","formula":"MgCl2 . 6 H2O","purity":98`,
		`"kind":"substance","name":"s","contains":[{"quantity":"alkalinity","value":1.2,"unit":"meq/mL"},{"quantity":"magnesium","value":3,"unit":"%"},{"quantity":"nitrate","value":3,"unit":"g/kg"}]`,
		`"kind":"mix","name":"m"`,
		`"kind":"routine","tank":"a","name":"r","action":"Chore","every_days":0.25`,
		`"kind":"routine","tank":"a","name":"r","action":"test","quantity":"ca","every_days":7`,
		`"kind":"reading","tank":"a","quantity":"NO3","value":0,"unit":"ppm","below":true`,
		`"kind":"dose","tank":"a","substance":"s","amount":0,"unit":"ml"`,
		`"kind":"feeding","tank":"a","food":"flakes"`,
		`"kind":"harvest","tank":"a","what":"algae"`,
		`"kind":"score","tank":"a","sign":"s","value":2.5`,
		`"kind":"setting","tank":"a","equipment":"e","property":"p","value":"blue"`,
		`"kind":"trial","tank":"a"`,
	} {
		l, err := book.ParseLine([]byte(`{"at":"2026-03-02T11:59:59Z",` + fields + "}"))
		if err != nil {
			t.Fatal(err)
		}
		if err := book.ValidateAt(l, now); err != nil {
			t.Errorf("%s: %v", fields, err)
		}
	}
}

func TestValidateBodyMatchesKind(t *testing.T) {
	for _, l := range []book.Line{
		{Kind: book.KindReading, At: now, Tank: "a"},
		{Kind: book.KindDose, At: now, Tank: "a", Body: &book.Chore{Name: "x"}},
		{Kind: book.KindVoid, At: now, Replaces: "x", Body: &book.Chore{Name: "x"}},
		{Kind: "omen", At: now},
	} {
		if err := book.Validate(l); err == nil {
			t.Errorf("%s with body %T passed", l.Kind, l.Body)
		}
	}
}

// course is a course of a week, whole but for what is spoiled.
func course(more string) string {
	return `"kind":"course","tank":"Harbour","name":"a","action":"chore","chore":"b","every_hours":12,"days":7,` + more
}
