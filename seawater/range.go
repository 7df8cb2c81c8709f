package seawater

import "fmt"

// The ranges this package answers for at all: practical salinity, °C and dbar. Most
// formulas were published for less; what lies beyond is refused with
// ErrExtrapolated unless asked for.
const (
	MinSP       = 0.0
	MaxSP       = 60.0
	MinTempC    = -2.0
	MaxTempC    = 50.0
	MaxPressure = 10000.0 // dbar
)

// t68PerT90 turns ITS-90 into IPTS-68 degrees, Saunders 1990, WOCE Newsletter 10:10.
const t68PerT90 = 1.00024

// within reports a value outside its range as a sentence. NaN is outside.
func within(what string, v, low, high float64, unit string) error {
	if v >= low && v <= high {
		return nil
	}
	return fmt.Errorf("%s %g%s is out of range, expected %g to %g%s", what, v, unit, low, high, unit)
}

func checkState(sp, tempC float64) error {
	if err := within("practical salinity", sp, MinSP, MaxSP, ""); err != nil {
		return err
	}
	return within("temperature", tempC, MinTempC, MaxTempC, " °C")
}

// root finds x between low and high with f(x) = 0 for a rising f, by the
// Illinois form of false position with halving as a safeguard.
func root(f func(float64) float64, low, high float64) float64 {
	fLow, fHigh := f(low), f(high)
	switch {
	case fLow >= 0:
		return low
	case fHigh <= 0:
		return high
	}
	side := 0
	for range 200 {
		x := (low*fHigh - high*fLow) / (fHigh - fLow)
		if !(x > low && x < high) {
			x = low + (high-low)/2
		}
		if x == low || x == high {
			return x
		}
		fx := f(x)
		switch {
		case fx == 0:
			return x
		case fx < 0:
			low, fLow = x, fx
			if side == -1 {
				fHigh /= 2
			}
			side = -1
		default:
			high, fHigh = x, fx
			if side == 1 {
				fLow /= 2
			}
			side = 1
		}
		if high-low <= 4e-16*(high+low) {
			break
		}
	}
	return low + (high-low)/2
}
