package book

import (
	"errors"
	"io"
	"strings"
)

// table reads the records of a table of separated values (RFC 4180), with the
// separator it is told. A quoted field may run over several lines.
type table struct {
	lines     *textLines
	separator byte
	ahead     []physical // lines read ahead
	used      int        // of them
}

// physical is a line as it stands in the file.
type physical struct {
	number int
	text   string
	err    error // errLongLine in place of its text
}

// A quoted field may run over so many lines and bytes, so that one stray quote
// does not swallow the rest of the file.
const (
	quoteLines = 30
	quoteBytes = 64 << 10
)

func (t *table) pull() (physical, error) {
	p, err := t.peek(0)
	if err != nil {
		return p, err
	}
	if t.used++; t.used == len(t.ahead) {
		t.ahead, t.used = t.ahead[:0], 0
	}
	return p, nil
}

// peek looks at the line that lies n lines ahead, without using it.
func (t *table) peek(n int) (physical, error) {
	for t.used+n >= len(t.ahead) {
		text, err := t.lines.next()
		if err != nil && !errors.Is(err, errLongLine) {
			return physical{}, err
		}
		t.ahead = append(t.ahead, physical{t.lines.number, string(text), err})
	}
	return t.ahead[t.used+n], nil
}

// record gives the next record that is not blank, with the number of its first
// line. A *Fault spoils the record only, io.EOF is the end.
func (t *table) record() (number int, fields []string, err error) {
	for {
		p, err := t.pull()
		switch {
		case err != nil:
			return 0, nil, err
		case p.err != nil:
			return p.number, nil, p.err
		case strings.TrimSpace(p.text) == "":
			continue
		}
		fields, open := split(p.text, t.separator)
		if open {
			fields, err = t.runOn(p.text)
		}
		return p.number, fields, err
	}
}

// runOn joins lines until the quote is closed; if it never is, they stay to be
// read one by one.
func (t *table) runOn(text string) ([]string, error) {
	for n := range quoteLines {
		p, err := t.peek(n)
		if err != nil && !errors.Is(err, io.EOF) {
			return nil, err
		}
		if err != nil || p.err != nil || len(text)+len(p.text) > quoteBytes {
			break
		}
		text += "\n" + p.text
		if fields, open := split(text, t.separator); !open {
			t.used += n + 1
			return fields, nil
		}
	}
	return nil, faultf("", "a quote is opened here and never closed")
}

// split parts a record into its fields; open says that a quote is not closed.
func split(text string, separator byte) (fields []string, open bool) {
	for {
		text = strings.TrimLeft(text, " ")
		var field string
		if strings.HasPrefix(text, `"`) {
			field, text, open = quoted(text[1:])
			if open {
				return fields, true
			}
		}
		rest := ""
		end := strings.IndexByte(text, separator)
		if end < 0 {
			rest, text = text, ""
		} else {
			rest, text = text[:end], text[end+1:]
		}
		fields = append(fields, field+strings.TrimRight(rest, " \t"))
		if end < 0 {
			return fields, false
		}
	}
}

// quoted reads to the closing quote; two quotes stand for one.
func quoted(text string) (field, rest string, open bool) {
	for {
		end := strings.IndexByte(text, '"')
		if end < 0 {
			return "", "", true
		}
		field += text[:end]
		text = text[end+1:]
		if !strings.HasPrefix(text, `"`) {
			return field, text, false
		}
		field += `"`
		text = text[1:]
	}
}
