package rehearsal

import (
	"math"
	"testing"

	"driftline/internal/book"
)

func TestKitShowsItsScale(t *testing.T) {
	drops := &kit{q: alk, said: spoken{"dKH", 1}, resolution: 0.3}
	card := &kit{q: nit, said: spoken{"mg/L NO3", 1}, resolution: 0.1, card: []float64{0, 1, 2, 5, 10, 20}, limit: 1}
	phosphate := &kit{q: pho, said: spoken{"mg/L P", 0.3261}, resolution: 0.01 / 0.3261, limit: 0.02 / 0.3261}
	tests := []struct {
		name  string
		k     *kit
		v     float64
		text  string
		below bool
	}{
		{"to the drop", drops, 8.22, "8.1", false},
		{"card, nearest step", card, 7.2, "5.0", false},
		{"card, under its first step", card, 0.3, "1.0", true},
		{"phosphate as phosphorus", phosphate, 0.1, "0.03", false},
		{"under the limit", phosphate, 0.03, "0.02", true},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			if got := c.k.show(c.v); got.text != c.text || got.below != c.below {
				t.Errorf("shows %q (below: %v), want %q (%v)", got.text, got.below, c.text, c.below)
			}
		})
	}
}

func TestKitErrsAsItSays(t *testing.T) {
	r := stream(2, 2)
	k := &kit{q: cal, said: spoken{"mg/L", 1}, resolution: 1, sd: 10, unrest: 1, offset: 7}
	sum, square := 0.0, 0.0
	const n = 4000
	for range n {
		v := k.read(420, r).value
		sum += v
		square += (v - 420) * (v - 420)
	}
	m := sum/n - 420
	agrees(t, "bias", m, 7, 3*10/math.Sqrt(n))
	agrees(t, "repeatability", math.Sqrt(square/n-m*m), math.Hypot(10, 1/math.Sqrt(12)), 0.4)
}

func TestMisreadsAreMisreads(t *testing.T) {
	r := stream(3, 3)
	k := &kit{q: alk, said: spoken{"dKH", 1}, resolution: 0.1, sd: 0.2, unrest: 1}
	far := 0
	for range 300 {
		if math.Abs(k.misread(8.3, r).value-8.3) > 0.7 {
			far++
		}
	}
	if far < 200 {
		t.Errorf("only %d of 300 misreads lie beyond the scatter", far)
	}
}

func TestRehearsedLinesAreGoodLines(t *testing.T) {
	ids := map[string]bool{}
	for seed := uint64(1); seed <= 10; seed++ {
		for _, l := range NewTank(seed).Lines {
			if ids[l.ID] {
				t.Fatalf("id %s twice", l.ID)
			}
			ids[l.ID] = true
			if err := book.Validate(l); err != nil {
				t.Fatalf("seed %d, %s at %s: %v", seed, l.Kind, l.At, err)
			}
		}
	}
}
