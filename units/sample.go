package units

import (
	"fmt"
	"math"
)

// ConvertSample is Convert for a reading taken in a sample of sampleTempC (°C)
// by an instrument that does not correct for it. It matters for salinity read in
// SG or mS/cm; all else is converted as by Convert and sampleTempC is not looked at.
//
// SG is taken as read with a glass hydrometer marked for the unit's pair of
// temperatures, whose glass expands too (seawater.SalinityFromHydrometer); mS/cm
// as the conductivity at the sample's temperature. Do not use it for instruments
// that compensate, such as most refractometers and probes. A result in SG or
// mS/cm is what the instrument would have shown at the temperature it is marked
// for. It costs no allocation with canonical units.
func ConvertSample(q Quantity, v float64, from, to string, sampleTempC float64) (float64, error) {
	a, b, err := pair(q, from, to)
	if err != nil {
		return 0, err
	}
	if !a.minds() {
		return Convert(q, v, from, to)
	}
	if err := finite(q, v); err != nil {
		return 0, err
	}
	base, err := a.curve.readAt(v, sampleTempC)
	if err != nil {
		return 0, fmt.Errorf("%s %g %s at %g °C cannot be converted: %w", q, v, a.name, sampleTempC, err)
	}
	out, err := b.fromBase(base)
	if err != nil {
		return 0, fmt.Errorf("%s %g %s cannot be converted to %s: %w", q, v, a.name, b.name, err)
	}
	return out, nil
}

// ConvertSampleSD gives the standard deviation sd of a reading at the level at,
// both as ConvertSample takes them, in unit to, by the slope at that level. The
// doubt of the sample's temperature is not in it.
func ConvertSampleSD(q Quantity, at, sd float64, from, to string, sampleTempC float64) (float64, error) {
	a, b, err := pair(q, from, to)
	if err != nil {
		return 0, err
	}
	if !a.minds() {
		return ConvertSD(q, at, sd, from, to)
	}
	if err := finite(q, sd); err != nil {
		return 0, err
	}
	if err := finite(q, at); err != nil {
		return 0, err
	}
	base, err := a.curve.readAt(at, sampleTempC)
	if err != nil {
		return 0, fmt.Errorf("%s %g %s at %g °C cannot be converted: %w", q, at, a.name, sampleTempC, err)
	}
	low, high := around(table[q], base)
	rise, err := span(b, low, high)
	if err != nil {
		return 0, err
	}
	bottom, err := a.curve.showsAt(low, sampleTempC)
	if err != nil {
		return 0, err
	}
	top, err := a.curve.showsAt(high, sampleTempC)
	if err != nil {
		return 0, err
	}
	return sd * math.Abs(rise/(top-bottom)), nil
}

// SampleAssumption is Assumption for ConvertSample.
func SampleAssumption(q Quantity, from, to string) string {
	a, b, err := pair(q, from, to)
	switch {
	case err != nil:
		return ""
	case !a.minds():
		return Assumption(q, from, to)
	case b == a || b.assumes == "":
		return a.curve.assumesAtTemp
	}
	return a.curve.assumesAtTemp + "; " + b.assumes
}

// MindsTemperature tells whether ConvertSample needs the sample's temperature
// for a reading in this unit.
func MindsTemperature(q Quantity, unit string) bool {
	s, err := unitOf(q, unit)
	return err == nil && s.minds()
}

func (s *scale) minds() bool { return s.curve != nil && s.curve.readAt != nil }
