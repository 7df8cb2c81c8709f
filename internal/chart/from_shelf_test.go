package chart

import (
	"strings"
	"testing"
	"time"

	"driftline/internal/standing"
	"driftline/internal/supply"
)

// 2 kg left, 1.5 ± 0.2 kg tomorrow and 0.1 ± 0.2 kg the day after: in kg, the axis
// from nothing, and never below it. 1.5 - 1.6449 × 0.2 = 1.171; 0.1 + 0.329 = 0.429.
func TestPictureOfTheShelf(t *testing.T) {
	now := time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)
	it := supply.Item{Name: "reef salt", Unit: "g", State: supply.Low, Left: standing.Estimate{Mean: 2000, SD: 40},
		Forecast: []supply.Day{{At: now.Add(16 * time.Hour), Mean: 1500, SD: 200}, {At: now.Add(40 * time.Hour), Mean: 100, SD: 200}}}
	p := FromShelf(it, now, time.UTC)
	near := func(what string, got, want float64) {
		if d := got - want; d > 1e-3 || d < -1e-3 {
			t.Errorf("%s is %g, want %g", what, got, want)
		}
	}
	near("tomorrow, low", p.Fan[0].P05, 1.171)
	near("tomorrow, middle", p.Fan[0].P50, 1.5)
	near("the day after, low", p.Fan[1].P05, 0)
	near("the day after, high", p.Fan[1].P95, 0.429)
	if low, _ := p.tidy().reach(); low > 0 {
		t.Errorf("the axis begins at %g", low)
	}
	drawn := string(Small(p))
	if p.Unit != "kg" || !strings.Contains(drawn, `class="fan"`) || !strings.Contains(drawn, "Reef salt, what is left 2.00 ± 0.04 kg, running low.") {
		t.Errorf("%s", drawn)
	}
}
