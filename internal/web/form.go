package web

import (
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"
	"unicode"

	"driftline/internal/prose"
)

// form is a form of any page: one way to ask, one way to say what is wrong.
type form struct {
	Action   string
	ID       string // of the line to come, so that sending twice stores once
	Fields   []field
	Submit   string
	Error    string // about the form as a whole
	Cautions []string
}

// field is one thing asked for. Name is the field's name in the log format.
type field struct {
	Name, Label, Hint, Value, Error string

	Input    string // text, figure, choice, long, tick, moment, day, hidden, rows, file, zone
	Options  []option
	Suggest  []string // offered, anything else is taken too
	Unit     *field   // a choice of units on the same line
	Rows     []field  // each with its own Unit; Name is their list in the log format
	Checked  bool
	Number   bool // a choice among numbers
	Optional bool
	Time     string // the clock part of a moment
	Folded   bool   // rows that are seldom needed
	Of       string // the quantity a row is about, sent along with it
}

type option struct {
	Value, Label string
	Chosen       bool
}

// DOM is the id of the field's input.
func (f field) DOM() string { return "f-" + strings.ReplaceAll(f.Name, ".", "-") }

// choose marks the option that is chosen, adding it when it is none of them.
func (f *field) choose(value string) {
	f.Value = value
	found := false
	for i := range f.Options {
		f.Options[i].Chosen = same(f.Options[i].Value, value) || f.Options[i].Value == value
		found = found || f.Options[i].Chosen
	}
	if !found && value != "" && f.Input == "choice" {
		f.Options = append(f.Options, option{value, value, true})
	}
}

func options(values ...string) []option {
	o := make([]option, len(values))
	for i, v := range values {
		o[i] = option{Value: v, Label: v}
	}
	return o
}

// fill puts values into fields; a key that is absent leaves the default.
func fill(fields []field, values map[string]string) {
	for i := range fields {
		f := &fields[i]
		if f.Input == "rows" {
			fill(f.Rows, values)
			continue
		}
		if f.Input == "moment" {
			setIf(&f.Value, values, f.Name+".date")
			setIf(&f.Time, values, f.Name+".time")
			continue
		}
		if v, ok := values[f.Name]; ok {
			f.choose(v)
			f.Checked = v == "true" || v == "on"
		}
		if f.Unit != nil {
			if v, ok := values[f.Unit.Name]; ok && v != "" {
				f.Unit.choose(v)
			}
		}
	}
}

func setIf(to *string, values map[string]string, key string) {
	if v, ok := values[key]; ok {
		*to = v
	}
}

// posted are the values a visitor sent, the first of each name.
func posted(r *http.Request) (map[string]string, error) {
	if err := r.ParseForm(); err != nil {
		return nil, badForm(err)
	}
	m := map[string]string{}
	for k, v := range r.PostForm {
		m[k] = v[0]
	}
	return m, nil
}

// asked are the values in a page's address, to begin a form with.
func asked(r *http.Request) map[string]string {
	m := map[string]string{}
	for k, v := range r.URL.Query() {
		m[k] = v[0]
	}
	return m
}

func badForm(err error) error {
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return err
	}
	return &refusal{http.StatusBadRequest, "The form arrived damaged. Nothing of it was stored; send it again."}
}

// wrong puts a sentence beside the field it is about, or above the form.
func (f *form) wrong(name, sentence string) {
	if !setError(f.Fields, name, sentence) {
		f.Error = strings.TrimSpace(f.Error + " " + prose.Capital(sentence))
	}
}

// plainly puts the field's label where a sentence begins with its name in the log format.
func (f field) plainly(sentence string) string {
	label, _, _ := strings.Cut(f.Label, ",")
	if label == "" || f.Input == "rows" {
		label = strings.ReplaceAll(f.Name, "_", " ")
	}
	if rest, ok := strings.CutPrefix(sentence, f.Name+" "); ok {
		sentence = label + " " + rest
	}
	return prose.Capital(sentence)
}

