package book_test

import (
	"context"
	"errors"
	"strings"
	"sync"
	"testing"
	"time"

	"driftline/internal/book"
)

func openJournal(t *testing.T, s book.Store) *book.Journal {
	t.Helper()
	j, err := book.OpenJournal(t.Context(), s)
	if err != nil {
		t.Fatal(err)
	}
	j.Now = func() time.Time { return now }
	return j
}

func TestJournalAppend(t *testing.T) {
	j := openJournal(t, book.NewMemory())
	first := reading("", "8.2", 1, "")
	if err := j.Append(t.Context(), first, tankLine("t", "North", 0)); err != nil { // any order within one call
		t.Fatal(err)
	}
	lines := j.Lines()
	if len(lines) != 2 || lines[0].ID != "t" || len(lines[1].ID) != 36 {
		t.Fatalf("lines %+v", lines)
	}
	refused := []struct {
		name  string
		line  book.Line
		field string
	}{
		{"an undeclared tank", book.Line{Kind: book.KindChore, At: day(1), Tank: "South", Body: &book.Chore{Name: "x"}}, "tank"},
		{"a correction of nothing", reading("", "8.3", 1, "nothing"), "replaces"},
		{"an impossible value", reading("", "-8", 1, ""), "value"},
		{"a date in 2062", book.Line{Kind: book.KindNote, At: now.AddDate(36, 0, 0), Note: "x"}, "at"},
		{"an id that is taken", reading(lines[1].ID, "9.9", 1, ""), "id"},
	}
	for _, test := range refused {
		var f *book.Fault
		if err := j.Append(t.Context(), reading("", "8.4", 3, ""), test.line); !errors.As(err, &f) || f.Field != test.field {
			t.Errorf("%s: %v", test.name, err)
		}
	}
	if n := len(j.Lines()); n != 2 {
		t.Errorf("%d lines after refusals, want 2", n)
	}
	if err := j.Append(t.Context(), lines[1]); err != nil || len(j.Lines()) != 2 { // a form sent twice
		t.Errorf("the same line again: %v, %d lines", err, len(j.Lines()))
	}
}

func TestJournalFollowsTheStore(t *testing.T) {
	s := book.NewMemory()
	a, b := openJournal(t, s), openJournal(t, s)
	if err := a.Append(t.Context(), tankLine("t", "North", 0), reading("late", "8.2", 5, "")); err != nil {
		t.Fatal(err)
	}
	version := b.Version()
	if f := b.Facts(day(9)); len(f.Tanks) != 1 || len(f.Tanks[0].Events) != 1 {
		t.Errorf("the other journal sees %+v", f)
	}
	held := b.Lines()
	if err := a.Append(t.Context(), reading("early", "8.1", 1, "")); err != nil {
		t.Fatal(err)
	}
	if b.Version() <= version {
		t.Error("the version stands still")
	}
	if got := b.Lines(); len(got) != 3 || got[1].ID != "early" {
		t.Errorf("lines %+v", got)
	}
	if len(held) != 2 || held[1].ID != "late" {
		t.Error("lines handed out before have changed")
	}
}

// Facts are kept while no line falls between two moments.
func TestJournalFacts(t *testing.T) {
	j := openJournal(t, book.NewMemory())
	if err := j.Append(t.Context(), tankLine("t", "North", 0), reading("a", "8.2", 1, ""), reading("b", "8.1", 3, "")); err != nil {
		t.Fatal(err)
	}
	f, g, h := j.Facts(day(1)), j.Facts(day(2)), j.Facts(day(3))
	if &f.Tanks[0] != &g.Tanks[0] || !g.AsOf.Equal(day(2)) || !f.AsOf.Equal(day(1)) {
		t.Error("facts of a moment without new lines were replayed again, or tell the wrong moment")
	}
	if len(g.Tanks[0].Events) != 1 || len(h.Tanks[0].Events) != 2 {
		t.Errorf("events %d and %d, want 1 and 2", len(g.Tanks[0].Events), len(h.Tanks[0].Events))
	}
	if err := j.Append(t.Context(), reading("c", "8.0", 0.5, "")); err != nil {
		t.Fatal(err)
	}
	if got := j.Facts(day(1)); len(got.Tanks[0].Events) != 2 {
		t.Errorf("%d events after a line of the past, want 2", len(got.Tanks[0].Events))
	}
}

func TestJournalManyAtOnce(t *testing.T) {
	j := openJournal(t, book.NewMemory())
	if err := j.Append(t.Context(), tankLine("t", "North", 0)); err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for i := range 20 {
				if err := j.Append(t.Context(), reading("", "8.2", float64(i%7), "")); err != nil {
					t.Error(err)
				}
				j.Facts(day(float64(i)))
				j.Lines()
			}
		})
	}
	wg.Wait()
	if n := len(j.Lines()); n != 161 {
		t.Errorf("%d lines, want 161", n)
	}
}

// failing is a store that fails when told to.
type failing struct {
	book.Store
	err error
}

func (f *failing) Append(ctx context.Context, lines []book.Line) (int, error) {
	if f.err != nil {
		return 0, f.err
	}
	return f.Store.Append(ctx, lines)
}

func TestJournalStoreFails(t *testing.T) {
	s := &failing{Store: book.NewMemory()}
	j := openJournal(t, s)
	s.err = errors.New("the disk is full")
	if err := j.Append(t.Context(), tankLine("t", "North", 0)); err == nil || !strings.Contains(err.Error(), "full") {
		t.Errorf("error %v", err)
	}
	if n := len(j.Lines()); n != 0 {
		t.Errorf("%d lines that are not stored", n)
	}
	s.err = nil
	if err := j.Append(t.Context(), tankLine("t", "North", 0)); err != nil || len(j.Lines()) != 1 {
		t.Errorf("after the disk has room again: %v, %d lines", err, len(j.Lines()))
	}
}
