package seawater_test

import (
	"errors"
	"math"
	"testing"

	"driftline/seawater"
)

// The ranges are those of the papers named beside them, from memory.
func TestPublishedRanges(t *testing.T) {
	cases := map[string]struct {
		formula   seawater.Formula
		sp, tempC float64
		beyond    bool
	}{
		"salinity of the sea":      {seawater.PSS78, 35, 25, false},
		"strong brine":             {seawater.PSS78, 45, 25, true},
		"hot probe":                {seawater.PSS78, 35, 38, true},
		"brine by EOS-80":          {seawater.EOS80, 45, 25, true},
		"brine by TEOS-10":         {seawater.GibbsAtOneAtm, 45, 25, false},
		"oxygen in hot water":      {seawater.GarciaGordon1992, 35, 45, true},
		"no number is not covered": {seawater.GarciaGordon1992, math.NaN(), 25, true},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			err := c.formula.Published(c.sp, c.tempC)
			if errors.Is(err, seawater.ErrExtrapolated) != c.beyond {
				t.Errorf("got %v", err)
			}
		})
	}
	if err := seawater.Formula(99).Published(35, 25); err == nil {
		t.Error("an unknown formula passed")
	}
}
