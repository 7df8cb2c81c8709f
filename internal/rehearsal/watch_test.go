package rehearsal

import (
	"context"
	"testing"
	"time"

	"driftline/internal/book"
)

func TestUnseenDaysByHand(t *testing.T) {
	// Level 8 until day 70, 6 until day 80, then 8: outside a band of 7 to 9 for ten days. A test on day 74 shows it.
	truths := []moment{{60, levels{alk: 8}}, {70, levels{alk: 8}}, {70, levels{alk: 6}}, {74, levels{alk: 6}}, {80, levels{alk: 6}}, {80, levels{alk: 8}}, {90, levels{alk: 8}}}
	var w Watch
	w.count(truths, []float64{65, 74}, [3]float64{7, 8, 9}, alk)
	if w.Outside != 10 || w.Unseen != 4 || w.Excursions != 1 {
		t.Errorf("outside %v, unseen %v, excursions %d; want 10, 4, 1", w.Outside, w.Unseen, w.Excursions)
	}
}

func TestFasterTestingSeesSooner(t *testing.T) {
	c := contest{context.Background(), Options{Closed: 25}.filled(), alk, nil}
	often, err := c.fixed(3)
	if err != nil {
		t.Fatal(err)
	}
	seldom, err := c.fixed(21)
	if err != nil {
		t.Fatal(err)
	}
	if often.Unseen >= seldom.Unseen {
		t.Errorf("unseen %.0f days with tests every 3 days, %.0f every 21", often.Unseen, seldom.Unseen)
	}
}

func TestContestMatchesNumbers(t *testing.T) {
	rule := func(_ []book.Line, _, _ string, asOf time.Time) (time.Time, error) {
		return asOf.Add(10 * 24 * time.Hour), nil
	}
	c := contest{context.Background(), Options{Closed: 6}.filled(), mag, rule}
	rounds, err := c.rounds()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rounds {
		agrees(t, r.Name+": tests", float64(r.Ruled.Tests), float64(r.Fixed.Tests), 0.07*float64(r.Fixed.Tests))
	}
}
