package waterbench

import "time"

// Difference is one finding of two waters side by side.
type Difference struct {
	Key, Title, Unit string
	A, B             string  // the figures with their doubt and unit, ready to show
	Value, SD        float64 // b less a, with its doubt
	Text             string  // the same, ready to show
	Real             bool    // beyond twice its doubt
	// Says tells a real difference and what a change of water would do to it;
	// empty for one that is not real.
	Says string
	// AfterChange is where a stands once ChangeShare of it was replaced by b, ready
	// to show; empty where that cannot be told.
	AfterChange string
}

// ChangeShare is the part of the water that Compare replaces to tell what a
// change would do.
const ChangeShare = 0.10

// Estimate is a figure with one standard deviation of doubt.
type Estimate struct{ Mean, SD float64 }

func (e Estimate) figure() figure { return figure{e.Mean, e.SD} }

// Place is a water by its alkalinity and pH, in the units of the diagnosis.
type Place struct {
	At             time.Time // zero on a line
	Alkalinity, PH Estimate
	CO2            Estimate // µatm
}

// CO2Line is where water of one pressure of carbon dioxide stands, from low
// alkalinity to high.
type CO2Line struct {
	UAtm    float64
	Label   string // "600 µatm", "open air, 420 ppm"
	OpenAir bool
	Points  []Place
}

// Limits are a band; a limit that does not apply is nil.
type Limits struct{ Low, Aim, High *float64 }

// HourPart is what pH does in one part of the day.
type HourPart struct {
	Name     string // "morning", "evening"
	PH       Estimate
	CO2      Estimate // µatm
	Readings int
}

// Outcome is where pH would come to if something were done.
type Outcome struct {
	Name string   // "air it to balance with open air"
	PH   Estimate // on the diagnosis' scale
	Gain Estimate // above where it stands
	Says string
}

// PHDiagnosis is why a tank's pH is what it is.
type PHDiagnosis struct {
	Tank                   string
	PHUnit, AlkalinityUnit string // as the keeper uses them; of every pH and alkalinity here
	// Needs says what the log would need; then nothing below is filled in.
	Needs string

	Level          Place    // pH over the recent readings, the swing of the day taken out
	Newest         Place    // at the newest reading
	Recent         []Place  // the readings behind Level and some before them, oldest first
	CO2            Estimate // µatm at Level
	Ratio          Estimate // of that to open air
	TempC          Estimate
	Salinity       Estimate // PSU
	Day            []HourPart
	Lines          []CO2Line
	PHBand         Limits
	AlkalinityBand Limits

	ChanceAboveAir float64 // that the water holds more carbon dioxide than open air
	ChanceAir      float64 // that carbon dioxide, more than alkalinity, sets pH off from usual water in open air
	Aired, Halfway Outcome
	Raised         Outcome // alkalinity brought to its aim, or by 1 dKH where it is there already, carbon dioxide as it is

	Says     string   // the diagnosis in one sentence
	Findings []string // what it rests on and what would do what, a sentence each
	Assumed  []string
}
