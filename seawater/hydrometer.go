package seawater

// glassPerC is the growth in volume of hydrometer glass by °C: the conventional
// value of ISO 1768:1975, clause 3.
const glassPerC = 25e-6

// SalinityFromHydrometer gives practical salinity (0 to 60) from the specific
// gravity a glass hydrometer marked for a pair shows in water of sampleTempC (-2
// to 50 °C). The instrument weighs the water as it is: the reading times pure
// water at the pair's WaterC is the density of the sample, times the growth of
// the glass since the pair's SampleC, 25e-6 by °C. Without the glass 10 °C would
// cost 0.3 in salinity. Plastic grows several times as much and is not covered.
// Buoyancy of air and surface tension are taken as at the marking.
func SalinityFromHydrometer(reading float64, pair Pair, sampleTempC float64) (float64, error) {
	grown, err := glassGrowth(pair, sampleTempC)
	if err != nil {
		return 0, err
	}
	return SalinityFromSpecificGravity(reading/grown, Pair{SampleC: sampleTempC, WaterC: pair.WaterC})
}

// HydrometerReading is the inverse of SalinityFromHydrometer, with the same range:
// what the instrument shows in water of a practical salinity and temperature.
func HydrometerReading(sp float64, pair Pair, sampleTempC float64) (float64, error) {
	grown, err := glassGrowth(pair, sampleTempC)
	if err != nil {
		return 0, err
	}
	sg, err := SpecificGravity(sp, Pair{SampleC: sampleTempC, WaterC: pair.WaterC})
	return sg * grown, err
}

func glassGrowth(pair Pair, tempC float64) (float64, error) {
	for _, t := range [...]float64{pair.SampleC, pair.WaterC, tempC} {
		if err := within("temperature", t, MinTempC, MaxTempC, " °C"); err != nil {
			return 0, err
		}
	}
	return 1 + glassPerC*(tempC-pair.SampleC), nil
}
