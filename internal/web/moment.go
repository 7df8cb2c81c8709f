package web

import (
	"sync"
	"time"

	"driftline/internal/book"
)

// step is how finely the pages tell time: within it a page asks for the same
// moment again, so that nothing is computed twice while nothing has changed.
const step = 10 * time.Minute

// moments remembers the moment pages are made for, by the state of the book.
type moments struct {
	mu      sync.Mutex
	version int64
	slot    time.Time
	asOf    time.Time
}

// asOf is the moment the pages speak of: now, told in steps, but never before
// the newest line that has happened, so that a reading shows the minute it is kept.
func (s *Server) asOf() time.Time {
	now := s.Now()
	slot := now.Truncate(step)
	v := s.Journal.Version()
	s.moments.mu.Lock()
	defer s.moments.mu.Unlock()
	if s.moments.version == v && s.moments.slot.Equal(slot) {
		return s.moments.asOf
	}
	at := slot
	for _, l := range s.Journal.Lines() {
		if l.At.After(at) && !l.At.After(now) {
			at = l.At
		}
	}
	s.moments.version, s.moments.slot, s.moments.asOf = v, slot, at
	return at
}

func (s *Server) facts() *book.Facts { return s.Journal.Facts(s.asOf()) }
