package supply

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/internal/substance"
	"driftline/units"
)

// worker holds a shelf while it is reckoned.
type worker struct {
	f     *book.Facts
	asOf  time.Time
	loc   *time.Location
	today time.Time // midnight at the shelf
	jars  []*jar
	byKey map[string]*jar
	known map[string]*substance.Substance // nil for what nothing is known of
}

// jar is one thing on the shelf while it is reckoned. Amounts are in unit.
type jar struct {
	name, unit, shown string
	absent            bool // used, and never written on the shelf
	stuff             *substance.Substance
	lines             []stocked
	since             time.Time // of the last count, or of the first line where there was none
	counted           bool
	count, added      float64
	used, squares     float64            // taken since, and the sum of squares of what was weighed
	parts             map[string]float64 // of used, what shares a standing error, by its cause
	doubt             map[string]float64 // the relative error of each cause
	hands             map[string]*hand   // hand work by tank
	streams           []stream
	made              made
	notes             []string
}

// stocked is a stock line.
type stocked struct {
	line      string
	at        time.Time
	grams, mL float64
	body      *book.Stock
}

// made is what was made up into solutions in the window.
type made struct{ sum, squares float64 }

func newWorker(f *book.Facts, asOf time.Time) *worker {
	w := &worker{f: f, asOf: asOf, loc: time.UTC, byKey: map[string]*jar{}, known: map[string]*substance.Substance{}}
	if len(f.Tanks) > 0 && f.Tanks[0].Location != nil {
		w.loc = f.Tanks[0].Location
	}
	y, m, d := asOf.In(w.loc).Date()
	w.today = time.Date(y, m, d, 0, 0, 0, 0, w.loc)
	return w
}

// dayOf counts the calendar days from today; yesterday is -1.
func (w *worker) dayOf(t time.Time) int {
	y, m, d := t.In(w.loc).Date()
	ty, tm, td := w.today.Date()
	return int(math.Round(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Sub(time.Date(ty, tm, td, 0, 0, 0, 0, time.UTC)).Hours() / 24))
}

// dateOf is the day so many days from today.
func (w *worker) dateOf(days int) time.Time { return w.today.AddDate(0, 0, days) }

// find is what is known of a substance as declared at a time; nil for nothing.
func (w *worker) find(name string, at time.Time) *substance.Substance {
	key := book.Key(name)
	if declared, ok := w.f.SubstanceAt(name, at); ok {
		key += "|" + declared.Name + "|" + declared.Formula + "|" + string(declared.GramsPerLitre)
	}
	if s, ok := w.known[key]; ok {
		return s
	}
	var found *substance.Substance
	if s, err := substance.Find(w.f, name, at); err == nil {
		found = &s
	}
	w.known[key] = found
	return found
}

// key is what a name is shelved under: a declared or built-in substance has one
// key for all its names.
func (w *worker) key(name string) string {
	if s := w.find(name, w.asOf); s != nil {
		return book.Key(s.Name)
	}
	return book.Key(name)
}

// stock reads the stock lines: each name's last count and what came after it.
func (w *worker) stock() {
	for i := range w.f.Stock {
		l := &w.f.Stock[i]
		b, ok := l.Body.(*book.Stock)
		grams, mL, measured := amountOf(b.Amount, b.Unit)
		if !ok || !measured || l.At.After(w.asOf) {
			continue
		}
		j := w.jarOf(b.Substance)
		j.name = strings.TrimSpace(b.Substance)
		j.lines = append(j.lines, stocked{l.ID, l.At, grams, mL, b})
	}
	for _, j := range w.jars {
		w.open(j)
	}
}

// jarOf finds or makes the jar of a name.
func (w *worker) jarOf(name string) *jar {
	key := w.key(name)
	if j, ok := w.byKey[key]; ok {
		return j
	}
	j := &jar{name: strings.TrimSpace(name), stuff: w.find(name, w.asOf), parts: map[string]float64{}, doubt: map[string]float64{}, hands: map[string]*hand{}}
	w.byKey[key] = j
	w.jars = append(w.jars, j)
	return j
}

