package units_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"driftline/units"
)

// The page a keeper reads names every quantity with its units in order, and the
// limits that are enforced.
func TestPageAgrees(t *testing.T) {
	page, err := os.ReadFile("../docs/units.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range units.Quantities() {
		low, high, err := units.Range(q, q.Default())
		if err != nil {
			t.Fatal(err)
		}
		limits := fmt.Sprintf("| %s to %s %s |", whole(low), whole(high), q.Default())
		row := ""
		for _, line := range strings.Split(string(page), "\n") {
			if strings.HasPrefix(line, "| "+string(q)+" |") {
				row = line
			}
		}
		if !strings.Contains(row, "| "+strings.Join(q.Units(), ", ")+" |") || !strings.HasSuffix(row, limits) {
			t.Errorf("the row of %s is %q, want its units %v and %q", q, row, q.Units(), limits)
		}
	}
	for _, names := range [][]string{units.VolumeUnits(), units.MassUnits(), units.LengthUnits()} {
		if !strings.Contains(string(page), strings.Join(names, ", ")) {
			t.Errorf("the page lacks %v", names)
		}
	}
}

// whole writes a whole number with a comma at the thousands.
func whole(v float64) string {
	s := fmt.Sprintf("%.0f", v)
	if n := len(strings.TrimPrefix(s, "-")); n > 3 {
		s = s[:len(s)-3] + "," + s[len(s)-3:]
	}
	return s
}
