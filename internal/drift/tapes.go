package drift

import (
	"sync"

	"driftline/statespace"
)

// tapes are kept for the next pass: one over ten years of log fills a megabyte.
var tapes = sync.Pool{New: func() any { return statespace.NewTape(nil) }}

// borrowTape is to be put back after use.
func borrowTape(f *statespace.Filter) *statespace.Tape {
	t := tapes.Get().(*statespace.Tape)
	t.Reset(f)
	return t
}
