package correction

import (
	"time"

	"driftline/internal/standing"
	"driftline/units"
)

// Ask is what a keeper wants.
type Ask struct {
	Tank      string
	Quantity  units.Quantity
	To        float64 // the aim, in Unit; NaN takes the band's aim
	Unit      string
	Substance string    // "" takes the usual one for the quantity
	MostADay  float64   // largest rise a day in Unit, 0: the keeper's preference, else the trade's
	DosesADay int       // 0: as many as the substance and the size ask for
	Start     time.Time // zero: the next convenient hour after as-of
}

// Step is one dose, or a test when Substance is empty.
type Step struct {
	At        time.Time         `json:"at"`
	Substance string            `json:"substance"`
	Amount    float64           `json:"amount"`
	Unit      string            `json:"unit"`
	Expected  standing.Estimate `json:"expected"` // of the quantity, after the step
	Why       string            `json:"why,omitempty"`
}

// Check is a test on the way: what it should read and what to do if it does not.
type Check struct {
	At       time.Time         `json:"at"`
	Quantity string            `json:"quantity"`
	Expected standing.Estimate `json:"expected"` // of the reading: the level's doubt and the kit's
	Low      float64           `json:"low"`      // read below this, or above High, and the plan stops
	High     float64           `json:"high"`
	Unit     string            `json:"unit"`
	If       string            `json:"if_not"` // what to do when it reads otherwise
	Why      string            `json:"why,omitempty"`
}

// SideEffect is what comes along with the doses.
type SideEffect struct {
	What   string  `json:"what"` // "salinity", "chloride", "calcium", "pH", …
	Change float64 `json:"change"`
	Unit   string  `json:"unit"`
	Over   string  `json:"over"` // "the whole correction", "a year of dosing", "one dose"
	Says   string  `json:"says"`
}

// Total is all that the plan uses, against the shelf.
type Total struct {
	Substance string   `json:"substance"`
	Amount    float64  `json:"amount"`
	Unit      string   `json:"unit"`
	OnShelf   *float64 `json:"on_shelf,omitempty"` // nil: nobody said
	Says      string   `json:"says"`
}

// Plan is a correction worked out. Refused says why there is none, in one
// sentence; then Steps is empty and Instead may hold what would be sensible.
type Plan struct {
	Tank         string            `json:"tank"`
	Quantity     string            `json:"quantity"`
	Unit         string            `json:"unit"`
	AsOf         time.Time         `json:"as_of"`
	From         standing.Estimate `json:"from"`
	Demand       standing.Estimate `json:"demand"` // net loss a day
	Aim          float64           `json:"aim"`
	MostADay     float64           `json:"most_a_day"`
	Substance    string            `json:"substance"`
	Steps        []Step            `json:"steps"`
	Checks       []Check           `json:"checks"`
	Totals       []Total           `json:"totals"`
	SideEffects  []SideEffect      `json:"side_effects"`
	SalinityRise float64           `json:"salinity_rise_psu"`
	After        standing.Estimate `json:"after"` // the expected level at the end
	Cautions     []string          `json:"cautions"`
	Warnings     []string          `json:"warnings"` // "test again first", "raise magnesium first", …
	Refused      string            `json:"refused,omitempty"`
	Instead      string            `json:"instead,omitempty"`
	Says         string            `json:"says"` // the plan in one sentence
}

// State is how an accepted plan stands.
type State string

// The states of an accepted plan.
const (
	Running State = "running"
	Done    State = "done"
	Stopped State = "stopped" // a reading disagreed, or something else broke it
	Ended   State = "ended"   // by the keeper
)
