package waterbench

import (
	"time"

	"driftline/units"
)

// Entry is one figure as measured, in any unit the quantity has.
type Entry struct {
	Quantity units.Quantity
	Value    float64
	Unit     string
	// SD is one standard deviation in the same unit; zero takes the usual doubt
	// of a home kit for the quantity.
	SD float64
	// SampleTempC is the temperature of the sample when it was read, for
	// specific gravity and conductivity; nil when the instrument compensates or
	// nobody knows.
	SampleTempC *float64
}

// Sample is what was measured of one water. AirPCO2 is the carbon dioxide in
// the air over it in µatm, zero for open air.
type Sample struct {
	Name    string
	Entries []Entry
	AirPCO2 float64
}

// Finding is one thing that follows, with its doubt and one plain sentence.
type Finding struct {
	Key   string // stable name, such as "carbon dioxide" or "aragonite"
	Title string
	Value float64
	SD    float64
	Unit  string // "" where there is none
	Text  string // the figure with its doubt and unit, ready to show
	Says  string // one plain sentence: what it means for a keeper
	// Assumed names what was not measured and was taken for granted, such as
	// "calcium from salinity"; empty when nothing was.
	Assumed []string
}

// Group is findings that belong together, in the order they are shown.
type Group struct {
	Title    string
	Findings []Finding
}

// Sheet is all that follows from a sample. Missing says in sentences what could
// be told too if another figure were known; Warnings come first on a screen.
type Sheet struct {
	Name     string
	Groups   []Group
	Missing  []string
	Warnings []string

	water *water // for Compare
}

// Point is one derived figure at a moment of a tank's past.
type Point struct {
	At       time.Time
	Mean, SD float64
}

// Series is one derived figure over time.
type Series struct {
	Key    string
	Title  string
	Unit   string
	Points []Point
	Says   string // one sentence on the newest point and where it has been going
	// Low and High are the limits worth drawing; nil where there is none.
	Low, High *float64
	// Mark is a level worth drawing that is no limit, such as open air or sea
	// water of 35; nil where there is none.
	Mark     *float64
	MarkName string
	Needs    string   // when there is no point: what the log would need
	Assumed  []string // what was taken for granted, a phrase each
}
