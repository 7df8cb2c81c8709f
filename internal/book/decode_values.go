package book

import (
	"encoding/json"
	"slices"
	"time"
)

func (d *decoder) fail(field, format string, args ...any) {
	if d.err == nil {
		d.err = faultf(field, format, args...)
	}
}

// take finds a field that the line gives. An explicit null counts as absent,
// yet its spelling is kept.
func (d *decoder) take(name string) ([]byte, bool) {
	for i := range d.p.members {
		m := &d.p.members[i]
		if m.name != name {
			continue
		}
		m.taken = true
		if string(m.raw) == "null" {
			d.spelled(name, m.raw)
			return nil, false
		}
		return m.raw, true
	}
	return nil, false
}

// spelled keeps the text of a known field that would else leave differently.
func (d *decoder) spelled(name string, raw []byte) {
	if d.extra == nil {
		d.extra = make(map[string]json.RawMessage)
	}
	d.extra[name] = appendCompact(nil, raw)
}

// rest is what has been kept aside, with every field that nobody took.
func (d *decoder) rest() map[string]json.RawMessage {
	for _, m := range d.p.members {
		if !m.taken {
			d.spelled(m.name, m.raw)
		}
	}
	return d.extra
}

// unshared unquotes a text that is unlikely to come again.
func (p *Parser) unshared(raw []byte) (string, error) {
	if body := raw[1 : len(raw)-1]; !escaped(body) {
		return string(body), nil
	}
	text, err := unquote(raw)
	return string(text), err
}

func (d *decoder) string(name string, raw []byte, read func(*Parser, []byte) (string, error)) (string, bool) {
	if raw[0] != '"' {
		d.fail(name, "%s is %s; expected text in quotes", name, clip(string(raw)))
		return "", false
	}
	text, err := read(d.p, raw)
	if err != nil {
		d.fail(name, "%s %v", name, err)
	}
	return text, err == nil
}

func (d *decoder) text(name string, p *string) { d.quoted(name, p, (*Parser).unquoted) }

func (d *decoder) identity(name string, p *string) { d.quoted(name, p, (*Parser).unshared) }

func (d *decoder) quoted(name string, p *string, read func(*Parser, []byte) (string, error)) {
	raw, ok := d.take(name)
	if !ok {
		return
	}
	if *p, ok = d.string(name, raw, read); ok && *p == "" {
		d.spelled(name, raw)
	}
}

func (d *decoder) number(name string, p *Number) {
	raw, ok := d.take(name)
	if !ok {
		return
	}
	if raw[0] != '-' && (raw[0] < '0' || raw[0] > '9') {
		d.fail(name, "%s is %s; expected a number, without quotes and with a decimal point", name, clip(string(raw)))
		return
	}
	*p = Number(d.p.word(raw))
}

func (d *decoder) flag(name string, p *bool) {
	raw, ok := d.take(name)
	switch {
	case !ok:
	case string(raw) == "true":
		*p = true
	case string(raw) == "false":
		d.spelled(name, raw)
	default:
		d.fail(name, "%s is %s; expected true or false", name, clip(string(raw)))
	}
}

// moment reads a time with offset; a day alone means its start in UTC.
func (d *decoder) moment(name string, p **time.Time) {
	raw, ok := d.take(name)
	if !ok {
		return
	}
	text, ok := d.string(name, raw, (*Parser).unshared)
	if !ok {
		return
	}
	t, ok := parseMoment(text)
	if !ok {
		if t, ok = parseDay(text); ok {
			d.spelled(name, raw)
		}
	}
	if !ok {
		d.fail(name, "%s %q is not a time with its offset; expected such as 2026-03-01T19:30:00+01:00", name, clip(text))
		return
	}
	*p = &t
}

// parts reads a list of constituents.
func (d *decoder) parts(name string, p *[]Contained) {
	d.objects(name, `{"quantity":…,"value":…,"unit":…}`, func(inner *decoder) {
		var c Contained
		c.fields(inner)
		*p = append(*p, c)
	})
	*p = slices.Clip(*p)
}

// steps reads the doses and tests of a plan.
func (d *decoder) steps(name string, p *[]Step) {
	d.objects(name, `{"at":…,"amount":…,"unit":…}`, func(inner *decoder) {
		var s Step
		s.fields(inner)
		*p = append(*p, s)
	})
	*p = slices.Clip(*p)
}

func (d *decoder) stopRules(name string, p *[]StopRule) {
	d.objects(name, `{"sign":…,"is":…,"value":…}`, func(inner *decoder) {
		var r StopRule
		r.fields(inner)
		*p = append(*p, r)
	})
	*p = slices.Clip(*p)
}

func (d *decoder) phases(name string, p *[]Phase) {
	d.objects(name, `{"from":…,"until":…}`, func(inner *decoder) {
		var r Phase
		r.fields(inner)
		*p = append(*p, r)
	})
	*p = slices.Clip(*p)
}

func (d *decoder) outcomes(name string, p *[]Outcome) {
	d.objects(name, `{"what":…,"of":…,"hoped":…}`, func(inner *decoder) {
		var r Outcome
		r.fields(inner)
		*p = append(*p, r)
	})
	*p = slices.Clip(*p)
}

// objects reads a list of objects, each with the fields that read walks over.
// A list that holds fields not known here is kept as spelled.
func (d *decoder) objects(name, shape string, read func(*decoder)) {
	raw, ok := d.take(name)
	if !ok {
		return
	}
	if raw[0] != '[' {
		d.fail(name, "%s is %s; expected a list in square brackets", name, clip(string(raw)))
		return
	}
	plain, count := true, 0
	s := scanner{buf: raw}
	err := s.array(1, func(item []byte) error {
		inner := Parser{words: d.p.words}
		if item[0] != '{' {
			return faultf(name, "%s holds %s; expected %s", name, clip(string(item)), shape)
		}
		if err := inner.split(item); err != nil {
			return err
		}
		of := decoder{p: &inner}
		read(&of)
		count++
		plain = plain && len(of.rest()) == 0
		return of.err
	})
	if err != nil {
		d.fail(fieldOf(err), "%v", err)
	}
	if !plain || count == 0 {
		d.spelled(name, raw)
	}
}

// texts reads a list of short texts.
func (d *decoder) texts(name string, p *[]string) {
	raw, ok := d.take(name)
	if !ok {
		return
	}
	if raw[0] != '[' {
		d.fail(name, "%s is %s; expected a list of texts in square brackets", name, clip(string(raw)))
		return
	}
	s := scanner{buf: raw}
	err := s.array(1, func(item []byte) error {
		text, ok := d.string(name, item, (*Parser).unquoted)
		if ok {
			*p = append(*p, text)
		}
		return d.err
	})
	if err != nil {
		d.fail(name, "%v", err)
	}
	if len(*p) == 0 {
		d.spelled(name, raw)
	}
}

func (d *decoder) raw(name string, p *json.RawMessage) {
	if raw, ok := d.take(name); ok {
		*p = appendCompact(nil, raw)
	}
}

func (d *decoder) bag(name string, p *map[string]json.RawMessage) {
	raw, ok := d.take(name)
	if !ok {
		return
	}
	if raw[0] != '{' {
		d.fail(name, "%s is %s; expected an object in braces", name, clip(string(raw)))
		return
	}
	inner := Parser{words: d.p.words}
	if err := inner.split(raw); err != nil {
		d.fail(name, "%s: %v", name, err)
		return
	}
	if *p = (&decoder{p: &inner}).rest(); *p == nil {
		d.spelled(name, raw)
	}
}
