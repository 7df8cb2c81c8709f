package units

import (
	"fmt"
	"math"
	"strings"
)

// measure is a unit of volume, mass or length with its size in the base unit.
type measure struct {
	name    string
	size    float64
	aliases []string
}

// ruler is a family of such units.
type ruler struct {
	what    string
	units   []measure
	byAlias map[string]int
}

func newRuler(what string, units ...measure) *ruler {
	r := &ruler{what: what, units: units, byAlias: make(map[string]int)}
	for i, u := range units {
		r.byAlias[key(u.name)] = i
		for _, a := range u.aliases {
			r.byAlias[key(a)] = i
		}
	}
	return r
}

// Exact sizes: NIST SP 811 (2008), Appendix B; imperial gallon 4.54609 L by
// definition. A gallon that does not say which is taken as the US one.
var (
	volumes = newRuler("volume",
		measure{"L", 1, []string{"litre", "liter", "litres", "liters", "ltr", "lt"}},
		measure{"mL", 1e-3, []string{"millilitre", "milliliter", "millilitres", "milliliters", "cc", "cm3", "cubic centimetre"}},
		measure{"m3", 1000, []string{"m³", "cubic metre", "cubic meter", "cubic metres", "cubic meters", "cbm"}},
		measure{"US gal", 3.785411784, []string{"gal", "gallon", "gallons", "gals", "US gallon", "US gallons", "U.S. gal", "gal (US)", "gallon (US)", "usg"}},
		measure{"imp gal", 4.54609, []string{"imperial gallon", "imperial gallons", "UK gal", "UK gallon", "UK gallons", "gal (imp)", "gal (UK)", "imp gallon", "imp gallons", "gallon (imp)", "gallon (UK)", "imperial gal"}},
		measure{"US fl oz", 29.5735295625e-3, []string{"US fluid ounce", "US fluid ounces", "fl oz (US)"}})
	masses = newRuler("mass",
		measure{"g", 1, []string{"gram", "grams", "gramme", "grammes", "gm"}},
		measure{"mg", 1e-3, []string{"milligram", "milligrams"}},
		measure{"kg", 1000, []string{"kilogram", "kilograms", "kilo", "kilos"}},
		measure{"oz", 28.349523125, []string{"ounce", "ounces"}},
		measure{"lb", 453.59237, []string{"lbs", "pound", "pounds"}})
	lengths = newRuler("length",
		measure{"cm", 1, []string{"centimetre", "centimeter", "centimetres", "centimeters"}},
		measure{"mm", 0.1, []string{"millimetre", "millimeter", "millimetres", "millimeters"}},
		measure{"m", 100, []string{"metre", "meter", "metres", "meters"}},
		measure{"in", 2.54, []string{"inch", "inches", "\"", "″"}},
		measure{"ft", 30.48, []string{"foot", "feet"}})
)

// Litres gives a volume in litres.
func Litres(v float64, unit string) (float64, error) { return volumes.convert(v, unit) }

// Grams gives a mass in grams.
func Grams(v float64, unit string) (float64, error) { return masses.convert(v, unit) }

// Centimetres gives a length in centimetres.
func Centimetres(v float64, unit string) (float64, error) { return lengths.convert(v, unit) }

// FromLitres gives litres in a unit of volume.
func FromLitres(litres float64, unit string) (float64, error) { return volumes.back(litres, unit) }

// FromGrams gives grams in a unit of mass.
func FromGrams(grams float64, unit string) (float64, error) { return masses.back(grams, unit) }

// ParseVolumeUnit turns a usual spelling into the canonical one.
func ParseVolumeUnit(s string) (string, error) { return volumes.parse(s) }

// ParseMassUnit turns a usual spelling into the canonical one.
func ParseMassUnit(s string) (string, error) { return masses.parse(s) }

// ParseLengthUnit turns a usual spelling into the canonical one.
func ParseLengthUnit(s string) (string, error) { return lengths.parse(s) }

// VolumeUnits lists the canonical spellings.
func VolumeUnits() []string { return volumes.names() }

// MassUnits lists the canonical spellings.
func MassUnits() []string { return masses.names() }

// LengthUnits lists the canonical spellings.
func LengthUnits() []string { return lengths.names() }

// key folds a spelling, but leaves a sign such as the inch mark as it is.
func key(s string) string {
	if k := fold(s); k != "" {
		return k
	}
	return strings.TrimSpace(s)
}

func (r *ruler) names() []string {
	names := make([]string, len(r.units))
	for i, u := range r.units {
		names[i] = u.name
	}
	return names
}

func (r *ruler) find(s string) (*measure, error) {
	for i := range r.units {
		if r.units[i].name == s {
			return &r.units[i], nil
		}
	}
	k := key(s)
	if i, ok := r.byAlias[k]; ok {
		return &r.units[i], nil
	}
	if k == "" {
		return nil, fmt.Errorf("unit of %s is missing, expected %s", r.what, list(r.names()))
	}
	return nil, fmt.Errorf("unit %s is not a unit of %s, expected %s", quote(s), r.what, list(r.names()))
}

func (r *ruler) parse(s string) (string, error) {
	u, err := r.find(s)
	if err != nil {
		return "", err
	}
	return u.name, nil
}

func (r *ruler) convert(v float64, unit string) (float64, error) {
	u, err := r.find(unit)
	if err != nil {
		return 0, err
	}
	if math.IsNaN(v) || math.IsInf(v*u.size, 0) {
		return 0, fmt.Errorf("%s is not a number", r.what)
	}
	return v * u.size, nil
}

func (r *ruler) back(v float64, unit string) (float64, error) {
	u, err := r.find(unit)
	if err != nil {
		return 0, err
	}
	if math.IsNaN(v) || math.IsInf(v/u.size, 0) {
		return 0, fmt.Errorf("%s is not a number", r.what)
	}
	return v / u.size, nil
}
