package prose_test

import (
	"testing"

	"driftline/internal/prose"
)

func TestCase(t *testing.T) {
	for _, c := range []struct{ in, upper, lower string }{
		{"magnesium is low", "Magnesium is low", "magnesium is low"}, {"Øst tank", "Øst tank", "øst tank"}, {"über", "Über", "über"},
		{"pH is 8.1", "pH is 8.1", "pH is 8.1"}, {"", "", ""}, {"2 g", "2 g", "2 g"}, {"\xff bad", "\xff bad", "\xff bad"},
	} {
		if got := prose.Capital(c.in); got != c.upper {
			t.Errorf("capital of %q is %q", c.in, got)
		}
		if got := prose.Lower(c.in); got != c.lower {
			t.Errorf("%q in a sentence is %q", c.in, got)
		}
	}
}
