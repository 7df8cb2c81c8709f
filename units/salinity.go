package units

import "driftline/seawater"

// probeTempC is the temperature to which probes for sea water compensate.
const probeTempC = 25

// salinityKind: the base is practical salinity. ppt is taken as the same scale,
// as instruments of the trade are marked; grams per kilogram of true dissolved
// salt would be half a per cent more.
var salinityKind = newKind(seawater.MinSP, seawater.MaxSP,
	scale{name: "PSU", factor: 1, decimals: 1, aliases: []string{"PSS", "PSS-78", "SP", "S", "practical salinity", "practical salinity units"}},
	scale{name: "ppt", factor: 1, decimals: 1, aliases: []string{"‰", "g/kg", "parts per thousand", "per mille", "o/oo", "0/00"}, assumes: "ppt taken as the same figure as PSU"},
	gravity("SG 25/25", seawater.Pair25, "SG", "sp. gr.", "specific gravity", "specific gravity 25/25", "SG 25 °C", "sp gr 25/25", "SG 25C/25C", "SG 77F/77F", "25/25", "25C/25C", "SG 77/77", "SG (25/25)", "SG 25/25 C", "SG 77/77 F", "SG at 25 C", "SG at 25/25 C", "SG at 25/25"),
	gravity("SG 20/20", seawater.Pair20, "SG 20", "specific gravity 20/20", "SG 20 °C", "sp gr 20/20", "SG 20C/20C", "20/20", "20C/20C", "SG 68F/68F", "SG 68/68", "SG 20/20 C", "SG 68/68 F", "SG at 20 C", "SG at 20/20 C", "SG at 20/20"),
	gravity("SG 60/60", seawater.Pair60, "SG 60", "specific gravity 60/60", "SG 60 °F", "sp gr 60/60", "SG 60F/60F", "60/60", "60F/60F", "SG 60/60 F", "SG at 60 F", "SG at 60/60 F", "SG at 60/60", "SG 15.6/15.6", "SG 15.6C/15.6C", "SG 15.6/15.6 C"),
	scale{name: "mS/cm", decimals: 1, curve: conductivity, aliases: []string{"mS", "mS cm-1", "millisiemens/cm", "millisiemens", "mS per cm", "mmho/cm"}, assumes: "conductivity as at 25 °C"},
)

var conductivity = &curve{
	toBase: func(v float64) (float64, error) {
		return continued(seawater.ExtrapolateSalinity(v, probeTempC, 0))
	},
	fromBase: func(v float64) (float64, error) {
		return continued(seawater.ExtrapolateConductivity(v, probeTempC, 0))
	},
	readAt: func(v, tempC float64) (float64, error) {
		return continued(seawater.ExtrapolateSalinity(v, tempC, 0))
	},
	showsAt: func(sp, tempC float64) (float64, error) {
		return continued(seawater.ExtrapolateConductivity(sp, tempC, 0))
	},
	assumesAtTemp: "conductivity as it was at the sample's temperature, not brought to 25 °C by the probe",
}

// continued takes the scale beyond 42 as well: a unit must convert all that Check
// lets pass, and brine is told from sea water by its figure.
func continued(v float64, _ bool, err error) (float64, error) { return v, err }

func gravity(name string, pair seawater.Pair, aliases ...string) scale {
	return scale{name: name, decimals: 4, aliases: aliases, curve: &curve{
		toBase:   func(v float64) (float64, error) { return seawater.SalinityFromSpecificGravity(v, pair) },
		fromBase: func(v float64) (float64, error) { return seawater.SpecificGravity(v, pair) },
		readAt: func(v, tempC float64) (float64, error) {
			return seawater.SalinityFromHydrometer(v, pair, tempC)
		},
		showsAt: func(sp, tempC float64) (float64, error) {
			return seawater.HydrometerReading(sp, pair, tempC)
		},
		assumesAtTemp: "read with a glass hydrometer in water of the sample's temperature",
	}}
}
