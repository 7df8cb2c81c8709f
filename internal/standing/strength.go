package standing

import (
	"time"

	"driftline/internal/book"
	"driftline/internal/substance"
	"driftline/units"
)

// strength finds what a substance gives of a quantity, and remembers it.
func (s *shelf) strength(name string, q units.Quantity, t time.Time) substance.Gives {
	key := strengthKey{name: name, q: q}
	if d, ok := asOf(s.substanceVersions(name), t); ok {
		key.substance = d.Body
	}
	if got, ok := s.strengths[key]; ok {
		return got
	}
	got := strengthOf(key.substance, name, q)
	s.strengths[key] = got
	return got
}

func strengthOf(declared *book.Substance, name string, q units.Quantity) substance.Gives {
	s, err := substance.Of(declared, name)
	if err != nil {
		return substance.Gives{}
	}
	return s.Gives(q)
}