// open settles what a jar is measured in and what its lines say of it.
func (w *worker) open(j *jar) {
	last := len(j.lines) - 1
	first := 0
	for i := last; i >= 0; i-- {
		if !j.lines[i].body.Added {
			first, last, j.counted = i, i, true
			break
		}
	}
	j.unit, j.shown = baseOf(j.lines[last].body.Unit)
	j.since = j.lines[first].at
	for i, l := range j.lines[first:] {
		amount := l.grams
		base, shown := baseOf(l.body.Unit)
		if base == "mL" {
			amount = l.mL
		}
		if base != j.unit {
			j.note("The %s %s that came on %s are not counted: it is kept by the %s, and its density is not known.", l.body.Amount, l.body.Unit,
				l.at.In(w.loc).Format("2 January"), j.unit)
			continue
		}
		j.shown = shown
		if i == 0 && j.counted {
			j.count = amount
		} else {
			j.added += amount
		}
	}
}

// baseOf is g or mL, and the unit as it is spelled.
func baseOf(unit string) (base, shown string) {
	if u, err := units.ParseMassUnit(unit); err == nil {
		return "g", u
	}
	u, _ := units.ParseVolumeUnit(unit)
	return "mL", u
}

// amountOf reads an amount as grams or as millilitres.
func amountOf(n book.Number, unit string) (grams, mL float64, ok bool) {
	v, ok := n.Float()
	if !ok || v < 0 {
		return 0, 0, false
	}
	return measured(v, unit)
}

func measured(v float64, unit string) (grams, mL float64, ok bool) {
	if g, err := units.Grams(v, unit); err == nil {
		return g, 0, true
	}
	if l, err := units.Litres(v, unit); err == nil {
		return 0, l * 1000, true
	}
	return 0, 0, false
}

// taken is an amount that goes from a jar.
type taken struct {
	jar    *jar
	amount float64
}

// takes says which jars a dose goes from: the one of its name; else, for a salt
// under another name, a blend or a solution made up at home, the solids it is
// made of. Nothing on the shelf gives a jar that is absent from it.
func (w *worker) takes(name string, grams, mL float64, at time.Time) []taken {
	if strings.TrimSpace(name) == "" || !(grams+mL > 0) {
		return nil
	}
	s := w.find(name, at)
	if j, ok := w.byKey[w.key(name)]; ok && !j.absent {
		return w.fromJar(j, s, grams, mL)
	}
	if out := w.fromSolids(s, grams, mL); out != nil {
		return out
	}
	unit := "g"
	if mL > 0 {
		unit = "mL"
	}
	return w.fromJar(w.missing(name, unit), s, grams, mL)
}

func (w *worker) fromJar(j *jar, s *substance.Substance, grams, mL float64) []taken {
	powder := s != nil && s.Name == substance.Limewater && s.PerLitre > 0 // by the gram it means the powder
	switch {
	case j.unit == "g" && grams > 0:
		return []taken{{j, grams}}
	case j.unit == "mL" && mL > 0:
		return []taken{{j, mL}}
	case j.unit == "g" && powder:
		return []taken{{j, mL * s.PerLitre / 1000}}
	}
	given, kept := "weight", "volume"
	if mL > 0 {
		given, kept = kept, given
	}
	j.note("It is given by %s and counted by %s, and its density is not known: what is given is not taken off. Count it by %[1]s.", given, kept)
	return []taken{}
}

// fromSolids takes what a solution or a blend is made of from the solids on the
// shelf, as they are weighed. Nil when none of them is there.
func (w *worker) fromSolids(s *substance.Substance, grams, mL float64) []taken {
	if s == nil || len(s.Parts) == 0 {
		return nil
	}
	if s.Form == substance.Solution {
		if mL > 0 {
			grams = mL * s.PerLitre / 1000
		} else if s.Name != substance.Limewater {
			return nil
		}
	}
	if !(grams > 0) {
		return nil
	}
	any := slices.ContainsFunc(s.Parts, func(p substance.Part) bool { return w.solid(p) != nil })
	if !any {
		return nil
	}
	var out []taken
	for _, p := range s.Parts {
		j := w.solid(p)
		if j == nil {
			j = w.missing(p.Name, "g")
		}
		out = append(out, taken{j, grams * p.Fraction})
	}
	return out
}

