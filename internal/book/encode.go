package book

import (
	"encoding/json"
	"slices"
	"time"
)

// MarshalJSON writes the line with its fields in a fixed order.
func (l Line) MarshalJSON() ([]byte, error) { return AppendJSON(nil, l) }

// AppendJSON adds the line's JSON to dst: kind, at and tank first, then what
// the kind says, then the other common fields, then unknown ones by name.
func AppendJSON(dst []byte, l Line) ([]byte, error) {
	return appendLine(dst, l, true)
}

func appendLine(dst []byte, l Line, withID bool) ([]byte, error) {
	e := encoder{out: append(dst, '{'), extra: l.Extra}
	kind := string(l.Kind)
	e.text("kind", &kind)
	e.name("at")
	e.out = append(e.out, '"')
	e.out = append(appendMoment(e.out, l.At), '"')
	e.text("tank", &l.Tank)
	if l.Body != nil {
		l.Body.fields(&e)
	}
	e.text("by", &l.By)
	e.text("note", &l.Note)
	e.text("replaces", &l.Replaces)
	if withID {
		e.text("id", &l.ID)
	}
	e.unknown()
	return append(e.out, '}'), e.err
}

// encoder writes the fields it is walked over.
type encoder struct {
	out   []byte
	extra map[string]json.RawMessage
	seen  []string // names walked over, kept only when there is an extra
	count int
	err   error
}

func (e *encoder) name(name string) {
	if e.count > 0 {
		e.out = append(e.out, ',')
	}
	e.count++
	e.out = append(appendText(e.out, name), ':')
}

// spelled is the kept spelling of a known field, if there is one. It is used
// only while it still says what the field says.
func (e *encoder) spelled(name string, same func(*decoder) bool) bool {
	if len(e.extra) == 0 {
		return false
	}
	e.seen = append(e.seen, name)
	raw, ok := e.extra[name]
	if !ok {
		return false
	}
	d := decoder{p: &Parser{members: []member{{name: name, raw: raw}}}}
	if !checkedRaw(raw) || !same(&d) || d.err != nil {
		return false
	}
	e.name(name)
	e.out = append(e.out, raw...)
	return true
}

func checkedRaw(raw []byte) bool {
	s := scanner{buf: raw}
	return s.value(1) == nil && s.pos == len(raw) && len(raw) > 0
}

func (e *encoder) text(name string, p *string) {
	same := func(d *decoder) bool { var v string; d.text(name, &v); return v == *p }
	if e.spelled(name, same) || *p == "" {
		return
	}
	e.name(name)
	e.out = appendText(e.out, *p)
}

func (e *encoder) number(name string, p *Number) {
	same := func(d *decoder) bool { var v Number; d.number(name, &v); return v == *p }
	if e.spelled(name, same) || *p == "" {
		return
	}
	if !p.valid() {
		e.fail(name, "%s %q is not a number", name, clip(string(*p)))
		return
	}
	e.name(name)
	e.out = append(e.out, *p...)
}

func (e *encoder) fail(field, format string, args ...any) {
	if e.err == nil {
		e.err = faultf(field, format, args...)
	}
}

func (e *encoder) flag(name string, p *bool) {
	same := func(d *decoder) bool { var v bool; d.flag(name, &v); return v == *p }
	if e.spelled(name, same) || !*p {
		return
	}
	e.name(name)
	e.out = append(e.out, "true"...)
}

func (e *encoder) moment(name string, p **time.Time) {
	same := func(d *decoder) bool {
		var v *time.Time
		d.moment(name, &v)
		return v == nil && *p == nil || v != nil && *p != nil && sameMoment(*v, **p)
	}
	if e.spelled(name, same) || *p == nil {
		return
	}
	e.name(name)
	e.out = append(e.out, '"')
	e.out = append(appendMoment(e.out, **p), '"')
}

func (e *encoder) parts(name string, p *[]Contained) {
	same := func(d *decoder) bool { var v []Contained; d.parts(name, &v); return slices.Equal(v, *p) }
	if !e.spelled(name, same) {
		e.objects(name, len(*p), func(i int, inner *encoder) { (*p)[i].fields(inner) })
	}
}

