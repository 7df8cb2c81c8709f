package drift

// Outlook is the forecast from a moment on.
type Outlook struct {
	Days []Day
	PNow float64 // chance that the level is outside the band at the start
	// PLow and PHigh are the chances of leaving first on either side within the horizon.
	PLow, PHigh float64
}

// Day is the forecast for one moment. Q holds the quantiles of the true level
// for the chances in Quantiles. POutside is the chance that the level has been
// outside the band at any time from the start until T; PNew the same for paths
// that were inside at the start.
type Day struct {
	T, Mean, SD    float64
	Q              [7]float64
	POutside, PNew float64
}

// Quantiles are the chances of Day.Q.
var Quantiles = [7]float64{0.05, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95}

// Doubt is what the engine thinks of one reading.
type Doubt struct {
	Misread  float64  // chance that it is a misread
	Expected Estimate // of the reading, from the rest of the log
	SD       float64  // of repetition, as estimated
}

// Sum is one source's part in a ledger. The changes of all sources, the demand
// and the unexplained rest add up to the change of the level exactly.
type Sum struct {
	Source int
	Count  int
	Change Estimate
}

// Account says where a change of the level came from.
type Account struct {
	From, To    Estimate
	Inputs      []Sum     // by Source
	Changes     []Sum     // by Source
	Feeds       []Sum     // by Source
	Food        *Estimate // what food gave; nil when the case tells of none
	Demand      Estimate  // negative when it took
	Unexplained Estimate
}