// missing is the jar of what is used and was never written on the shelf.
func (w *worker) missing(name, unit string) *jar {
	j := w.jarOf(name)
	if j.unit == "" {
		j.absent, j.unit, j.shown, j.since = true, unit, unit, w.asOf
	}
	return j
}

// note keeps a remark once.
func (j *jar) note(format string, args ...any) {
	if text := fmt.Sprintf(format, args...); !slices.Contains(j.notes, text) {
		j.notes = append(j.notes, text)
	}
}

// solid is the jar on the shelf that holds a salt by the gram, whatever it is
// called there.
func (w *worker) solid(p substance.Part) *jar {
	for _, j := range w.jars {
		s := j.stuff
		if !j.absent && j.unit == "g" && s != nil && s.Form == substance.Solid && len(s.Parts) == 1 &&
			math.Abs(s.Parts[0].Formula.MolarMass()-p.Formula.MolarMass()) < 1e-6 {
			return j
		}
	}
	return nil
}

// saltPerLitre is what a sea salt usually takes for a litre of salinity 35, in g;
// common practice, no source.
const saltPerLitre = 37.0

// saltDoubt is how far that may be off for a salt that nobody has said it of.
const saltDoubt, saidSaltDoubt = 0.05, 0.02

// salts says which salt a water change takes and how much: its mix's salt, or
// what is shelved under the mix's own name.
func (w *worker) salts(litres float64, mix string, at time.Time) []taken {
	m, ok := w.f.MixAt(mix, at)
	if !ok || !(litres > 0) {
		return nil
	}
	name := strings.TrimSpace(m.Salt)
	if name == "" {
		if j, shelved := w.byKey[w.key(m.Name)]; !shelved || j.absent {
			return nil
		}
		name = m.Name
	}
	per, doubt := SaltPerLitre(w.f, name)
	out := w.takes(name, litres*per*salinityOf(m)/35, 0, at)
	for _, t := range out {
		t.jar.doubt["salt"] = doubt
	}
	return out
}

// SaltOf is the salt that a mix is made with as it is shelved: the one it names,
// else its own name where that stands on the shelf.
func SaltOf(f *book.Facts, mix string) string {
	m, ok := f.MixAt(mix, f.AsOf)
	if !ok {
		return ""
	}
	if salt := strings.TrimSpace(m.Salt); salt != "" {
		return salt
	}
	for i := range f.Stock {
		if b, ok := f.Stock[i].Body.(*book.Stock); ok && book.Key(b.Substance) == book.Key(m.Name) {
			return m.Name
		}
	}
	return ""
}

// SaltPerLitre is how many grams of a salt make a litre of salinity 35: the
// keeper's preference "salt a litre of NAME", such as "38 g", else the usual.
func SaltPerLitre(f *book.Facts, salt string) (grams, doubt float64) {
	text := strings.TrimSpace(f.Preferences[book.Key("salt a litre of "+salt)])
	figure := strings.TrimSpace(strings.TrimSuffix(text, "g"))
	if v, ok := book.Number(figure).Float(); ok && v > 20 && v < 60 {
		return v, saidSaltDoubt
	}
	return saltPerLitre, saltDoubt
}

// salinityOf is the salinity a mix is made up to, 35 when it does not say.
func salinityOf(m *book.Mix) float64 {
	for _, c := range m.Composition {
		q, err := units.ParseQuantity(c.Quantity)
		v, ok := c.Value.Float()
		if err != nil || q != units.Salinity || !ok {
			continue
		}
		if sp, err := units.Convert(q, v, c.Unit, "PSU"); err == nil && sp > 0 && sp < 50 {
			return sp
		}
	}
	return 35
}

// weighing is the share by which a weighed or measured amount may be off.
const weighing = standing.DoseDoubt
