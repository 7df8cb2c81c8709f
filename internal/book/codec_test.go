package book_test

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/book/booktest"
)

func TestEveryKindRoundTrips(t *testing.T) {
	met := map[book.Kind]bool{}
	for _, text := range booktest.SampleTexts() {
		l, err := book.ParseLine([]byte(text))
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		met[l.Kind] = true
		if err := book.ValidateAt(l, booktest.Now); err != nil {
			t.Errorf("%s: %v", text, err)
		}
		got, err := book.AppendJSON(nil, l)
		if err != nil || string(got) != text {
			t.Errorf("wrote %s, %v\n want %s", got, err, text)
		}
	}
	for _, k := range book.Kinds() {
		if !met[k] {
			t.Errorf("no sample of kind %q", k)
		}
	}
}

// The expected texts follow from the log format: a round trip loses nothing.
func TestSpellingIsKept(t *testing.T) {
	tests := []struct{ name, in, out string }{
		{"trailing zeros", `{"kind":"score","at":"2025-01-01T00:00:00Z","tank":"a","sign":"x","value":2.00}`, ""},
		{"exponents", `{"kind":"score","at":"2025-01-01T00:00:00Z","tank":"a","sign":"x","value":1.0E+0}`, ""},
		{"+00:00 is not Z", `{"kind":"note","at":"2025-01-01T00:00:00+00:00","note":"x"}`, ""},
		{"parts of a second", `{"kind":"note","at":"2025-01-01T00:00:00.000000001-09:30","note":"x"}`, ""},
		{"explicit false", `{"kind":"reading","at":"2025-01-01T00:00:00Z","tank":"a","quantity":"pH","value":8.1,"unit":"NBS","below":false}`, ""},
		{"explicit null", `{"kind":"chore","at":"2025-01-01T00:00:00Z","tank":"a","name":"x","by":null,"note":null}`, ""},
		{"empty text", `{"kind":"chore","at":"2025-01-01T00:00:00Z","tank":"a","name":"x","note":""}`, ""},
		{"empty list", `{"kind":"mix","at":"2025-01-01T00:00:00Z","name":"m","composition":[]}`, ""},
		{"empty bag", `{"kind":"equipment","at":"2025-01-01T00:00:00Z","tank":"a","name":"m","properties":{}}`, ""},
		{"a day alone", `{"kind":"routine","at":"2025-01-01T00:00:00Z","tank":"a","name":"m","action":"chore","every_days":1,"from":"2025-01-05"}`, ""},
		{"doubt of a constituent", `{"kind":"mix","at":"2025-01-01T00:00:00Z","name":"m","composition":[{"quantity":"calcium","value":420,"unit":"mg/L","sd":5.0}]}`, ""},
		{"unknown fields go last, by name",
			` { "z" : [ 1 , 2.50 ] , "kind":"note","at":"2025-01-01T00:00:00Z","note":"x", "a":{"k" : " : , " } } `,
			`{"kind":"note","at":"2025-01-01T00:00:00Z","note":"x","a":{"k":" : , "},"z":[1,2.50]}`},
		{"escapes are resolved where they need not be",
			`{"kind":"note","at":"2025-01-01T00:00:00Z","note":"\u00b5 \ud83d\udc1f \/ \" \\ \u0000 \b"}`,
			"{\"kind\":\"note\",\"at\":\"2025-01-01T00:00:00Z\",\"note\":\"µ \U0001F41F / \\\" \\\\ \\u0000 \\u0008\"}"},
		{"order of fields", `{"note":"x","at":"2025-01-01T00:00:00Z","kind":"note"}`, `{"kind":"note","at":"2025-01-01T00:00:00Z","note":"x"}`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			want := test.out
			if want == "" {
				want = test.in
			}
			l, err := book.ParseLine([]byte(test.in))
			if err != nil {
				t.Fatal(err)
			}
			got, err := book.AppendJSON(nil, l)
			if err != nil || string(got) != want {
				t.Errorf("wrote %s, %v\n want %s", got, err, want)
			}
		})
	}
}

// A spelling that was kept aside gives way once the field says something else.
func TestSpellingGivesWay(t *testing.T) {
	l, err := book.ParseLine([]byte(`{"kind":"reading","at":"2025-01-01T00:00:00Z","tank":"a","quantity":"pH","value":8.1,"unit":"NBS","below":false,"note":null}`))
	if err != nil {
		t.Fatal(err)
	}
	l.Body.(*book.Reading).Below = true
	l.Note = "under the scale"
	got, err := json.Marshal(l)
	want := `{"kind":"reading","at":"2025-01-01T00:00:00Z","tank":"a","quantity":"pH","value":8.1,"unit":"NBS","below":true,"note":"under the scale"}`
	if err != nil || string(got) != want {
		t.Errorf("wrote %s, %v\n want %s", got, err, want)
	}
	var back book.Line
	if err := json.Unmarshal(got, &back); err != nil || back.Note != l.Note || !back.Body.(*book.Reading).Below {
		t.Errorf("read back %+v, %v", back, err)
	}
}

