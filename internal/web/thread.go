package web

import (
	"sync"

	"driftline/internal/book"
)

// threads tell what became of each line: which one replaced or retracted it.
type threads struct {
	byID     map[string]int // place in lines
	replaced map[string]int // id of the old line → place of the one that replaces it
	lines    []book.Line
}

type threadCache struct {
	mu      sync.Mutex
	version int64
	built   *threads
}

// thread is the book's threads as of its present state, made once for each state.
func (s *Server) thread() *threads {
	v := s.Journal.Version()
	s.threads.mu.Lock()
	defer s.threads.mu.Unlock()
	if s.threads.built != nil && s.threads.version == v {
		return s.threads.built
	}
	lines := s.Journal.Lines()
	t := &threads{byID: make(map[string]int, len(lines)), replaced: map[string]int{}, lines: lines}
	for i := range lines {
		l := &lines[i]
		t.byID[l.ID] = i
		if l.Replaces != "" {
			t.replaced[l.Replaces] = i
		}
	}
	s.threads.version, s.threads.built = v, t
	return t
}

func (t *threads) line(id string) (book.Line, bool) {
	i, ok := t.byID[id]
	if !ok {
		return book.Line{}, false
	}
	return t.lines[i], true
}

// next is the line that replaced or retracted this one.
func (t *threads) next(id string) (book.Line, bool) {
	i, ok := t.replaced[id]
	if !ok {
		return book.Line{}, false
	}
	return t.lines[i], true
}

// history is the line with all that came before and after it, oldest first. A
// ring of lines that name each other ends where it began.
func (t *threads) history(id string) []book.Line {
	seen := map[string]bool{}
	first := id
	for l, ok := t.line(first); ok && l.Replaces != "" && !seen[first]; l, ok = t.line(first) {
		seen[first] = true
		if _, known := t.byID[l.Replaces]; !known {
			break
		}
		first = l.Replaces
	}
	var all []book.Line
	clear(seen)
	for l, ok := t.line(first); ok && !seen[l.ID]; l, ok = t.next(l.ID) {
		seen[l.ID] = true
		all = append(all, l)
	}
	return all
}

// fate is a word for what became of a line, empty while it holds.
func (t *threads) fate(id string) string {
	n, ok := t.next(id)
	switch {
	case !ok:
		return ""
	case n.Kind == book.KindVoid:
		return "retracted"
	}
	return "corrected"
}
