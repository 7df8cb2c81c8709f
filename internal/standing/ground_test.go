package standing

import (
	"math"
	"testing"
)

// A tank read once and left alone says next to nothing of its level since: the
// ledger and the picture stay on this side of nothing, and the ledger adds up.
func TestLevelsStayAboveNothing(t *testing.T) {
	f := replay(t, onDay(80), tankLine(), reading(0, "calcium", "390", "mg/L", ""))
	l, err := NewDesk().Ledger(f, "quay", "calcium", onDay(10), onDay(80))
	if err != nil {
		t.Fatal(err)
	}
	if l.From.Mean < 0 || l.To.Mean < 0 {
		t.Errorf("levels %v and %v", l.From, l.To)
	}
	sum := 0.0
	for _, e := range l.Entries {
		sum += e.Change.Mean
	}
	if math.Abs(sum-(l.To.Mean-l.From.Mean)) > 1e-9 {
		t.Errorf("the entries add up to %g, the level changed by %g", sum, l.To.Mean-l.From.Mean)
	}
	q, err := NewDesk().Quantity(f, "quay", "calcium", onDay(80), 30)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range q.History {
		if p.Mean < 0 {
			t.Errorf("a level of %g at %s", p.Mean, p.At)
		}
	}
}
