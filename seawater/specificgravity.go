package seawater

import (
	"fmt"
	"strconv"
	"strings"
)

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

	Pair20Over4 = Pair{20, 4} // seawater at 20 °C over water at 4 °C, where it is densest
	Pair25Over4 = Pair{25, 4}
)

// ParsePair reads a pair as instruments and tables write it: "25C/25C", "20C/4C", "60F/60F".
func ParsePair(s string) (Pair, error) {
	sample, water, both := strings.Cut(strings.ToUpper(strings.ReplaceAll(strings.ReplaceAll(s, " ", ""), "°", "")), "/")
	p := Pair{}
	for _, half := range []struct {
		text string
		into *float64
	}{{sample, &p.SampleC}, {water, &p.WaterC}} {
		digits, fahrenheit := strings.CutSuffix(half.text, "F")
		v, err := strconv.ParseFloat(strings.TrimSuffix(digits, "C"), 64)
		if err != nil || !both {
			return Pair{}, fmt.Errorf("temperature pair %q is not understood, expected such as 25C/25C or 60F/60F", s)
		}
		if fahrenheit {
			v = (v - 32) / 1.8
		}
		if err := within("temperature", v, MinTempC, MaxTempC, " °C"); err != nil {
			return Pair{}, fmt.Errorf("temperature pair %q: %w", s, err)
		}
		*half.into = v
	}
	return p, nil
}

// SpecificGravity is the density of seawater over that of pure water at the
// temperatures of the pair, in vacuum (no correction for the buoyancy of air or
// the expansion of glass), for practical salinity 0 to 60
// and temperatures of -2 to 50 °C. It is as good as Density, about 4e-6.
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

// SalinityFromSpecificGravity is the inverse of SpecificGravity, found by
// bracketing. An instrument good to 0.0005 tells salinity to 0.7. For a reading in
// a sample of another temperature see SalinityFromHydrometer.
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
