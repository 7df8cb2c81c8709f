package book

import "time"

// Facts is what the log says as of a moment, with corrections and retractions
// applied and lines later than that moment left out.
//
// Declarations keep their history: a mix, an instrument or a routine declared
// anew under the same name holds from that line's time on.
type Facts struct {
	AsOf        time.Time
	Tanks       []TankFacts // in order of first declaration
	Instruments []Declared[*Instrument]
	Substances  []Declared[*Substance]
	Mixes       []Declared[*Mix]
	Foods       []Declared[*Food]
	Stock       []Line            // what was said of the shelf, oldest first
	Absences    []Line            // of the keeper, in order of when they were written down
	Preferences map[string]string // newest value by Key of the name
	Notes       []Line            // notes that belong to no tank
	Problems    []Problem         // lines that cannot be used, each with a sentence

	names    aliases         // what corrections renamed
	replaced map[string]bool // ids that a line replaces
}

// TankFacts is what the log says of one tank. Slices are oldest first.
type TankFacts struct {
	Tank      Tank // newest declaration
	Declared  []Declared[*Tank]
	Location  *time.Location // of the tank's time_zone, UTC when absent or unknown
	Bands     []Declared[*Band]
	Routines  []Declared[*Routine] // every version; the newest of a name is the one in force
	Equipment []Declared[*Equipment]
	Events    []Line // reading, dose, water change, … in order of At, replaced and voided lines left out

	// Edition is the same for facts that say the same of this tank and of all
	// that is shared by the tanks, whatever their as-of; nil in facts made by hand.
	Edition *Edition
}

// Edition is told from another by its address alone.
type Edition struct{ _ byte }

// Declared is a declaration with the moment from which it holds.
type Declared[T any] struct {
	From time.Time
	Line string // id
	Body T
}

// Problem is a stored line that the facts cannot use.
type Problem struct {
	Line   string
	Reason string
}
