package book_test

import (
	"reflect"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/book/booktest"
	"pgregory.net/rapid"
)

// Facts that are carried over from line to line are those of a replay of them
// all, and facts handed out before stay as they were.
func TestFactsCarriedOver(t *testing.T) {
	late := time.Unix(2_000_000_000, 0)
	rapid.Check(t, func(t *rapid.T) {
		s := book.NewMemory()
		j, err := book.OpenJournal(t.Context(), s)
		if err != nil {
			t.Fatal(err)
		}
		before, said := j.Facts(late), book.Replay(nil, late)
		for _, l := range booktest.Log(t) {
			if _, err := s.Append(t.Context(), []book.Line{l}); err != nil {
				t.Fatal(err)
			}
			got, want := j.Facts(late), book.Replay(j.Lines(), late)
			if !reflect.DeepEqual(got, want) {
				t.Fatalf("after %+v\ncarried over %+v\nreplayed %+v", l, got, want)
			}
			if !reflect.DeepEqual(before, said) {
				t.Fatalf("facts handed out before %+v have changed", l)
			}
			before, said = got, want
		}
	})
}

// A new reading leaves the other tank's edition as it was; a new mix, which any
// tank may use, leaves none.
func TestEditions(t *testing.T) {
	j := openJournal(t, book.NewMemory())
	add := func(l book.Line) *book.Facts {
		if err := j.Append(t.Context(), l); err != nil {
			t.Fatal(err)
		}
		return j.Facts(day(9))
	}
	add(tankLine("n", "North", 0))
	a := add(tankLine("s", "South", 0))
	b := add(reading("r", "8.2", 1, ""))
	if a.Tanks[0].Edition == b.Tanks[0].Edition || a.Tanks[1].Edition != b.Tanks[1].Edition {
		t.Error("a reading touches its own tank alone")
	}
	c := add(book.Line{Kind: book.KindMix, At: day(2), Body: &book.Mix{Name: "salt"}})
	for i := range c.Tanks {
		if c.Tanks[i].Edition == b.Tanks[i].Edition {
			t.Errorf("%s: a new mix touches every tank", c.Tanks[i].Tank.Name)
		}
	}
}
