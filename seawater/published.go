package seawater

import (
	"errors"
	"fmt"
)

// ErrExtrapolated is what Published wraps when a value lies outside the range a
// formula was published for.
var ErrExtrapolated = errors.New("outside the published range")

// Formula names a formula of this package, so that a caller can mark a value that
// rests on its continuation.
type Formula int

// The formulas whose functions answer beyond their published range.
const (
	PSS78            Formula = iota // conductivity and salinity, with Hill et al. 1986 below 2
	EOS80                           // DensityEOS80
	GibbsAtOneAtm                   // Density and specific gravity
	GarciaGordon1992                // oxygen
)

// ranges are the published ones, from 0 in salinity. PSS-78: UNESCO 1981, Tech.
// Pap. Mar. Sci. 36, with the extension of Hill et al. 1986. EOS-80: Fofonoff and
// Millard 1983. The Gibbs function: IAPWS R13-08, at one atmosphere and up to 120
// g/kg, cut here to what this package answers. Oxygen: Garcia and Gordon 1992.
// All four are from memory.
var ranges = [...]struct {
	name            string
	maxSP           float64
	lowest, highest float64 // °C
}{
	PSS78:            {"PSS-78", 42, -2, 35},
	EOS80:            {"EOS-80", 42, -2, 40},
	GibbsAtOneAtm:    {"TEOS-10", MaxSP, MinTempC, MaxTempC},
	GarciaGordon1992: {"Garcia and Gordon 1992", 42, -2, 40},
}

// Published is nil where the formula was published for this salinity and
// temperature, and otherwise one sentence that wraps ErrExtrapolated.
func (f Formula) Published(sp, tempC float64) error {
	if f < 0 || int(f) >= len(ranges) {
		return fmt.Errorf("formula %d is not known, expected 0 to %d", int(f), len(ranges)-1)
	}
	r := ranges[f]
	err := within("practical salinity", sp, 0, r.maxSP, "")
	if err == nil {
		err = within("temperature", tempC, r.lowest, r.highest, " °C")
	}
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s, %w: %w", r.name, ErrExtrapolated, err)
}
