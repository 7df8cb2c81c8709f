package standing

import (
	"time"

	"driftline/internal/book"
)

// Held is one declaration of a routine with the span in which it held.
type Held struct {
	Routine    *book.Routine
	Line       string
	Start, End time.Time // End is zero while open
	EveryDays  float64
}

// HeldRoutines lists every declaration of every routine of a tank, those that
// have ended and those that have yet to begin among them.
func HeldRoutines(t *book.TankFacts) []Held {
	var out []Held
	for _, v := range versions(t) {
		out = append(out, Held{Routine: v.routine, Line: v.line, Start: v.start, End: v.end, EveryDays: v.every})
	}
	return out
}
