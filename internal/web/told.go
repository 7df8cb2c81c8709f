package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"driftline/internal/book"
)

// told is a line of the log format being made from a form.
type told map[string]any

// tell turns what was typed into a line. What is wrong is marked on the form
// and the line is not to be used.
func tell(f *form, kind book.Kind, tank string, values map[string]string, zone *time.Location) (book.Line, bool) {
	t := told{"kind": string(kind)}
	if tank != "" {
		t["tank"] = tank
	}
	for _, key := range []string{"id", "replaces"} {
		if v := strings.TrimSpace(values[key]); v != "" {
			t[key] = v
		}
	}
	for _, x := range f.Fields {
		t.take(f, x, values, zone)
	}
	if f.Wrong() {
		return book.Line{}, false
	}
	l, err := t.line()
	if err != nil {
		f.fault(err)
		return l, false
	}
	return l, true
}

// take adds one field. Units go along only with the figure they belong to.
func (t told) take(f *form, x field, values map[string]string, zone *time.Location) {
	v := strings.TrimSpace(values[x.Name])
	if x.Number {
		t.takeFigure(f, x, v)
		return
	}
	switch x.Input {
	case "moment":
		at, err := momentOf(values[x.Name+".date"], values[x.Name+".time"], zone)
		t.put(f, x, at.Format(time.RFC3339), err)
	case "day":
		if v != "" {
			at, err := momentOf(v, "00:00", zone)
			t.put(f, x, at.Format(time.RFC3339), err)
		}
	case "tick":
		if v != "" {
			t[x.Name] = true
		}
	case "rows":
		t.takeRows(f, x, values)
	case "loose": // a number when it is one, else a word
		if n, err := figure(v); err == nil {
			t[x.Name] = json.Number(n)
		} else if v != "" {
			t[x.Name] = v
		} else {
			f.wrong(x.Name, strings.ToLower(x.Label)+" is missing")
		}
	case "figure":
		if t.takeFigure(f, x, v) && x.Unit != nil {
			t[x.Unit.Name] = strings.TrimSpace(values[x.Unit.Name])
		}
	default:
		if v == "" && !x.Optional {
			f.wrong(x.Name, strings.ToLower(x.Label)+" is missing")
		} else if v != "" {
			t[x.Name] = v
		}
	}
}

func (t told) put(f *form, x field, v any, err error) {
	if err != nil {
		f.wrong(x.Name, err.Error())
		return
	}
	t[x.Name] = v
}

// takeFigure tells whether there is a figure.
func (t told) takeFigure(f *form, x field, v string) bool {
	if v == "" {
		if !x.Optional {
			f.wrong(x.Name, "a figure is missing here")
		}
		return false
	}
	n, err := figure(v)
	if err != nil {
		f.wrong(x.Name, err.Error())
		return false
	}
	t[x.Name] = json.Number(n)
	return true
}

// takeRows keeps the rows that hold a figure.
func (t told) takeRows(f *form, x field, values map[string]string) {
	var list []told
	for _, row := range x.Rows {
		v := strings.TrimSpace(values[row.Name])
		if v == "" {
			continue
		}
		n, err := figure(v)
		if err != nil {
			f.wrong(row.Name, err.Error())
			continue
		}
		list = append(list, told{"quantity": row.Of, "value": json.Number(n), "unit": values[row.Unit.Name]})
	}
	if len(list) > 0 {
		t[x.Name] = list
	}
}

// line runs the public format's own parser and checks over it.
func (t told) line() (book.Line, error) {
	text, err := json.Marshal(t)
	if err != nil {
		return book.Line{}, fmt.Errorf("the form cannot be written as a line: %w", err)
	}
	l, err := book.ParseLine(text)
	if err != nil {
		return l, err
	}
	return l, book.Validate(l)
}

// fault marks what the book says is wrong.
func (f *form) fault(err error) {
	var fault *book.Fault
	if errors.As(err, &fault) {
		f.wrong(rowOf(f.Fields, fault.Field), fault.Reason)
		return
	}
	f.Error = "This could not be kept: " + err.Error() + "."
}

// rowOf finds the field of a list that a fault such as "composition[2].value" or
// "composition" is about; other names are fields themselves.
func rowOf(fields []field, name string) string {
	list, _, _ := strings.Cut(name, "[")
	for _, f := range fields {
		if f.Input == "rows" && f.Name == list {
			return f.Name
		}
	}
	return name
}

// untold is the reverse: what a line says, as the values of its form.
func untold(l book.Line, zone *time.Location) map[string]string {
	values := map[string]string{"note": l.Note, "tank": l.Tank}
	at := l.At.In(zone)
	values["at.date"], values["at.time"] = at.Format("2006-01-02"), at.Format("15:04:05")
	if at.Second() == 0 {
		values["at.time"] = at.Format("15:04")
	}
	text, err := l.MarshalJSON()
	if err != nil {
		return values
	}
	var fields map[string]json.RawMessage
	if err := json.Unmarshal(text, &fields); err != nil {
		return values
	}
	for name, raw := range fields {
		flatten(values, name, raw, zone)
	}
	return values
}

// flatten writes a value of a line under the names its form uses.
func flatten(values map[string]string, name string, raw json.RawMessage, zone *time.Location) {
	switch {
	case name == "at" || name == "kind" || name == "id" || name == "replaces":
	case raw[0] == '"':
		var s string
		if json.Unmarshal(raw, &s) == nil {
			values[name] = s
		}
		if t, err := time.Parse(time.RFC3339, s); err == nil && (name == "from" || name == "until") {
			values[name] = t.In(zone).Format("2006-01-02")
		}
	case raw[0] == '[':
		var list []map[string]json.RawMessage
		if json.Unmarshal(raw, &list) != nil {
			return
		}
		for i, entry := range list {
			for key, v := range entry {
				flatten(values, fmt.Sprintf("%s.%d.%s", name, i, key), v, zone)
			}
		}
	case raw[0] != '{':
		values[name] = string(raw)
	}
}
