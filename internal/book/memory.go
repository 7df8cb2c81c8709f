package book

import (
	"context"
	"slices"
	"sync"
)

// Memory is a Store that keeps its lines in memory only: for tests, for trying
// something out.
type Memory struct {
	mu    sync.RWMutex
	texts [][]byte       // in order of appending
	ids   map[string]int // id → place
}

// NewMemory makes an empty one.
func NewMemory() *Memory { return &Memory{ids: map[string]int{}} }

var _ Store = (*Memory)(nil)

// Append is described at Store.
func (m *Memory) Append(ctx context.Context, lines []Line) (int, error) {
	texts := make([][]byte, len(lines))
	for i, l := range lines {
		text, err := StoredText(l)
		if err != nil {
			return 0, err
		}
		texts[i] = text
	}
	if err := ctx.Err(); err != nil {
		return 0, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	added := 0
	for i, l := range lines {
		if _, stored := m.ids[l.ID]; stored {
			continue
		}
		m.ids[l.ID] = len(m.texts)
		m.texts = append(m.texts, texts[i])
		added++
	}
	return added, nil
}

// StoredText is a line's JSON as a Store keeps it. A line without an id, or one
// that could not be read back, is refused.
func StoredText(l Line) ([]byte, error) {
	if l.ID == "" {
		return nil, faultf("id", "the line has no id")
	}
	if _, known := newBody(l.Kind); !known {
		return nil, faultf("kind", "kind %q is not known; expected one of %s", clip(string(l.Kind)), kindList())
	}
	v := new(validator)
	v.time("at", l.At)
	if v.fault != nil {
		return nil, v.fault
	}
	return AppendJSON(nil, l)
}

// Lines is described at Store.
func (m *Memory) Lines(ctx context.Context) ([]Line, error) {
	lines, _, err := m.Since(ctx, 0)
	slices.SortStableFunc(lines, byTime)
	return lines, err
}

// Since is described at Store.
func (m *Memory) Since(ctx context.Context, seq int64) ([]Line, int64, error) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	newest := int64(len(m.texts))
	if seq < 0 || seq > newest {
		seq = min(max(seq, 0), newest)
	}
	lines := make([]Line, 0, newest-seq)
	parser := new(Parser)
	for _, text := range m.texts[seq:] {
		l, err := parser.Parse(text)
		if err != nil {
			return nil, 0, err
		}
		lines = append(lines, l)
	}
	return lines, newest, ctx.Err()
}

// Check is described at Store.
func (m *Memory) Check(ctx context.Context) ([]string, error) {
	lines, err := m.Lines(ctx)
	if err != nil {
		return nil, err
	}
	return CheckLines(lines), nil
}

// Close does nothing.
func (m *Memory) Close() error { return nil }
