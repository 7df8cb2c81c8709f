package web

import (
	"errors"
	"testing"
	"time"

	"driftline/internal/book"
)

// What was worked out is given again only while nothing it hangs on has changed.
func TestRemembered(t *testing.T) {
	var m remembered[int]
	runs := 0
	work := func(*book.Facts, string, time.Time) (int, error) { runs++; return runs, nil }
	ask := func(edition *book.Edition, asOf time.Time) int {
		f := &book.Facts{AsOf: asOf}
		v, err := m.of(f, &book.TankFacts{Edition: edition, Tank: book.Tank{Name: "harbour"}}, work)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	one, two := new(book.Edition), new(book.Edition)
	for i, c := range []struct {
		edition *book.Edition
		asOf    time.Time
		want    int
	}{{one, now, 1}, {one, now, 1}, {two, now, 2}, {two, now.Add(time.Hour), 3}, {nil, now, 4}, {nil, now, 5}} {
		if got := ask(c.edition, c.asOf); got != c.want {
			t.Errorf("step %d gives the work of run %d, want %d", i, got, c.want)
		}
	}
	broken := errors.New("no")
	if _, err := m.of(&book.Facts{}, &book.TankFacts{}, func(*book.Facts, string, time.Time) (int, error) { return 0, broken }); !errors.Is(err, broken) {
		t.Errorf("the fault of the work is lost: %v", err)
	}
}
