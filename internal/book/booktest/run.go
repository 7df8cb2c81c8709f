package booktest

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"driftline/internal/book"
)

// Run checks a store against the contract of book.Store. Open must give an
// empty one each time and see to its closing.
func Run(t *testing.T, open func(t *testing.T) book.Store) {
	tests := []struct {
		name string
		run  func(t *testing.T, s book.Store)
	}{
		{"an empty store", empty},
		{"every kind comes back as it went in", everyKind},
		{"a stored id is skipped", skipped},
		{"all or nothing", atomic},
		{"a cancelled append stores nothing", cancelled},
		{"oldest first, ties as appended", order},
		{"since gives what is new", since},
		{"odd text and a long line", oddText},
		{"what is handed out is the caller's own", independent},
		{"many at once", concurrent},
		{"check finds a correction of nothing", finds},
		{"a random log survives export and import", func(t *testing.T, _ book.Store) { roundTrip(t, open) }},
		{"pictures", pictures},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) { test.run(t, open(t)) })
	}
}

func empty(t *testing.T, s book.Store) {
	if got := linesOf(t, s); len(got) != 0 {
		t.Errorf("an empty store has %d lines", len(got))
	}
	lines, newest, err := s.Since(t.Context(), 0)
	if len(lines) != 0 || newest != 0 || err != nil {
		t.Errorf("Since(0) = %d lines, %d, %v", len(lines), newest, err)
	}
	sound(t, s)
	added, err := s.Append(t.Context(), nil)
	if added != 0 || err != nil {
		t.Errorf("appending nothing = %d, %v", added, err)
	}
}

func everyKind(t *testing.T, s book.Store) {
	lines, err := Samples()
	if err != nil {
		t.Fatal(err)
	}
	add(t, s, len(lines), lines...)
	got, _, err := s.Since(t.Context(), 0)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(SampleTexts(), texts(t, got)); diff != "" {
		t.Errorf("lines changed in the store (- in, + out):\n%s", diff)
	}
	for i := range got {
		if _, a := lines[i].At.Zone(); !got[i].At.Equal(lines[i].At) || offset(got[i].At) != a {
			t.Errorf("line %d: at %v came back as %v", i, lines[i].At, got[i].At)
		}
	}
}

func offset(t time.Time) int { _, o := t.Zone(); return o }

func skipped(t *testing.T, s book.Store) {
	a, b, c := note("a", 1), note("b", 2), note("c", 3)
	add(t, s, 2, a, b)
	add(t, s, 1, b, c, c)
	other := note("a", 9)
	other.Note = "says something else"
	add(t, s, 0, other)
	if got := ids(linesOf(t, s)); got != "a b c" {
		t.Errorf("lines %s, want a b c", got)
	}
	if got := linesOf(t, s)[0]; got.Note != a.Note {
		t.Errorf("a line was changed: %q", got.Note)
	}
}

func atomic(t *testing.T, s book.Store) {
	spoilt := map[string]book.Line{
		"no id":          {Kind: book.KindNote, At: moment(1), Note: "x"},
		"unknown kind":   {ID: "u", Kind: "omen", At: moment(1)},
		"a bad number":   {ID: "n", Kind: book.KindScore, At: moment(1), Tank: "T", Body: &book.Score{Sign: "x", Value: "1,5"}},
		"a year of 9000": {ID: "y", Kind: book.KindNote, At: time.Date(9000, 1, 1, 0, 0, 0, 0, time.UTC), Note: "x"},
	}
	for name, bad := range spoilt {
		if added, err := s.Append(t.Context(), []book.Line{note("good", 1), bad}); err == nil || added != 0 {
			t.Errorf("%s: Append = %d, %v; want an error", name, added, err)
		}
		if got := linesOf(t, s); len(got) != 0 {
			t.Fatalf("%s: %d lines of a refused batch are stored", name, len(got))
		}
	}
}

func cancelled(t *testing.T, s book.Store) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := s.Append(ctx, []book.Line{note("a", 1)}); !errors.Is(err, context.Canceled) {
		t.Errorf("Append = %v, want %v", err, context.Canceled)
	}
	if got := linesOf(t, s); len(got) != 0 {
		t.Errorf("%d lines are stored", len(got))
	}
}

