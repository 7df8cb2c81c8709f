package standing

import (
	"fmt"
	"testing"
)

// Nitrate rising by 10 mg/L in the tank takes 10/62.004 meq/L = 0.1613 meq/L = 0.4522
// dKH of alkalinity by charge balance; the trade says 0.45.
func TestNitrateMadeTakesAlkalinity(t *testing.T) {
	lines := []string{tankLine()}
	for d := 0.0; d <= 60; d += 2 {
		lines = append(lines, reading(d, "nitrate", fmt.Sprintf("%.3f", 5+10*d/60), "mg/L NO3", "photometer"),
			reading(d, "alkalinity", fmt.Sprintf("%.3f", 9-0.02*d), "dKH", "photometer"))
	}
	f := replay(t, onDay(60), lines...)
	l, err := NewDesk().Ledger(f, "quay", "alkalinity", onDay(0), onDay(60))
	if err != nil {
		t.Fatal(err)
	}
	sum, found := 0.0, false
	for _, e := range l.Entries {
		sum += e.Change.Mean
		if e.Name == "nitrogen" {
			found = true
			near(t, "what nitrate made did, dKH", e.Change.Mean, -0.452, 0.03)
		}
	}
	if !found {
		t.Fatalf("no entry of nitrogen in %+v", l.Entries)
	}
	near(t, "the entries together", sum, l.To.Mean-l.From.Mean, 1e-9)
}
