package standing

import (
	"context"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
)

// A made-up log that contradicts itself through and through, read with a kit
// that claims to have no error: whatever can be said of it is said in figures.
func TestContradictionsStayInFigures(t *testing.T) {
	file, err := os.Open("testdata/no_picture.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	asOf := time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC)
	store := book.NewMemory()
	if r, err := book.ImportJSONL(context.Background(), file, store, book.ImportOptions{Now: asOf}); err != nil || len(r.Refused) > 0 {
		t.Fatalf("%+v, %v", r, err)
	}
	lines, err := store.Lines(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	f := book.Replay(lines, asOf)
	q, err := NewDesk().Quantity(f, "Z", "total ammonia", asOf, 60)
	if err != nil {
		t.Fatal(err)
	}
	if !finite(q.Level.Mean) || !(q.Level.SD > 0) || !finite(q.Leaves.PNow) {
		t.Errorf("level %+v, leaves %+v", q.Level, q.Leaves)
	}
	if strings.HasPrefix(q.Why, "Could not be worked out") {
		t.Errorf("a kit that claims no error stops the engine: %s", q.Why)
	}
	for _, d := range q.Forecast {
		if sum := d.Mean + d.SD + d.P05 + d.P95 + d.POutside; math.IsNaN(sum) || math.IsInf(sum, 0) {
			t.Errorf("forecast %+v", d)
		}
	}
	if l, err := NewDesk().Ledger(f, "Z", "total ammonia", asOf.AddDate(0, -6, 0), asOf); err == nil && !l.sound() {
		t.Errorf("ledger %+v", l)
	}
}