func order(t *testing.T, s book.Store) {
	east := time.FixedZone("", 3*3600)
	late, tieA, tieB, early := note("late", 5), note("tieA", 2), note("tieB", 2), note("early", 1)
	tieB.At = tieB.At.In(east) // the same moment on another clock
	nano := note("nano", 2)
	nano.At = nano.At.Add(time.Nanosecond)
	add(t, s, 2, late, nano)
	add(t, s, 3, tieA, tieB, early)
	if got := ids(linesOf(t, s)); got != "early tieA tieB nano late" {
		t.Errorf("order %s, want early tieA tieB nano late", got)
	}
}

func since(t *testing.T, s book.Store) {
	add(t, s, 2, note("b", 2), note("a", 1))
	first, seq, err := s.Since(t.Context(), 0)
	if err != nil || ids(first) != "b a" {
		t.Fatalf("Since(0) = %s, %v; want b a in the order of appending", ids(first), err)
	}
	none, same, err := s.Since(t.Context(), seq)
	if err != nil || len(none) != 0 || same != seq {
		t.Errorf("Since(newest) = %d lines, %d, %v; want none, %d", len(none), same, err, seq)
	}
	add(t, s, 1, note("a", 1), note("c", 0))
	next, newest, err := s.Since(t.Context(), seq)
	if err != nil || ids(next) != "c" || newest <= seq {
		t.Errorf("Since(%d) = %s, %d, %v; want c", seq, ids(next), newest, err)
	}
}

func oddText(t *testing.T, s book.Store) {
	odd := note("odd", 1)
	odd.Note = "\x00 \x1f \u2028 \U0001F41F \\ \" '; DROP TABLE lines; -- <b>é</b>\r\n"
	long := note("long", 2)
	long.Note = strings.Repeat("long ", 200_000)
	add(t, s, 2, odd, long)
	for _, l := range linesOf(t, s) {
		if want := map[string]string{"odd": odd.Note, "long": long.Note}[l.ID]; l.Note != want {
			t.Errorf("%s: the text changed, %d bytes of %d", l.ID, len(l.Note), len(want))
		}
	}
}

func independent(t *testing.T, s book.Store) {
	l := book.Line{ID: "r", Kind: book.KindScore, At: moment(1), Tank: "T", Body: &book.Score{Sign: "film algae", Value: "1"}}
	add(t, s, 1, l)
	l.Body.(*book.Score).Value = "4"
	linesOf(t, s)[0].Body.(*book.Score).Sign = "changed"
	if got := linesOf(t, s)[0].Body.(*book.Score); got.Value != "1" || got.Sign != "film algae" {
		t.Errorf("the stored line changed with the caller's: %+v", *got)
	}
}

func concurrent(t *testing.T, s book.Store) {
	const writers, each = 4, 25
	done := make(chan error, 2*writers)
	for w := range writers {
		go func() { done <- appendEach(t.Context(), s, w, each) }()
		go func() { done <- readEach(t.Context(), s, each) }()
	}
	for range 2 * writers {
		if err := <-done; err != nil {
			t.Error(err)
		}
	}
	if got := len(linesOf(t, s)); got != writers*each {
		t.Errorf("%d lines, want %d", got, writers*each)
	}
}

func appendEach(ctx context.Context, s book.Store, w, n int) error {
	for i := range n {
		if added, err := s.Append(ctx, []book.Line{note(fmt.Sprintf("w%d-%d", w, i), i)}); err != nil || added != 1 {
			return fmt.Errorf("append: %d, %w", added, err)
		}
	}
	return nil
}

// readEach follows the store; no line may come twice or out of sequence.
func readEach(ctx context.Context, s book.Store, n int) error {
	seen, seq := map[string]bool{}, int64(0)
	for range n {
		lines, newest, err := s.Since(ctx, seq)
		if err != nil || newest < seq {
			return fmt.Errorf("since %d: %d, %w", seq, newest, err)
		}
		for _, l := range lines {
			if seen[l.ID] {
				return fmt.Errorf("line %s came twice", l.ID)
			}
			seen[l.ID] = true
		}
		seq = newest
	}
	return nil
}

func finds(t *testing.T, s book.Store) {
	bad := note("a", 1)
	bad.Replaces = "nothing"
	add(t, s, 1, bad)
	found, err := s.Check(t.Context())
	if err != nil || !slices.ContainsFunc(found, func(f string) bool { return strings.Contains(f, "nothing") }) {
		t.Errorf("Check = %q, %v; want the line that corrects nothing", found, err)
	}
}
