package food_test

import (
	"math"
	"testing"
	"time"

	"driftline/internal/food"
)

var start = time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func TestFoodsByTheirNames(t *testing.T) {
	for name, want := range map[string]string{"Dry pellets": "dry pellet", "frozen mysis": "frozen mysis", "Brine shrimp": "frozen adult artemia", "flake": "flake",
		"nori sheet": "nori", "krill pellets": "dry pellet", "moonstone": ""} {
		if got, _ := food.Find(nil, name, start); got.Name != want {
			t.Errorf("%q is taken for %q, want %q", name, got.Name, want)
		}
	}
	// Crude protein is nitrogen times 6.25 by definition; pellets of 47 % (FAO AFFRIS) hold 7.52 %.
	pellet, _ := food.Find(nil, "pellets", start)
	near(t, "nitrogen of pellets", pellet.N().Mean, 0.0752, 1e-12)
	near(t, "its doubt", pellet.N().SD(), (0.0928-0.0688)/3.2898, 1e-12)
}