func TestParseRefuses(t *testing.T) {
	at := `"at":"2025-01-01T00:00:00Z"`
	tests := []struct{ name, in, field, says string }{
		{"nothing", ``, "", "not a JSON object"},
		{"text", `hello`, "", "not a JSON object"},
		{"a list", `[{"kind":"note"}]`, "", "array"},
		{"cut short", `{"kind":"no`, "", "closing quote"},
		{"something behind", `{"kind":"note",` + at + `} {}`, "", "end of the line"},
		{"a comma behind", `{"kind":"note",` + at + `},`, "", "end of the line"},
		{"single quotes", `{'kind':'note'}`, "", "not valid JSON"},
		{"not UTF-8", "{\"kind\":\"note\",\"note\":\"\xff\"}", "", "UTF-8"},
		{"a raw line end in text", "{\"kind\":\"note\",\"note\":\"a\nb\"}", "", "control character"},
		{"half a surrogate pair", `{"kind":"note",` + at + `,"note":"\ud83d"}`, "note", "surrogate"},
		{"NaN", `{"kind":"score",` + at + `,"value":NaN}`, "", "a value"},
		{"a number with a comma", `{"kind":"score",` + at + `,"value":8,2}`, "", "not valid JSON"},
		{"a leading zero", `{"kind":"score",` + at + `,"value":08}`, "", "not valid JSON"},
		{"depth", `{"kind":"note","x":` + strings.Repeat("[", 100_000), "", "levels"},
		{"no kind", `{` + at + `}`, "kind", "missing"},
		{"an unknown kind", `{"kind":"readng",` + at + `}`, "kind", `"readng" is not known; expected one of tank, band`},
		{"kind is a number", `{"kind":5}`, "kind", "text in quotes"},
		{"no time", `{"kind":"note"}`, "at", "at is missing"},
		{"no offset", `{"kind":"note","at":"2025-01-01T00:00:00"}`, "at", "offset"},
		{"a day", `{"kind":"note","at":"2025-01-01"}`, "at", "offset"},
		{"a day that is not", `{"kind":"note","at":"2025-02-30T00:00:00Z"}`, "at", "2025-02-30"},
		{"a name twice", `{"kind":"note",` + at + `,"note":"a","note":"b"}`, "note", "twice"},
		{"a value in quotes", `{"kind":"reading",` + at + `,"value":"8.2"}`, "value", "without quotes"},
		{"a flag in quotes", `{"kind":"reading",` + at + `,"below":"yes"}`, "below", "true or false"},
		{"a tank that is a number", `{"kind":"reading",` + at + `,"tank":7}`, "tank", "text in quotes"},
		{"a list that is none", `{"kind":"mix",` + at + `,"composition":{}}`, "composition", "list"},
		{"a list of numbers", `{"kind":"mix",` + at + `,"composition":[1]}`, "composition", "quantity"},
		{"a bag that is none", `{"kind":"equipment",` + at + `,"properties":[]}`, "properties", "braces"},
		{"a routine's time", `{"kind":"routine",` + at + `,"from":"tomorrow"}`, "from", "tomorrow"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := book.ParseLine([]byte(test.in))
			var f *book.Fault
			if !errors.As(err, &f) || f.Field != test.field || !strings.Contains(f.Reason, test.says) {
				t.Errorf("error %v (field %q), want field %q and %q", err, fieldOf(f), test.field, test.says)
			}
		})
	}
}

func fieldOf(f *book.Fault) string {
	if f == nil {
		return ""
	}
	return f.Field
}

func TestKey(t *testing.T) {
	tests := map[string]string{"": "", " ": "", "North": "north", "  North\t Window ": "north window",
		"ÉTANG": "étang", "a  b": "a b", "reef-mix 2": "reef-mix 2"}
	for in, want := range tests {
		if got := book.Key(in); got != want {
			t.Errorf("Key(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestNumber(t *testing.T) {
	for _, text := range []string{"", "NaN", "Inf", "1e999", strings.Repeat("1", 65)} {
		if v, ok := book.Number(text).Float(); ok {
			t.Errorf("Number(%q).Float() = %v", text, v)
		}
	}
	if v, ok := book.Number("8.20").Float(); !ok || v != 8.2 {
		t.Errorf("8.20 is %v, %v", v, ok)
	}
	if got := book.NumberOf(8.2, 2); got != "8.20" {
		t.Errorf("NumberOf(8.2, 2) = %q", got)
	}
}

// RFC 9562: version and variant bits, and for version 7 the time in milliseconds.
func TestIDs(t *testing.T) {
	// The time of the example in RFC 9562 appendix A.6: 0x017F22E279B0.
	at := time.Date(2022, 2, 22, 19, 22, 22, 0, time.UTC)
	a, b := book.NewID(at), book.NewID(at)
	if a == b || !strings.HasPrefix(a, "017f22e2-79b0-7") || !strings.ContainsAny(a[19:20], "89ab") {
		t.Errorf("NewID = %s, %s", a, b)
	}
	x, err := book.ParseLine([]byte(`{"kind":"note","at":"2025-01-01T00:00:00Z","note":"x"}`))
	if err != nil {
		t.Fatal(err)
	}
	y := x
	y.ID = "other"
	id := book.ContentID(x)
	if id != book.ContentID(y) || len(id) != 36 || id[14] != '8' || !strings.ContainsAny(id[19:20], "89ab") {
		t.Errorf("ContentID = %s and %s", id, book.ContentID(y))
	}
	y.Note = "y"
	if book.ContentID(y) == id {
		t.Error("another note has the same id")
	}
}
