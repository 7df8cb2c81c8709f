package book

import (
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// Ahead is how far a line's time may lie in the future: enough for a phone
// whose clock or zone is off, too little for a mistyped year.
const Ahead = 24 * time.Hour

// AheadImported is the same for an import: a log planned ahead, rehearsed, or kept
// on a machine whose calendar differs is taken, and what lies ahead is counted in
// the report and bears on nothing before its time.
const AheadImported = 366 * 24 * time.Hour

// earliest is the first moment a line may speak of.
var earliest = time.Unix(0, 0).UTC()

// nameLength bounds names, so that one cannot drown a page.
const nameLength = 200

// Validate says in one sentence what makes the line impossible, as an error of
// type *Fault, or nil. What depends on other lines (that the tank is declared,
// that a replaced line exists) and on the clock is not looked at here.
func Validate(l Line) error {
	return new(validator).line(&l)
}

// ValidateAt is Validate, and refuses a time before 1970 or more than a day after now.
func ValidateAt(l Line, now time.Time) error {
	v := validator{now: now, ahead: Ahead}
	return v.line(&l)
}

// validator checks lines and remembers which units fit, so that a long import
// looks each pair up once.
type validator struct {
	now   time.Time // zero: times are not compared with the clock
	ahead time.Duration
	fault *Fault
	fits  map[[2]string]fit
	zones map[string]bool
}

func (v *validator) fail(field, format string, args ...any) {
	if v.fault == nil {
		v.fault = faultf(field, format, args...)
	}
}

func (v *validator) line(l *Line) error {
	v.fault = nil
	v.common(l)
	body, known := newBody(l.Kind)
	switch {
	case !known:
		v.fail("kind", "kind %q is not known; expected one of %s", clip(string(l.Kind)), kindList())
	case (body == nil) != (l.Body == nil) || l.Body != nil && l.Body.kind() != l.Kind:
		v.fail("kind", "a %s line does not hold what its kind says", l.Kind)
	case l.Body != nil:
		v.body(l.Body)
	}
	v.extras(l)
	if v.fault != nil {
		return v.fault
	}
	return nil
}

func (v *validator) common(l *Line) {
	v.time("at", l.At)
	if !v.now.IsZero() {
		v.clock(l.At)
	}
	if l.Kind.needsTank() {
		v.required("tank", l.Tank)
	}
	v.name("tank", l.Tank)
	v.name("by", l.By)
	v.prose("note", l.Note)
	v.identity("id", l.ID)
	v.identity("replaces", l.Replaces)
	switch {
	case l.Kind == KindVoid && l.Replaces == "":
		v.fail("replaces", "replaces is missing; a void line names the id of the line it retracts")
	case l.Kind == KindNote && strings.TrimSpace(l.Note) == "":
		v.fail("note", "note is missing; a note line says something")
	case l.Replaces != "" && l.Replaces == l.ID:
		v.fail("replaces", "replaces %q is the line's own id; expected that of an earlier line", clip(l.Replaces))
	}
}

// time refuses what RFC 3339 cannot write or the store cannot order.
func (v *validator) time(field string, t time.Time) {
	if y := t.Year(); y < 1678 || y > 2261 {
		v.fail(field, "%s %s is out of range; expected a year from 1970 on", field, t.Format(time.DateOnly))
	}
}

func (v *validator) clock(t time.Time) {
	switch {
	case t.Before(earliest):
		v.fail("at", "at %s is before 1970; expected when it happened", t.Format(time.RFC3339))
	case t.After(v.now.Add(v.ahead)):
		allowed := "a day"
		if v.ahead > Ahead {
			allowed = "a year"
		}
		v.fail("at", "at %s lies in the future; expected a time not more than %s after now, %s",
			t.Format(time.RFC3339), allowed, v.now.In(t.Location()).Format(time.RFC3339))
	}
}

func (v *validator) required(field, text string) {
	if strings.TrimSpace(text) == "" {
		v.fail(field, "%s is missing", field)
	}
}

// name checks a short text of one line.
func (v *validator) name(field, text string) {
	if len(text) > nameLength && utf8.RuneCountInString(text) > nameLength {
		v.fail(field, "%s %q is too long; expected at most %d characters", field, clip(text), nameLength)
	}
	if strings.IndexFunc(text, unicode.IsControl) >= 0 {
		v.fail(field, "%s %q holds a control character; expected plain text on one line", field, clip(text))
	}
	v.utf8(field, text)
}

func (v *validator) prose(field, text string) { v.utf8(field, text) }

func (v *validator) utf8(field, text string) {
	if !utf8.ValidString(text) {
		v.fail(field, "%s is not valid UTF-8 text", field)
	}
}

func (v *validator) named(field, text string) {
	v.required(field, text)
	v.name(field, text)
}

// identity takes any id of visible ASCII characters, though lines made here
// always have a UUID: what another program wrote need not.
func (v *validator) identity(field, id string) {
	if len(id) > 64 {
		v.fail(field, "%s %q is too long; expected a UUID", field, clip(id))
	}
	for i := range len(id) {
		if id[i] <= ' ' || id[i] > '~' {
			v.fail(field, "%s %q holds a space or an unusual character; expected a UUID", field, clip(id))
		}
	}
}

func (v *validator) oneOf(field, text string, allowed ...string) {
	if text == "" {
		return
	}
	k := Key(text)
	for _, a := range allowed {
		if k == a {
			return
		}
	}
	v.fail(field, "%s %q is not known; expected %s", field, clip(text), orList(allowed))
}

func orList(names []string) string {
	last := len(names) - 1
	if last < 1 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:last], ", ") + " or " + names[last]
}

// extras makes sure that what is kept aside can be written again.
func (v *validator) extras(l *Line) {
	for name, raw := range l.Extra {
		if !checkedRaw(raw) || !utf8.Valid(raw) || !utf8.ValidString(name) {
			v.fail(name, "%s is not a JSON value", clip(name))
		}
	}
}
