package book

import (
	"slices"
	"strings"
	"time"
)

// Replay says what the log holds as of a moment. Lines may be in any order;
// those of the same moment count in the order given. See inForce for what
// corrections and retractions do.
func Replay(lines []Line, asOf time.Time) *Facts {
	lines = until(inTime(lines), asOf)
	families := newFamilies(lines)
	in := families.inForce()
	r := replay{lines: lines, in: in, facts: &Facts{AsOf: asOf, Preferences: map[string]string{}}}
	r.renames(families)
	r.tanks()
	r.makeRoom()
	for i := range lines {
		if in[i] {
			r.place(i)
		}
	}
	r.facts.names, r.facts.replaced = r.names, families.replacedIDs()
	return r.facts
}

func byTime(a, b Line) int { return a.At.Compare(b.At) }

// until cuts what lies after as-of from lines in order of time.
func until(lines []Line, asOf time.Time) []Line {
	n, _ := slices.BinarySearchFunc(lines, asOf, func(l Line, t time.Time) int {
		if l.At.After(t) {
			return 1
		}
		return -1
	})
	return lines[:n]
}

// replay sorts lines into facts.
type replay struct {
	lines []Line
	in    []bool
	facts *Facts
	names aliases
	index map[string]int // key of a tank's name → place in Facts.Tanks
	met   map[string]int // the same by the name as typed; -1 for one that is not declared
}

// aliases maps a name that a correction has changed to the name it has now.
type aliases map[alias]string

type alias struct {
	kind Kind
	key  string
}

// resolve is the key under which a name is found today.
func (a aliases) resolve(kind Kind, name string) string {
	key := Key(name)
	for range len(a) {
		now, changed := a[alias{kind, key}]
		if !changed {
			break
		}
		key = now
	}
	return key
}

// renames notes where a correction gave a declared thing another name, so that
// lines which still use the old one find it, unless the old name is declared
// on its own as well.
func (r *replay) renames(f *families) {
	r.names = aliases{}
	for i, root := range f.root {
		head := f.head[root]
		old := declaredName(&r.lines[i])
		if head < 0 || i == head || old == "" || r.lines[i].Kind != r.lines[head].Kind {
			continue
		}
		if now := declaredName(&r.lines[head]); now != "" && now != old {
			r.names[alias{r.lines[i].Kind, old}] = now
		}
	}
	if len(r.names) == 0 {
		return
	}
	for i := range r.lines {
		if r.in[i] {
			delete(r.names, alias{r.lines[i].Kind, declaredName(&r.lines[i])})
		}
	}
}

// declaredName is the key of what a line declares for the whole book.
func declaredName(l *Line) string {
	switch b := l.Body.(type) {
	case *Tank:
		return Key(b.Name)
	case *Instrument:
		return Key(b.Name)
	case *Substance:
		return Key(b.Name)
	case *Mix:
		return Key(b.Name)
	case *Food:
		return Key(b.Name)
	}
	return ""
}

// tanks finds the tanks first, since lines may speak of one before its
// declaration's time.
func (r *replay) tanks() {
	r.index, r.met = map[string]int{}, map[string]int{}
	for i := range r.lines {
		b, ok := r.lines[i].Body.(*Tank)
		if !ok || !r.in[i] {
			continue
		}
		key := Key(b.Name)
		at, known := r.index[key]
		if !known {
			at = len(r.facts.Tanks)
			r.index[key] = at
			r.facts.Tanks = append(r.facts.Tanks, TankFacts{Edition: new(Edition)})
		}
		t := &r.facts.Tanks[at]
		t.Tank = *b
		t.Location = location(b.TimeZone)
		t.Declared = append(t.Declared, Declared[*Tank]{r.lines[i].At, r.lines[i].ID, b})
	}
}

// makeRoom counts the lines of each tank first, so that a long log is laid out
// once and with nothing to spare.
func (r *replay) makeRoom() {
	counts := make([]int, len(r.facts.Tanks))
	for i := range r.lines {
		if at, ok := r.tankOf(&r.lines[i]); ok && r.in[i] {
			counts[at]++
		}
	}
	for i, n := range counts {
		r.facts.Tanks[i].Events = make([]Line, 0, n)
	}
}

// tankOf finds the tank that a line is of; most names are spelled as before.
func (r *replay) tankOf(l *Line) (int, bool) {
	if l.Tank == "" {
		return 0, false
	}
	if at, met := r.met[l.Tank]; met {
		return at, at >= 0
	}
	at, ok := r.index[r.names.resolve(KindTank, l.Tank)]
	if !ok {
		at = -1
	}
	r.met[l.Tank] = at
	return at, ok
}

func location(name string) *time.Location {
	if z, ok := zoneNamed(strings.TrimSpace(name)); ok {
		return z
	}
	return time.UTC
}

// place puts a line where it belongs.
func (r *replay) place(i int) {
	l, f := &r.lines[i], r.facts
	switch b := l.Body.(type) {
	case *Tank: // placed before
	case *Instrument:
		f.Instruments = declare(f.Instruments, l, b)
	case *Substance:
		f.Substances = declare(f.Substances, l, b)
	case *Mix:
		f.Mixes = declare(f.Mixes, l, b)
	case *Food:
		f.Foods = declare(f.Foods, l, b)
	case *Stock:
		f.Stock = append(f.Stock, *l)
	case *Absence:
		f.Absences = append(f.Absences, *l)
	case *Preference:
		f.Preferences[Key(b.Name)] = b.Value
	default:
		r.ofTank(l)
	}
}

func declare[T any](to []Declared[T], l *Line, body T) []Declared[T] {
	return append(to, Declared[T]{From: l.At, Line: l.ID, Body: body})
}

func (r *replay) ofTank(l *Line) {
	if l.Tank == "" && l.Kind == KindNote {
		r.facts.Notes = append(r.facts.Notes, *l)
		return
	}
	at, ok := r.tankOf(l)
	if !ok {
		r.facts.Problems = append(r.facts.Problems, Problem{l.ID,
			"the " + string(l.Kind) + " is of tank \"" + clip(l.Tank) + "\", which is not declared"})
		return
	}
	t := &r.facts.Tanks[at]
	switch b := l.Body.(type) {
	case *Band:
		t.Bands = declare(t.Bands, l, b)
	case *Routine:
		t.Routines = declare(t.Routines, l, b)
	case *Equipment:
		t.Equipment = declare(t.Equipment, l, b)
	default:
		t.Events = append(t.Events, *l)
	}
}
