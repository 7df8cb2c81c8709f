package gate

import (
	"sync"
	"time"
)

// Quota counts how often something was done under a key within a day.
type Quota struct {
	mu   sync.Mutex
	now  func() time.Time
	most int
	by   map[string]spent
}

type spent struct {
	since time.Time
	times int
}

// NewQuota allows so many times a day for each key, by the given clock.
func NewQuota(now func() time.Time, most int) *Quota {
	return &Quota{now: now, most: most, by: map[string]spent{}}
}

// Take counts once more; false when the day's are used up.
func (q *Quota) Take(key string) bool {
	q.mu.Lock()
	defer q.mu.Unlock()
	s := q.by[key]
	if now := q.now(); now.Sub(s.since) >= 24*time.Hour {
		s = spent{since: now}
	}
	if s.times >= q.most {
		return false
	}
	s.times++
	if len(q.by) >= mostKnown {
		clear(q.by)
	}
	q.by[key] = s
	return true
}
