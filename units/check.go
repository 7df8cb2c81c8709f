package units

import (
	"fmt"
	"math"
)

// Check says in one sentence that a value cannot be true of an aquarium, or nil.
// The limits are generous: they catch slips of the finger, not sick tanks.
func Check(q Quantity, v float64, unit string) error {
	s, err := unitOf(q, unit)
	if err != nil {
		return err
	}
	if err := finite(q, v); err != nil {
		return err
	}
	low, high, err := limits(q, s)
	if err != nil {
		return err
	}
	slack := 1e-9 * (high - low) // a limit converted there and back is still allowed
	if v >= low-slack && v <= high+slack {
		return nil
	}
	return fmt.Errorf("%s %s is not possible, expected %s to %s",
		q, plain(v)+" "+s.name, brief(low, s.decimals), brief(high, s.decimals)+" "+s.name)
}

// Range gives the limits Check works with, in the unit.
func Range(q Quantity, unit string) (low, high float64, err error) {
	s, err := unitOf(q, unit)
	if err != nil {
		return 0, 0, err
	}
	return limits(q, s)
}

func limits(q Quantity, s *scale) (low, high float64, err error) {
	k := table[q]
	if low, err = s.fromBase(k.low); err != nil {
		return 0, 0, err
	}
	high, err = s.fromBase(k.high)
	return low, high, err
}

// brief writes a limit without decimals it does not need: "4", not "4.00".
func brief(v float64, decimals int) string {
	if math.Abs(v-math.Round(v)) < 1e-9 {
		decimals = 0
	}
	return Number(v, decimals)
}
