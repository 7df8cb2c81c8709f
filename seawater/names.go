package seawater

import (
	"fmt"
	"strings"
)

// The names the Parse functions take, by constant; the first is the default.
var (
	carbonNames   = [...]string{Lueker2000: "lueker2000", Waters2014: "waters2014", Millero2010: "millero2010"}
	boronNames    = [...]string{Uppstrom1974: "uppstrom1974", Lee2010: "lee2010"}
	fluorideNames = [...]string{PerezFraga1987: "perezfraga1987", DicksonRiley1979: "dicksonriley1979"}
	minorNames    = [...]string{Converted1995: "millero1995", Guide2007: "guide2007"}
	densityNames  = [...]string{DensityExact: "teos10", DensityOfEOS80: "eos80"}
	scaleNames    = [...]string{TotalScale: "total", SeawaterScale: "seawater", FreeScale: "free", NBSScale: "nbs"}
)

// CarbonSets lists the names ParseCarbonSet takes, the default first.
func CarbonSets() []string { return append([]string(nil), carbonNames[:]...) }

// BoronRatios lists the names ParseBoronRatio takes, the default first.
func BoronRatios() []string { return append([]string(nil), boronNames[:]...) }

// FluorideSets lists the names ParseFluorideSet takes, the default first.
func FluorideSets() []string { return append([]string(nil), fluorideNames[:]...) }

// MinorSets lists the names ParseMinorSet takes, the default first.
func MinorSets() []string { return append([]string(nil), minorNames[:]...) }

// DensityFormulas lists the names ParseDensityFormula takes, the default first.
func DensityFormulas() []string { return append([]string(nil), densityNames[:]...) }

// PHScales lists the names ParsePHScale takes, the default first.
func PHScales() []string { return append([]string(nil), scaleNames[:]...) }

// ParseCarbonSet finds a set of K1 and K2 by name ("lueker2000"). Capitals,
// spaces, dots, dashes and underscores do not matter in any of these names.
func ParseCarbonSet(s string) (CarbonSet, error) {
	i, err := choose("set of carbonic constants", s, carbonNames[:])
	return CarbonSet(i), err
}

// ParseBoronRatio finds a ratio of boron to salinity by name ("uppstrom1974").
func ParseBoronRatio(s string) (BoronRatio, error) {
	i, err := choose("boron ratio", s, boronNames[:])
	return BoronRatio(i), err
}

// ParseFluorideSet finds a constant of hydrogen fluoride by name ("perezfraga1987").
func ParseFluorideSet(s string) (FluorideSet, error) {
	i, err := choose("fluoride constant", s, fluorideNames[:])
	return FluorideSet(i), err
}

// ParseMinorSet finds by name how the constants of water, phosphate and silicate
// come to the total scale: "millero1995", computed, or "guide2007", as printed there.
func ParseMinorSet(s string) (MinorSet, error) {
	i, err := choose("form of the minor constants", s, minorNames[:])
	return MinorSet(i), err
}

// ParseDensityFormula finds a formula of density by name ("teos10", also "exact").
func ParseDensityFormula(s string) (DensityFormula, error) {
	if plainName(s) == "exact" {
		return DensityExact, nil
	}
	i, err := choose("density formula", s, densityNames[:])
	return DensityFormula(i), err
}

// ParsePHScale finds a pH scale by name ("total"); "sws" is the seawater scale
// and "nist" the NBS scale.
func ParsePHScale(s string) (PHScale, error) {
	switch plainName(s) {
	case "sws":
		return SeawaterScale, nil
	case "nist":
		return NBSScale, nil
	}
	i, err := choose("pH scale", s, scaleNames[:])
	return PHScale(i), err
}

// String is the name ParseBoronRatio takes.
func (b BoronRatio) String() string { return nameOf("boron ratio", int(b), boronNames[:]) }

// String is the name ParseFluorideSet takes.
func (f FluorideSet) String() string { return nameOf("fluoride constant", int(f), fluorideNames[:]) }

// String is the name ParseMinorSet takes.
func (m MinorSet) String() string {
	return nameOf("form of the minor constants", int(m), minorNames[:])
}

// String is the name ParseDensityFormula takes.
func (d DensityFormula) String() string { return nameOf("density formula", int(d), densityNames[:]) }

// String is the name ParseCarbonSet takes; Source is for reading.
func (c CarbonSet) String() string {
	return nameOf("set of carbonic constants", int(c), carbonNames[:])
}

func nameOf(what string, i int, names []string) string {
	if i >= 0 && i < len(names) {
		return names[i]
	}
	return fmt.Sprintf("unknown %s %d", what, i)
}

func choose(what, s string, names []string) (int, error) {
	plain := plainName(s)
	for i, name := range names {
		if name == plain {
			return i, nil
		}
	}
	last := len(names) - 1
	return 0, fmt.Errorf("%s %q is not known, expected %s or %s", what, clip(s), strings.Join(names[:last], ", "), names[last])
}

var dropped = strings.NewReplacer(" ", "", ".", "", "-", "", "_", "", "&", "")

func plainName(s string) string { return dropped.Replace(strings.ToLower(s)) }

// clip keeps what was typed to what a sentence can carry.
func clip(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}
