package book

import (
	"cmp"
	"context"
	"slices"
	"sort"
	"sync"
	"time"
)

// Journal keeps the lines of a store in memory, up to date with what other
// processes append, and remembers the facts it has replayed. It is safe for
// concurrent use. What it hands out is shared and must not be changed.
type Journal struct {
	// Now is the clock that lines are checked against.
	Now func() time.Time

	store   Store
	mu      sync.Mutex
	lines   []Line
	ids     map[string]bool
	tanks   map[string]bool // by Key
	seq     int64
	version int64
	facts   []remembered
}

// remembered are facts that hold for any as-of from the last line they know
// until the next.
type remembered struct {
	version int64
	count   int // lines not later than as-of
	facts   *Facts
}

// factsRemembered bounds the memory: pages ask for now, and a past day of ten
// years of log takes ten megabytes.
const factsRemembered = 3

// OpenJournal reads the store. The machine's clock is used until Now is set.
func OpenJournal(ctx context.Context, s Store) (*Journal, error) {
	j := &Journal{Now: time.Now, store: s, ids: map[string]bool{}, tanks: map[string]bool{}}
	_, err := j.Refresh(ctx)
	return j, err
}

// Refresh takes in what was appended since, by whomever, and says whether there
// was anything.
func (j *Journal) Refresh(ctx context.Context) (bool, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.refresh(ctx)
}

func (j *Journal) refresh(ctx context.Context) (bool, error) {
	lines, newest, err := j.store.Since(ctx, j.seq)
	if err != nil {
		return false, err
	}
	j.seq = newest
	if len(lines) == 0 {
		return false, nil
	}
	whole := len(j.lines)
	j.merge(lines)
	j.version++
	j.extend(whole, lines)
	return true, nil
}

// extend carries the facts of the whole book over to more lines where that
// needs no replay, and forgets the others.
func (j *Journal) extend(whole int, lines []Line) {
	old := j.facts
	j.facts = nil
	for _, r := range old {
		if r.count != whole {
			continue
		}
		if f, ok := r.facts.with(lines); ok {
			j.facts = []remembered{{j.version, len(j.lines), f}}
		}
	}
}

// merge never changes what has been handed out: lines at the end go behind it,
// anything else makes a new slice.
func (j *Journal) merge(lines []Line) {
	if len(j.lines) == 0 {
		j.ids = make(map[string]bool, len(lines))
	}
	for i := range lines {
		j.ids[lines[i].ID] = true
		if b, ok := lines[i].Body.(*Tank); ok {
			j.tanks[Key(b.Name)] = true
		}
	}
	lines = inTime(lines)
	switch n := len(j.lines); {
	case n == 0:
		j.lines = lines
	case !lines[0].At.Before(j.lines[n-1].At):
		j.lines = append(j.lines, lines...)
	default:
		j.lines = between(j.lines, lines)
	}
}

// spareLines is room for some days of new lines, so that the first of them does
// not move ten years of others.
const spareLines = 512

// inTime puts lines in order of time; those of one moment keep their order.
func inTime(lines []Line) []Line {
	if slices.IsSortedFunc(lines, byTime) {
		return lines
	}
	order := make([]int, len(lines)) // a line is large: it is moved once
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(lines[a].At.Compare(lines[b].At), a-b) })
	out := make([]Line, len(lines), len(lines)+spareLines)
	for to, from := range order {
		out[to] = lines[from]
	}
	return out
}

// between makes one list of two that are in order of time, the older lines
// first among those of one moment.
func between(old, added []Line) []Line {
	out := make([]Line, 0, len(old)+len(added))
	for len(old) > 0 && len(added) > 0 {
		if added[0].At.Before(old[0].At) {
			out, added = append(out, added[0]), added[1:]
		} else {
			out, old = append(out, old[0]), old[1:]
		}
	}
	return append(append(out, old...), added...)
}

// Append checks lines as an import would and stores them all or none. A line
// without an id gets one. A line that is stored already, and says the same, is
// passed over, so that a form sent twice is kept once.
func (j *Journal) Append(ctx context.Context, lines ...Line) error {
	j.mu.Lock()
	defer j.mu.Unlock()
	if _, err := j.refresh(ctx); err != nil {
		return err
	}
	now := j.Now()
	lines = slices.Clone(lines)
	for i := range lines {
		if lines[i].ID == "" {
			lines[i].ID = NewID(now)
		}
	}
	if err := j.admit(lines, now); err != nil {
		return err
	}
	if _, err := j.store.Append(ctx, lines); err != nil {
		return err
	}
	// The lines are kept; should reading them back fail, the next call tries again.
	_, _ = j.refresh(ctx)
	return nil
}

// admit checks lines on their own, among each other and against the book.
func (j *Journal) admit(lines []Line, now time.Time) error {
	tanks, ids := map[string]bool{}, map[string]bool{}
	for i := range lines {
		if b, ok := lines[i].Body.(*Tank); ok {
			tanks[Key(b.Name)] = true
		}
	}
	for i := range lines {
		l := &lines[i]
		if err := ValidateAt(*l, now); err != nil {
			return err
		}
		if j.ids[l.ID] && !j.holds(l) {
			return faultf("id", "id %q is in the book with other content; a correction is a new line with replaces", clip(l.ID))
		}
		if k := Key(l.Tank); l.Kind != KindTank && l.Tank != "" && !j.tanks[k] && !tanks[k] {
			return faultf("tank", "tank %q is not declared; declare it first", clip(l.Tank))
		}
		if l.Replaces != "" && !j.ids[l.Replaces] && !ids[l.Replaces] {
			return faultf("replaces", "replaces %q names no line of the book", clip(l.Replaces))
		}
		ids[l.ID] = true
	}
	return nil
}

// holds says whether the book's line of that id says the same.
func (j *Journal) holds(l *Line) bool {
	i := slices.IndexFunc(j.lines, func(old Line) bool { return old.ID == l.ID })
	return i >= 0 && sameSaid(j.lines[i], *l)
}

func sameSaid(a, b Line) bool {
	x, errX := AppendJSON(nil, a)
	y, errY := AppendJSON(nil, b)
	return errX == nil && errY == nil && string(x) == string(y)
}

// Lines gives every line, oldest first, voided ones included.
func (j *Journal) Lines() []Line {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.lookAgain()
	return slices.Clip(j.lines)
}

// Version grows with every change of the book that the journal has seen.
func (j *Journal) Version() int64 {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.lookAgain()
	return j.version
}

// lookAgain is a refresh for those who cannot be told of an error: the store
// that cannot be read now leaves the journal as it is, and Refresh or Append
// will say why.
func (j *Journal) lookAgain() { _, _ = j.refresh(context.Background()) }

// Facts gives what the book says as of a moment. While no line falls between
// two moments their facts differ in AsOf alone, and are replayed once.
func (j *Journal) Facts(asOf time.Time) *Facts {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.lookAgain()
	count := sort.Search(len(j.lines), func(i int) bool { return j.lines[i].At.After(asOf) })
	for _, r := range j.facts {
		if r.version == j.version && r.count == count {
			f := *r.facts
			f.AsOf = asOf
			return &f
		}
	}
	f := Replay(j.lines[:count], asOf)
	j.remember(remembered{j.version, count, f})
	return f
}

func (j *Journal) remember(r remembered) {
	j.facts = slices.DeleteFunc(j.facts, func(old remembered) bool { return old.version != j.version })
	if len(j.facts) >= factsRemembered {
		j.facts = j.facts[1:]
	}
	j.facts = append(j.facts, r)
}
