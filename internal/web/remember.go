package web

import (
	"sync"
	"time"

	"driftline/internal/book"
)

// remembered keeps what was worked out of each tank until a line touches it or
// the pages speak of another moment. It is safe for concurrent use.
type remembered[T any] struct {
	mu    sync.Mutex
	tanks map[string]memory[T]
}

type memory[T any] struct {
	edition *book.Edition
	asOf    time.Time
	value   T
}

// of is what work gives for the tank, worked out once.
func (m *remembered[T]) of(f *book.Facts, t *book.TankFacts, work func(f *book.Facts, tank string, asOf time.Time) (T, error)) (T, error) {
	key := book.Key(t.Tank.Name)
	m.mu.Lock()
	defer m.mu.Unlock()
	if was, ok := m.tanks[key]; ok && t.Edition != nil && was.edition == t.Edition && was.asOf.Equal(f.AsOf) {
		return was.value, nil
	}
	v, err := work(f, t.Tank.Name, f.AsOf)
	if err != nil {
		return v, err
	}
	if m.tanks == nil {
		m.tanks = map[string]memory[T]{}
	}
	m.tanks[key] = memory[T]{t.Edition, f.AsOf, v}
	return v, nil
}
