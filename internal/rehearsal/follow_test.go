package rehearsal

import "testing"

// Plans worked out from logs, followed in tanks whose truth is known. A stated 95 %
// interval should hold 95 in 100 true levels, and half its width 67 in 100 (normal
// law, 0.98 standard deviations). Steps of one plan hang together, so that the few
// dozen plans here leave room; the table of docs/plans.md is from a longer run.
func TestCorrectionsHoldWhatTheyState(t *testing.T) {
	if testing.Short() {
		t.Skip("follows dozens of plans")
	}
	all, err := Corrections(t.Context(), Options{Tanks: 24, Moments: 1})
	if err != nil {
		t.Fatal(err)
	}
	var sum Followed
	for _, name := range Corrected {
		sum.merge(all[name])
	}
	t.Logf("%+v", sum)
	if sum.Plans < 25 || sum.Steps < 60 || sum.Missed == 0 {
		t.Fatalf("%d plans of %d steps, %d doses missed: too few to judge", sum.Plans, sum.Steps, sum.Missed)
	}
	if held := percent(sum.Held, sum.Steps); held < 86 {
		t.Errorf("%.1f %% of true levels lie in the stated 95 %%: too sure of itself", held)
	}
	if half := percent(sum.Half, sum.Steps); half < 48 || half > 88 {
		t.Errorf("%.1f %% of true levels lie in half of the stated interval, about 67 are expected", half)
	}
	if chance := percent(sum.ByChance, sum.Plans); chance > 20 {
		t.Errorf("%.1f %% of plans were stopped by chance", chance)
	}
	if sum.Over > 0 {
		t.Errorf("%d plans lifted the true level above the ceiling of a day, the steepest to %.2f of it", sum.Over, sum.Highest)
	}
}

// A level that rises by 3 within half a day, and by 3 again at the same hour of the
// next: 3 within a day, whatever lies between.
func TestSteepest(t *testing.T) {
	v := func(x float64) (l levels) { l[mag] = x; return l }
	truths := []moment{{0, v(0)}, {1, v(0)}, {1, v(3)}, {1.5, v(2.9)}, {2, v(2.8)}, {2, v(5.8)}, {2.4, v(6)}}
	agrees(t, "from the start", steepest(truths, mag, 0), 3.2, 1e-12) // 2.8 to 6 within 0.4 of a day
	agrees(t, "later", steepest(truths, mag, 2.2), 0, 1e-12)
}
