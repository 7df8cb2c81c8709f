package book

import (
	"encoding/json"
	"errors"
	"strings"
	"time"
	"unicode/utf8"
)

// Parser reads lines and remembers the words it has met, so that a long log
// keeps one copy of each name and unit. It is not safe for concurrent use.
type Parser struct {
	words   map[string]string
	members []member
}

type member struct {
	name  string
	raw   []byte
	taken bool
}

// The parser remembers short words only, and not without end.
const (
	wordLength = 64
	wordCount  = 4096
)

// ParseLine reads one line of the log format. Fields it does not know are kept;
// a known field of a wrong type is an error of type *Fault. Whether the line
// makes sense is for Validate to say.
func ParseLine(text []byte) (Line, error) {
	return new(Parser).Parse(text)
}

// UnmarshalJSON reads a line as ParseLine does.
func (l *Line) UnmarshalJSON(text []byte) error {
	line, err := ParseLine(text)
	if err == nil {
		*l = line
	}
	return err
}

// Parse is ParseLine with the parser's memory. The line keeps nothing of text.
func (p *Parser) Parse(text []byte) (Line, error) {
	if err := p.split(text); err != nil {
		return Line{}, err
	}
	d := decoder{p: p}
	l := d.line()
	if d.err != nil {
		return Line{}, d.err
	}
	l.Extra = d.rest()
	return l, nil
}

// split checks the grammar and finds the members of the object.
func (p *Parser) split(text []byte) error {
	p.members = p.members[:0]
	if !utf8.Valid(text) {
		return faultf("", "the line is not valid UTF-8 text")
	}
	s := scanner{buf: text}
	if s.peek() == '[' {
		return faultf("", "the line begins a JSON array; expected one object a line, with no brackets around and no commas between")
	}
	if s.peek() != '{' {
		return faultf("", "the line is not a JSON object; expected one in braces, such as {\"kind\":\"note\",…}")
	}
	err := s.object(1, p.keep)
	if err == nil && s.peek() != 0 || err == nil && s.pos < len(s.buf) {
		err = s.fail("the end of the line after the closing brace")
	}
	var f *Fault
	if err == nil || errors.As(err, &f) {
		return err
	}
	return faultf("", "the line is not valid JSON: %v", err)
}

// keep stores a member, refusing a name given twice: nobody could say which holds.
func (p *Parser) keep(quoted, raw []byte) error {
	name, err := p.unquoted(quoted)
	if err != nil {
		return faultf("", "a field's name %v", err)
	}
	if len(p.members) >= fieldLimit {
		return faultf("", "the line has more than %d fields", fieldLimit)
	}
	for i := range p.members {
		if p.members[i].name == name {
			return faultf(name, "%s is given twice in one line", clip(name))
		}
	}
	p.members = append(p.members, member{name: name, raw: raw})
	return nil
}

// fieldLimit keeps the search for doubled names short.
const fieldLimit = 1000

func (p *Parser) unquoted(raw []byte) (string, error) {
	body := raw[1 : len(raw)-1]
	if !escaped(body) {
		return p.word(body), nil
	}
	text, err := unquote(raw)
	return string(text), err
}

func escaped(b []byte) bool {
	for _, c := range b {
		if c == '\\' {
			return true
		}
	}
	return false
}

// word gives the remembered copy of a short text.
func (p *Parser) word(b []byte) string {
	if len(b) > wordLength {
		return string(b)
	}
	if w, ok := p.words[string(b)]; ok {
		return w
	}
	w := string(b)
	if p.words == nil {
		p.words = make(map[string]string)
	}
	if len(p.words) < wordCount {
		p.words[w] = w
	}
	return w
}

// decoder fills a line from the members its parser has split.
type decoder struct {
	p     *Parser
	extra map[string]json.RawMessage
	err   error
}

func (d *decoder) line() Line {
	var l Line
	var kind string
	d.text("kind", &kind)
	if d.err == nil && kind == "" {
		d.err = faultf("kind", "kind is missing; expected one of %s", kindList())
	}
	body, known := newBody(Kind(kind))
	if d.err == nil && !known {
		d.err = faultf("kind", "kind %q is not known; expected one of %s", clip(kind), kindList())
	}
	l.Kind, l.Body = Kind(kind), body
	d.at(&l.At)
	d.common(&l)
	if body != nil {
		body.fields(d)
	}
	return l
}

func (d *decoder) common(l *Line) {
	d.text("tank", &l.Tank)
	d.text("by", &l.By)
	d.text("note", &l.Note)
	d.identity("replaces", &l.Replaces)
	d.identity("id", &l.ID)
}

func kindList() string {
	var names []string
	for _, k := range Kinds() {
		names = append(names, string(k))
	}
	return strings.Join(names, ", ")
}

func (d *decoder) at(p *time.Time) {
	raw, ok := d.take("at")
	if !ok {
		d.fail("at", "at is missing; expected when it happened, such as 2026-03-01T19:30:00+01:00")
		return
	}
	text, ok := d.string("at", raw, (*Parser).unshared)
	if !ok {
		return
	}
	t, ok := parseMoment(text)
	if !ok {
		d.fail("at", "at %q is not a time with its offset; expected such as 2026-03-01T19:30:00+01:00", clip(text))
		return
	}
	*p = t
}
