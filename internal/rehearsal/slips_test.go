package rehearsal

import (
	"context"
	"testing"
)

func TestSlipsAreCounted(t *testing.T) {
	var s Slips
	s.count(true, true, true)
	s.count(true, false, true)
	s.count(true, false, false)
	s.count(false, true, true)
	s.count(false, false, false)
	if want := (Slips{Readings: 5, Wrong: 3, Gross: 2, Found: 1, Named: 2, Right: 1}); s != want {
		t.Errorf("counted %+v, want %+v", s, want)
	}
}

// A coarse alarm over a few tanks; the figures that count are in docs/rehearsal.md.
func TestGrossMisreadsAreNamed(t *testing.T) {
	all, err := FindSlips(context.Background(), Options{Tanks: 12, Seed: 40})
	if err != nil {
		t.Fatal(err)
	}
	var sum Slips
	for _, s := range all {
		sum.Readings += s.Readings
		sum.Gross += s.Gross
		sum.Found += s.Found
		sum.Named += s.Named
		sum.Right += s.Right
	}
	if sum.Gross < 10 || sum.Found*10 < sum.Gross*7 {
		t.Errorf("%d of %d gross misreads named, want at least seven in ten", sum.Found, sum.Gross)
	}
	if sum.Right*10 < sum.Named*6 {
		t.Errorf("%d of %d named readings were wrong, want at least six in ten", sum.Right, sum.Named)
	}
}
