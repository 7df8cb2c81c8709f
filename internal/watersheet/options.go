package watersheet

import "driftline/seawater"

// Options are the constants and formulas used. The zero value is Lueker 2000,
// Dickson 1990, Perez and Fraga 1987, Uppström 1974, TEOS-10 density and calcium
// from salinity.
type Options struct {
	Basis seawater.Basis
	// EOS80 asks for the density of Millero and Poisson 1981 beside that of
	// TEOS-10, which turns litres into kilograms in any case.
	EOS80 bool
	// Pair is the temperature pair of a specific gravity on lines that name none;
	// zero: such a line is told of.
	Pair *seawater.Pair
}
