package seawater

import "fmt"

// Pair is the pair of temperatures a specific gravity stands for: seawater at
// SampleC over pure water at WaterC, both in °C.
type Pair struct {
	SampleC float64
	WaterC  float64
}

// The pairs instruments for sea water are marked with.
var (
	Pair20 = Pair{20, 20}
	Pair25 = Pair{25, 25}
	Pair60 = Pair{(60.0 - 32) / 1.8, (60.0 - 32) / 1.8} // 60 °F over 60 °F
)

// SpecificGravity is the density of seawater over that of pure water at the
// temperatures of the pair, in vacuum (no correction for the buoyancy of air or
// the expansion of glass).
func SpecificGravity(sp float64, pair Pair) (float64, error) {
	sample, err := Density(sp, pair.SampleC)
	if err != nil {
		return 0, err
	}
	water, err := Density(0, pair.WaterC)
	if err != nil {
		return 0, err
	}
	return sample / water, nil
}

// SalinityFromSpecificGravity is the inverse of SpecificGravity, found by bracketing.
func SalinityFromSpecificGravity(sg float64, pair Pair) (float64, error) {
	low, err := SpecificGravity(MinSP, pair)
	if err != nil {
		return 0, err
	}
	high, err := SpecificGravity(MaxSP, pair)
	if err != nil {
		return 0, err
	}
	if !(sg >= low && sg <= high) {
		return 0, fmt.Errorf("specific gravity %g is out of range, expected %.4f to %.4f", sg, low, high)
	}
	want := sg * gibbsDensity(0, pair.WaterC)
	return root(func(sp float64) float64 { return gibbsDensity(sp, pair.SampleC) - want }, MinSP, MaxSP), nil
}