func setError(fields []field, name, sentence string) bool {
	for i := range fields {
		f := &fields[i]
		if f.Name == name || (f.Unit != nil && f.Unit.Name == name) || (name == "at" && f.Input == "moment") {
			f.Error = f.plainly(sentence)
			return true
		}
		if f.Input == "rows" && (setError(f.Rows, name, sentence)) {
			return true
		}
	}
	return false
}

// Wrong tells whether anything is marked as wrong.
func (f form) Wrong() bool {
	if f.Error != "" {
		return true
	}
	for _, x := range f.Fields {
		if x.Error != "" {
			return true
		}
		for _, r := range x.Rows {
			if r.Error != "" {
				return true
			}
		}
	}
	return false
}

// figure reads a number as it is typed: a decimal comma is taken, a comma that
// may as well part the thousands is not guessed at.
func figure(s string) (string, error) {
	t := strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		if r == '−' {
			return '-'
		}
		return r
	}, s)
	if i := strings.IndexByte(t, ','); i >= 0 {
		if strings.ContainsAny(t[i+1:], ",.") || strings.ContainsRune(t[:i], '.') {
			return "", fmt.Errorf("%s is not a number; one such as 7.9 is expected", shorten(s))
		}
		if len(t)-i == 4 && strings.Trim(t[:i], "-0") != "" {
			return "", fmt.Errorf("%s could be %s or %s: write it without the comma", shorten(s), t[:i]+t[i+1:], t[:i]+"."+t[i+1:])
		}
		t = t[:i] + "." + t[i+1:]
	}
	t = strings.TrimSuffix(strings.TrimPrefix(t, "+"), ".")
	if strings.HasPrefix(t, ".") {
		t = "0" + t
	}
	if strings.HasPrefix(t, "-.") {
		t = "-0" + t[1:]
	}
	if !plainNumber(t) {
		return "", fmt.Errorf("%s is not a number; one such as 7.9 is expected", shorten(s))
	}
	return t, nil
}

// plainNumber accepts digits with at most one point and a sign.
func plainNumber(t string) bool {
	whole, rest, point := strings.Cut(strings.TrimPrefix(t, "-"), ".")
	digits := func(s string) bool {
		return s != "" && strings.Trim(s, "0123456789") == ""
	}
	return len(t) <= 30 && digits(whole) && (!point || digits(rest))
}

// shorten quotes what was typed, cut to what a sentence can carry.
func shorten(s string) string {
	if r := []rune(s); len(r) > 30 {
		s = string(r[:30]) + "…"
	}
	return "“" + s + "”"
}

// momentOf reads a day and a clock time in the tank's zone.
func momentOf(day, clock string, zone *time.Location) (time.Time, error) {
	d, err := time.ParseInLocation("2006-01-02", strings.TrimSpace(day), zone)
	if err != nil {
		return d, fmt.Errorf("%s is not a day; one such as 2026-03-31 is expected", shorten(day))
	}
	clock = strings.TrimSpace(clock)
	if clock == "" {
		clock = "12:00"
	}
	layout := "2006-01-02 15:04"
	if strings.Count(clock, ":") == 2 {
		layout += ":05"
	}
	t, err := time.ParseInLocation(layout, d.Format("2006-01-02")+" "+clock, zone)
	if err != nil {
		return t, fmt.Errorf("%s is not a time of day; one such as 08:30 is expected", shorten(clock))
	}
	return t, nil
}

// Open tells whether folded rows hold something to be seen.
func (f field) Open() bool {
	for _, r := range f.Rows {
		if r.Value != "" || r.Error != "" {
			return true
		}
	}
	return f.Error != "" || !f.Folded
}

// RowQuantity is the name of the hidden input that says what a row is about.
func (f field) RowQuantity() string { return strings.TrimSuffix(f.Name, "value") + "quantity" }
