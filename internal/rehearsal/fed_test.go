package rehearsal

import "testing"

// Tanks whose keeper changes the feeding for good: knowing what was fed must make
// nitrate forecasts clearly better, and the intervals must hold about as often as they
// say. Three moments share a tank and there are few tanks here; the table of
// docs/rehearsal.md is from a longer run.
func TestKnowingTheFoodHelps(t *testing.T) {
	if testing.Short() {
		t.Skip("forecasts dozens of tanks")
	}
	all, err := FeedingChanges(t.Context(), Options{Tanks: 40, Seed: 400})
	if err != nil {
		t.Fatal(err)
	}
	var sums [2]Cell
	for _, a := range all {
		t.Logf("%s, %d days: knowing %+v, not %+v", a.Quantity, a.Day, a.Knowing, a.Nought)
		i := 0
		if a.Quantity == "phosphate" {
			i = 1
		}
		sums[i].merge(a.Knowing)
	}
	for i, name := range []string{"nitrate", "phosphate"} {
		in80, in90 := sums[i].Held()
		if in80 < 0.68 || in90 < 0.78 {
			t.Errorf("%s after a change of feeding: intervals of 80 %% held %.1f, of 90 %% %.1f %%", name, 100*in80, 100*in90)
		}
	}
	if ratio := sums[0].Ratio(); ratio > 0.7 {
		t.Errorf("knowing the food leaves %.2f of the nitrate score without it; expected clearly less than 1", ratio)
	}
}
