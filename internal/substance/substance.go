package substance

import (
	"driftline/stoichiometry"
	"driftline/units"
)

// Form says how a substance is measured out.
type Form string

// The forms.
const (
	Solid    Form = "solid"    // weighed, in g
	Solution Form = "solution" // measured, in mL
)

// Substance is something that can be given to water, with all it does.
type Substance struct {
	Name    string
	Formula stoichiometry.Formula // empty for blends and labels
	Purity  float64               // fraction, 1 when not told
	Form    Form
	// Parts are the salts of a blend, by mass; nil for one salt.
	Parts []Part
	// Stock is how a solution is made up; nil when bought or unknown.
	Stock *MadeUp
	// Cautions are about handling it; the label outranks them.
	Cautions []string
	Declared bool // by the keeper
	gives    map[units.Quantity]Gives
}

// Part is one salt of a blend.
type Part struct {
	Salt string
	Mass float64 // fraction of the whole
}

// MadeUp is so many grams of a salt made up with water to so many litres.
type MadeUp struct {
	Salt      string
	GramsPerL float64
	Saturated bool // as much as will dissolve, such as limewater
}

// Gives is what one gram or millilitre does to one litre of water, in the
// default unit of the quantity.
type Gives struct {
	PerGram, PerML           float64
	KnownPerGram, KnownPerML bool
}
