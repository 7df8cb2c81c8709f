package standing

import "time"

// State is how a quantity stands, always shown as the word.
type State string

// The states, calmest first. Unknown means too few readings to say.
const (
	Steady   State = "steady"
	Drifting State = "drifting"
	NearEdge State = "near the edge"
	Outside  State = "outside"
	Unknown  State = "unknown"
)

// Estimate is a figure with one standard deviation of doubt.
type Estimate struct {
	Mean float64 `json:"mean"`
	SD   float64 `json:"sd"`
}

// Band is where the quantity should be. A limit that does not apply is nil.
type Band struct {
	Low        *float64 `json:"low"`
	Aim        *float64 `json:"aim"`
	High       *float64 `json:"high"`
	FromKeeper bool     `json:"-"` // false: the default of the tank's system
}

// Day is the forecast for one moment, quantiles of the true level, and the
// chance that it has been outside the band at any time from as-of until then.
type Day struct {
	At       time.Time `json:"at"`
	Mean     float64   `json:"mean"`
	SD       float64   `json:"sd"`
	P05      float64   `json:"p05"`
	P10      float64   `json:"p10"`
	P25      float64   `json:"p25"`
	P50      float64   `json:"p50"`
	P75      float64   `json:"p75"`
	P90      float64   `json:"p90"`
	P95      float64   `json:"p95"`
	POutside float64   `json:"p_outside"`
}

// Leaving says when the quantity leaves its band.
type Leaving struct {
	PNow         float64    `json:"p_now"` // chance that it is outside already
	P7           float64    `json:"p_within_7d"`
	P14          float64    `json:"p_within_14d"`
	P30          float64    `json:"p_within_30d"`
	EvenChanceBy *time.Time `json:"even_chance_by"`
	Side         string     `json:"side"` // "low", "high", or "" when neither is likely
	Either       bool       `json:"-"`    // the other side is not much less likely
}

// NextTest is the latest sensible day for the next test and one line of why.
type NextTest struct {
	On  time.Time `json:"on"`
	Why string    `json:"why"`
}

// Reading is a test result in the shown unit with the doubt given to it.
type Reading struct {
	Line       string
	At         time.Time
	Value      float64
	SD         float64 // of repetition; the instrument's bias comes on top
	Instrument string
	Below      bool     // under the kit's limit Value
	Misread    float64  // chance that it is a misread, 0 to 1
	Expected   Estimate // what the rest of the log led one to expect of this reading
}

// Point is the smoothed level at a moment of the past.
type Point struct {
	At   time.Time
	Mean float64
	SD   float64
}

// Deed is something the keeper or a machine did that moved the quantity, or may have.
type Deed struct {
	Line   string
	At     time.Time
	Label  string  // "dose, 40 g magnesium chloride"
	Effect float64 // known change of the level, in the shown unit; 0 when not known
}

// Kit is an instrument as the log shows it: how far it sits off and how much it scatters.
type Kit struct {
	Name   string
	Bias   Estimate
	SD     float64
	Latest time.Time // its latest reading
	Unit   string    // unit it was last typed in
}

// Quantity is how one quantity of one tank stands at a moment.
type Quantity struct {
	Tank     string
	Name     string // the quantity, "alkalinity"
	Unit     string // unit of every figure here
	AsOf     time.Time
	State    State
	Why      string // one line, from the ledger
	Band     Band
	Level    Estimate
	Demand   Estimate // net loss a day
	Forecast []Day    // daily from as-of, under the declared routines
	HandsOff []Day    // the same with all hand work stopped
	Leaves   Leaving
	NextTest NextTest
	LastTest time.Time // zero when never tested
	Readings []Reading
	History  []Point
	Deeds    []Deed
	Kits     []Kit
	// Simple marks temperature, pH and redox: level, swing of a day and trend only.
	Simple     bool
	DailySwing Estimate
}

// Entry is one line of a ledger: a change of the level over the span.
type Entry struct {
	Name   string   `json:"name"`   // "dose", "water change", "top-off", "routine", "food", "demand", "unexplained"
	Detail string   `json:"detail"` // substance or mix
	Count  int      `json:"count"`
	Change Estimate `json:"change"` // in the unit of the ledger, signed
	Grams  *float64 `json:"grams"`  // of the quantity in the whole tank, signed; nil where mass makes no sense
}

// Ledger says where a change came from. From.Mean plus all Change.Mean is To.Mean exactly.
type Ledger struct {
	Tank     string    `json:"tank"`
	Quantity string    `json:"quantity"`
	Unit     string    `json:"unit"`
	Start    time.Time `json:"from"`
	End      time.Time `json:"to"`
	From     Estimate  `json:"level_from"`
	To       Estimate  `json:"level_to"`
	Entries  []Entry   `json:"entries"`
	Sentence string    `json:"sentence"` // the one-line why
}