func (e *encoder) steps(name string, p *[]Step) {
	same := func(d *decoder) bool { var v []Step; d.steps(name, &v); return slices.EqualFunc(v, *p, Step.same) }
	if !e.spelled(name, same) {
		e.objects(name, len(*p), func(i int, inner *encoder) { (*p)[i].fields(inner) })
	}
}

func (e *encoder) stopRules(name string, p *[]StopRule) {
	same := func(d *decoder) bool { var v []StopRule; d.stopRules(name, &v); return slices.Equal(v, *p) }
	if !e.spelled(name, same) {
		e.objects(name, len(*p), func(i int, inner *encoder) { (*p)[i].fields(inner) })
	}
}

func (e *encoder) phases(name string, p *[]Phase) {
	same := func(d *decoder) bool { var v []Phase; d.phases(name, &v); return slices.EqualFunc(v, *p, Phase.same) }
	if !e.spelled(name, same) {
		e.objects(name, len(*p), func(i int, inner *encoder) { (*p)[i].fields(inner) })
	}
}

func (e *encoder) outcomes(name string, p *[]Outcome) {
	same := func(d *decoder) bool { var v []Outcome; d.outcomes(name, &v); return slices.Equal(v, *p) }
	if !e.spelled(name, same) {
		e.objects(name, len(*p), func(i int, inner *encoder) { (*p)[i].fields(inner) })
	}
}

// objects writes a list of objects; an empty one is left out.
func (e *encoder) objects(name string, count int, write func(int, *encoder)) {
	if count == 0 {
		return
	}
	e.name(name)
	e.out = append(e.out, '[')
	for i := range count {
		if i > 0 {
			e.out = append(e.out, ',')
		}
		inner := encoder{out: append(e.out, '{')}
		write(i, &inner)
		e.out = append(inner.out, '}')
		if inner.err != nil && e.err == nil {
			e.err = inner.err
		}
	}
	e.out = append(e.out, ']')
}

func (e *encoder) texts(name string, p *[]string) {
	same := func(d *decoder) bool { var v []string; d.texts(name, &v); return slices.Equal(v, *p) }
	if e.spelled(name, same) || len(*p) == 0 {
		return
	}
	e.name(name)
	e.out = append(e.out, '[')
	for i, text := range *p {
		if i > 0 {
			e.out = append(e.out, ',')
		}
		e.out = appendText(e.out, text)
	}
	e.out = append(e.out, ']')
}

func (e *encoder) raw(name string, p *json.RawMessage) {
	same := func(d *decoder) bool { return string(d.p.members[0].raw) == "null" && len(*p) == 0 }
	if e.spelled(name, same) || len(*p) == 0 {
		return
	}
	e.rawMember(name, *p)
}

func (e *encoder) rawMember(name string, raw json.RawMessage) {
	if !checkedRaw(raw) {
		e.fail(name, "%s is not a JSON value", name)
		return
	}
	e.name(name)
	e.out = appendCompact(e.out, raw)
}

func (e *encoder) bag(name string, p *map[string]json.RawMessage) {
	same := func(d *decoder) bool {
		var v map[string]json.RawMessage
		d.bag(name, &v)
		return len(v) == 0 && len(*p) == 0
	}
	if e.spelled(name, same) || len(*p) == 0 {
		return
	}
	e.name(name)
	inner := encoder{out: append(e.out, '{'), extra: *p}
	inner.unknown()
	e.out = append(inner.out, '}')
	if inner.err != nil {
		e.fail(name, "%s: %v", name, inner.err)
	}
}

// unknown writes the fields nobody has walked over, by name.
func (e *encoder) unknown() {
	if len(e.extra) == 0 {
		return
	}
	names := make([]string, 0, len(e.extra))
	for name := range e.extra {
		if !slices.Contains(e.seen, name) && !reserved(name, e.seen) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	for _, name := range names {
		e.rawMember(name, e.extra[name])
	}
}

// reserved keeps a stray extra from doubling a field written outside the walk.
func reserved(name string, seen []string) bool {
	return len(seen) > 0 && (name == "at" || name == "id")
}
