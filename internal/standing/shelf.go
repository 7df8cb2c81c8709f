package standing

import (
	"time"

	"driftline/internal/book"
	"driftline/internal/substance"
	"driftline/units"
)

// shelf looks up what is declared for the whole book: substances, mixes and
// instruments, each as of a time, by any name a correction gave them.
type shelf struct {
	facts       *book.Facts
	substances  map[string][]book.Declared[*book.Substance]
	mixes       map[string][]book.Declared[*book.Mix]
	instruments map[kitKey][]book.Declared[*book.Instrument]
	strengths   map[strengthKey]substance.Gives
}

type kitKey struct {
	name string
	q    units.Quantity
}

type strengthKey struct {
	substance *book.Substance
	name      string
	q         units.Quantity
}

func newShelf(f *book.Facts) *shelf {
	s := &shelf{
		facts:       f,
		substances:  map[string][]book.Declared[*book.Substance]{},
		mixes:       map[string][]book.Declared[*book.Mix]{},
		instruments: map[kitKey][]book.Declared[*book.Instrument]{},
		strengths:   map[strengthKey]substance.Gives{},
	}
	for _, d := range f.Substances {
		s.substances[book.Key(d.Body.Name)] = append(s.substances[book.Key(d.Body.Name)], d)
	}
	for _, d := range f.Mixes {
		s.mixes[book.Key(d.Body.Name)] = append(s.mixes[book.Key(d.Body.Name)], d)
	}
	for _, d := range f.Instruments {
		if q, err := units.ParseQuantity(d.Body.Quantity); err == nil {
			k := kitKey{book.Key(d.Body.Name), q}
			s.instruments[k] = append(s.instruments[k], d)
		}
	}
	return s
}

// lastMoment is later than any line, to find the newest of a name.
var lastMoment = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)

func (s *shelf) substanceVersions(name string) []book.Declared[*book.Substance] {
	key := book.Key(name)
	got, seen := s.substances[key]
	if !seen {
		if now, ok := s.facts.SubstanceAt(name, lastMoment); ok {
			got = s.substances[book.Key(now.Name)]
		}
		s.substances[key] = got
	}
	return got
}

func (s *shelf) mixVersions(name string) []book.Declared[*book.Mix] {
	key := book.Key(name)
	got, seen := s.mixes[key]
	if !seen {
		if now, ok := s.facts.MixAt(name, lastMoment); ok {
			got = s.mixes[book.Key(now.Name)]
		}
		s.mixes[key] = got
	}
	return got
}

func (s *shelf) instrumentVersions(name string, q units.Quantity) []book.Declared[*book.Instrument] {
	key := kitKey{book.Key(name), q}
	got, seen := s.instruments[key]
	if !seen && key.name != "" {
		if now, ok := s.facts.InstrumentAt(name, string(q), lastMoment); ok {
			got = s.instruments[kitKey{book.Key(now.Name), q}]
		}
		s.instruments[key] = got
	}
	return got
}

// asOf picks the newest declaration not later than t, else the earliest: a
// thing used before it was declared is better known by that than by nothing.
func asOf[T any](versions []book.Declared[T], t time.Time) (book.Declared[T], bool) {
	for i := len(versions) - 1; i >= 0; i-- {
		if !versions[i].From.After(t) {
			return versions[i], true
		}
	}
	if len(versions) > 0 {
		return versions[0], true
	}
	return book.Declared[T]{}, false
}
