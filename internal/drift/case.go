package drift

// Case is all the engine needs to know of one quantity in one tank. Times are
// days from any fixed origin; levels are in one unit, the unit of the case.
// Slices must be in order of T.
type Case struct {
	Habit    Habit
	Kits     []Kit
	Readings []Reading
	Inputs   []Input   // what was added at a moment
	Changes  []Change  // water changes
	Feeds    []Feed    // what a machine adds continuously
	Food     []Feed    // what the food would give if all of it ended in the water; gaps are days as usual
	Mixes    []float64 // standard deviation of the standing error of each mix of salt water
	Band     Band
}

// Reading is one test result. Below means under the kit's limit Value.
type Reading struct {
	T, Value float64
	Kit      int
	Below    bool
}

// Kit is how an instrument errs: SD of repetition, RelSD in proportion to the
// level, Resolution of its scale, BiasSD of its standing offset and RelBiasSD
// of an offset in proportion to the level.
type Kit struct {
	SD, RelSD, Resolution, BiasSD, RelBiasSD float64
}

// Input raises the level by Delta at T, known to within SD. Source is the
// caller's own index for the ledger.
type Input struct {
	T, Delta, SD float64
	Source       int
}

// Change mixes a fraction of new water of concentration Value at T. Mix indexes
// Case.Mixes, -1 for a composition of its own, whose doubt is SD.
type Change struct {
	T, Fraction, Value, SD float64
	Mix                    int
	Source                 int
}

// Feed adds Rate a day from From until To.
type Feed struct {
	From, To, Rate float64
	Source         int
}

// Band is where the level should be; NaN for a side that does not apply.
type Band struct{ Low, High float64 }

// Plan is what will be done after as-of: a forecast follows it.
type Plan struct {
	Inputs  []Input
	Changes []Change
	Feeds   []Feed
	Food    []Feed // gaps are days as usual
}

// Estimate is a figure with one standard deviation of doubt.
type Estimate struct{ Mean, SD float64 }
