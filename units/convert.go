package units

import (
	"fmt"
	"math"
)

// Convert gives v, in unit from, in unit to. Units may be canonical or spelled
// as a person would; canonical ones cost no allocation.
func Convert(q Quantity, v float64, from, to string) (float64, error) {
	a, b, err := pair(q, from, to)
	if err != nil {
		return 0, err
	}
	if err := finite(q, v); err != nil {
		return 0, err
	}
	if a == b {
		return v, nil
	}
	base, err := a.base(v)
	if err != nil {
		return 0, fmt.Errorf("%s %g %s cannot be converted: %w", q, v, a.name, err)
	}
	out, err := b.fromBase(base)
	if err != nil {
		return 0, fmt.Errorf("%s %g %s cannot be converted to %s: %w", q, v, a.name, b.name, err)
	}
	return out, nil
}

// ConvertSD gives a standard deviation sd at the level at, both in unit from,
// in unit to, by the slope of the conversion at that level.
func ConvertSD(q Quantity, at, sd float64, from, to string) (float64, error) {
	a, b, err := pair(q, from, to)
	if err != nil {
		return 0, err
	}
	if err := finite(q, sd); err != nil {
		return 0, err
	}
	if a == b {
		return sd, nil
	}
	if a.curve == nil && b.curve == nil {
		return sd * a.factor / b.factor, nil
	}
	slope, err := slope(q, at, a, b)
	if err != nil {
		return 0, err
	}
	return sd * math.Abs(slope), nil
}

// slope is the derivative of the conversion from a to b at a level in a, by a
// central difference of 0.02 in salinity, one-sided at the ends of the scale.
func slope(q Quantity, at float64, a, b *scale) (float64, error) {
	if err := finite(q, at); err != nil {
		return 0, err
	}
	base, err := a.base(at)
	if err != nil {
		return 0, fmt.Errorf("%s %g %s cannot be converted: %w", q, at, a.name, err)
	}
	low, high := around(table[q], base)
	if high <= low {
		return 0, fmt.Errorf("%s %g %s is outside what can be converted", q, at, a.name)
	}
	rise, err := span(b, low, high)
	if err != nil {
		return 0, err
	}
	run, err := span(a, low, high)
	if err != nil {
		return 0, err
	}
	return rise / run, nil
}

// around is a stretch of 0.02 about a base value, cut at the ends of the scale.
func around(k *kind, base float64) (low, high float64) {
	return max(base-0.01, k.low), min(base+0.01, k.high)
}

// span is how far apart two base values are in unit s.
func span(s *scale, low, high float64) (float64, error) {
	from, err := s.fromBase(low)
	if err != nil {
		return 0, err
	}
	to, err := s.fromBase(high)
	return to - from, err
}

// Assumption says in a phrase what a conversion between the two units takes for
// granted, or "" when it is exact.
func Assumption(q Quantity, from, to string) string {
	a, b, err := pair(q, from, to)
	switch {
	case err != nil || a == b:
		return ""
	case a.assumes == b.assumes || b.assumes == "":
		return a.assumes
	case a.assumes == "":
		return b.assumes
	}
	return a.assumes + "; " + b.assumes
}

func (s *scale) base(v float64) (float64, error) {
	if s.curve != nil {
		return s.curve.toBase(v)
	}
	return (v - s.zero) * s.factor, nil
}

func (s *scale) fromBase(v float64) (float64, error) {
	if s.curve != nil {
		return s.curve.fromBase(v)
	}
	return v/s.factor + s.zero, nil
}

func pair(q Quantity, from, to string) (a, b *scale, err error) {
	if a, err = unitOf(q, from); err != nil {
		return nil, nil, err
	}
	b, err = unitOf(q, to)
	return a, b, err
}

func unitOf(q Quantity, s string) (*scale, error) {
	if k := table[q]; k != nil {
		if i := k.find(s); i >= 0 {
			return &k.scales[i], nil
		}
	}
	_, err := ParseUnit(q, s)
	return nil, err
}

func finite(q Quantity, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Errorf("%s is not a number", q)
	}
	return nil
}
