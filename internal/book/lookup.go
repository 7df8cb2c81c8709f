package book

import (
	"slices"
	"time"

	"driftline/units"
)

// Tank finds a tank by any of the names it has had through corrections.
func (f *Facts) Tank(name string) (*TankFacts, bool) {
	key := f.names.resolve(KindTank, name)
	for i := range f.Tanks {
		if Key(f.Tanks[i].Tank.Name) == key {
			return &f.Tanks[i], true
		}
	}
	return nil, false
}

// MixAt is the mix that held at a time: the newest declared by then, else the
// earliest of the name, since a thing is often used before it is written down.
func (f *Facts) MixAt(name string, t time.Time) (*Mix, bool) {
	key := f.names.resolve(KindMix, name)
	return versionAt(f.Mixes, t, func(m *Mix) bool { return Key(m.Name) == key })
}

// SubstanceAt is the substance as declared at a time, by the rule of MixAt.
func (f *Facts) SubstanceAt(name string, t time.Time) (*Substance, bool) {
	key := f.names.resolve(KindSubstance, name)
	return versionAt(f.Substances, t, func(s *Substance) bool { return Key(s.Name) == key })
}

// InstrumentAt is the instrument as declared for a quantity at a time, by the
// rule of MixAt. One name may be declared for several quantities.
func (f *Facts) InstrumentAt(name, quantity string, t time.Time) (*Instrument, bool) {
	key := f.names.resolve(KindInstrument, name)
	q := QuantityKey(quantity)
	return versionAt(f.Instruments, t, func(i *Instrument) bool {
		return Key(i.Name) == key && QuantityKey(i.Quantity) == q
	})
}

func versionAt[T any](versions []Declared[T], t time.Time, is func(T) bool) (found T, ok bool) {
	for i := len(versions) - 1; i >= 0; i-- {
		if !is(versions[i].Body) {
			continue
		}
		found, ok = versions[i].Body, true
		if !versions[i].From.After(t) {
			break
		}
	}
	return found, ok
}

// QuantityKey is the quantity's name in the log's own spelling, so that "alk"
// and "Alkalinity" match; an unknown one is matched as a name.
func QuantityKey(quantity string) string {
	if q, err := units.ParseQuantity(quantity); err == nil {
		return string(q)
	}
	return Key(quantity)
}

// BandFor is the newest band the keeper gave a quantity.
func (t *TankFacts) BandFor(quantity string) (*Band, bool) {
	q := QuantityKey(quantity)
	for i := len(t.Bands) - 1; i >= 0; i-- {
		if QuantityKey(t.Bands[i].Body.Quantity) == q {
			return t.Bands[i].Body, true
		}
	}
	return nil, false
}

// Routine gives every version of a routine, oldest first.
func (t *TankFacts) Routine(name string) []Declared[*Routine] {
	return versionsOf(t.Routines, name, func(r *Routine) string { return r.Name })
}

// RoutinesNow gives the newest version of each routine, in order of first declaration.
func (t *TankFacts) RoutinesNow() []Declared[*Routine] {
	var out []Declared[*Routine]
	for _, d := range t.Routines {
		key := Key(d.Body.Name)
		at := slices.IndexFunc(out, func(o Declared[*Routine]) bool { return Key(o.Body.Name) == key })
		if at < 0 {
			out = append(out, d)
			continue
		}
		out[at] = d
	}
	return out
}

func versionsOf[T any](versions []Declared[T], name string, of func(T) string) []Declared[T] {
	key := Key(name)
	var out []Declared[T]
	for _, d := range versions {
		if Key(of(d.Body)) == key {
			out = append(out, d)
		}
	}
	return out
}

// FoodAt finds the declaration of a food that held at a moment, or the first one.
func (f *Facts) FoodAt(name string, t time.Time) (*Food, bool) {
	key := f.names.resolve(KindFood, name)
	return versionAt(f.Foods, t, func(b *Food) bool { return Key(b.Name) == key })
}
