package seawater

// sodiumChlorideAt35 is the strength of a sodium chloride solution, in g/kg, that
// bends light as seawater of salinity 35 does.
const sodiumChlorideAt35 = 36.5

// SalinityFromSodiumChlorideScale corrects the reading of a refractometer whose
// scale is that of sodium chloride solutions (g/kg, or parts per thousand by
// mass) to practical salinity: such an instrument shows 36.5 in seawater of 35.
// An instrument graded for seawater needs no correction.
//
// Second-hand: the pair 36.5 and 35 is common practice. It was checked only
// against refractive indices quoted from memory (sodium chloride solutions in
// handbook tables; seawater by Quan and Fry 1995, Appl. Opt. 34:3477), with which
// it agrees within 0.2. It is meant for readings of 20 to 45 at 20 °C and is
// taken as proportional below that.
func SalinityFromSodiumChlorideScale(reading float64) (float64, error) {
	if err := within("refractometer reading", reading, 0, MaxSP, ""); err != nil {
		return 0, err
	}
	return reading * 35 / sodiumChlorideAt35, nil
}

// SodiumChlorideScaleFromSalinity is the inverse, for practical salinity 0 to 57.5:
// what such an instrument shows.
func SodiumChlorideScaleFromSalinity(sp float64) (float64, error) {
	const highest = MaxSP * 35 / sodiumChlorideAt35
	if err := within("practical salinity", sp, 0, highest, ""); err != nil {
		return 0, err
	}
	return sp * sodiumChlorideAt35 / 35, nil
}
