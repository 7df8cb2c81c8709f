package supply

import (
	"strings"
	"time"

	"driftline/internal/correction"
	"driftline/internal/course"
	"driftline/internal/makeup"
)

// ForCorrection holds a correction not yet accepted against the shelf.
func (s *Shelf) ForCorrection(p correction.Plan) Answer {
	var takes []Take
	for _, st := range p.Steps {
		takes = append(takes, Take{st.Substance, st.Amount, st.Unit, st.At})
	}
	return s.Enough(takes, p.Replaces...)
}

// ForCourse does so with a course; one of chores takes nothing.
func (s *Shelf) ForCourse(p course.Plan) Answer {
	var takes []Take
	for i := 0; i < p.Turns && p.Action != "chore" && p.Refused == ""; i++ {
		at := p.Start.Add(time.Duration(float64(i) * p.EveryHours * float64(time.Hour)))
		amount := p.Amount
		if p.Halved() && float64(i)*p.EveryHours < p.HalfDays*24-1e-9 {
			amount /= 2
		}
		takes = append(takes, Take{p.Substance, amount, p.Unit, at})
	}
	return s.Enough(takes)
}

// ForBatch does so with a recipe that is mixed now. The salt is left out where it
// has no name, or is in the water already.
func (s *Shelf) ForBatch(b makeup.Batch, salt string) Answer {
	var takes []Take
	if salt = strings.TrimSpace(salt); salt != "" && b.SaltGrams > 0 && b.Bin != makeup.Mixed {
		takes = append(takes, Take{Substance: salt, Amount: b.SaltGrams, Unit: "g"})
	}
	for _, a := range b.Additions {
		takes = append(takes, Take{Substance: a.Substance, Amount: a.Amount, Unit: a.Unit})
	}
	return s.Enough(takes)
}
