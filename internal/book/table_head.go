package book

import (
	"errors"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// The columns of a table of readings.
var (
	columnsNeeded = []string{"time", "tank", "quantity", "value", "unit"}
	columnsKnown  = []string{"time", "tank", "quantity", "value", "unit", "instrument", "note"}
)

const headWanted = "expected time,tank,quantity,value,unit and optionally instrument,note, parted by commas, semicolons or tabs"

// open finds the separator and the columns: place of each name, -1 when absent.
func (t *table) open() (number int, place map[string]int, err error) {
	p, err := t.firstLine()
	if err != nil {
		return p.number, nil, err
	}
	if !utf8.ValidString(p.text) || strings.ContainsRune(p.text, 0) {
		return p.number, nil, faultf("", "the table is not UTF-8 text; save it as CSV in UTF-8")
	}
	for _, c := range []byte{',', ';', '\t'} {
		names, open := split(p.text, c)
		if open || !slices.ContainsFunc(names, func(n string) bool { return Key(n) == "time" }) || len(names) < 2 {
			continue
		}
		t.separator = c
		place, err = columnsOf(names)
		return p.number, place, err
	}
	return p.number, nil, faultf("", "the first line %q is not the header of a table of readings; %s", clip(p.text), headWanted)
}

// firstLine passes over blank lines and the "sep=;" that some spreadsheets write.
func (t *table) firstLine() (physical, error) {
	for {
		p, err := t.pull()
		switch {
		case errors.Is(err, io.EOF):
			return physical{number: 1}, faultf("", "the table is empty; %s", headWanted)
		case err != nil:
			return p, err
		case p.err != nil:
			return p, p.err
		}
		line := strings.TrimSpace(p.text)
		if line != "" && !(len(line) == 5 && strings.HasPrefix(strings.ToLower(line), "sep=")) {
			return p, nil
		}
	}
}

func columnsOf(names []string) (map[string]int, error) {
	place := make(map[string]int, len(names))
	for i, n := range names {
		k := Key(n)
		if k == "" && strings.Join(names[i:], "") == "" {
			break // separators at the end of the line
		}
		if !slices.Contains(columnsKnown, k) {
			return nil, faultf(k, "column %q is not known; %s", clip(n), headWanted)
		}
		if _, twice := place[k]; twice {
			return nil, faultf(k, "column %q is there twice", clip(n))
		}
		place[k] = i
	}
	for _, k := range columnsNeeded {
		if _, ok := place[k]; !ok {
			return nil, faultf(k, "column %q is missing; %s", k, headWanted)
		}
	}
	return place, nil
}
