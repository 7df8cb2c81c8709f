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
	To        *float64 // the aim, in Unit; nil takes the band's
	Unit      string   // "" takes the one the quantity is shown in
	Substance string   // "" takes the usual one for the quantity
	MostADay  float64  // largest rise a day in Unit; 0 takes the keeper's preference, else the trade's
	DosesADay int      // 0: as many as the substance and the size ask for
	Anew      bool     // work the rest of an open plan of the quantity out again, in its place
}

// Step is one dose, with the level that is expected right after it.
type Step struct {
	At        time.Time         `json:"at"`
	Substance string            `json:"substance"`
	Amount    float64           `json:"amount"`
	Unit      string            `json:"unit"`
	Expected  standing.Estimate `json:"expected"`
}

// Check is a test on the way: what it should read and what to do if it does not.
type Check struct {
	At       time.Time         `json:"at"`
	Quantity string            `json:"quantity"`
	Expected standing.Estimate `json:"expected"` // of the reading: the level's doubt and the kit's
	Low      float64           `json:"low"`      // a reading below this, or above High, stops the plan
	High     float64           `json:"high"`
	Unit     string            `json:"unit"`
	IfNot    string            `json:"if_not"`
}

// SideEffect is what comes along with the doses.
type SideEffect struct {
	What   string  `json:"what"`
	Change float64 `json:"change"`
	Unit   string  `json:"unit"`
	Over   string  `json:"over"` // "the whole correction", "one dose", "all of it at once", "a year of keeping the level up"
	Says   string  `json:"says"`
}

// Total is all that the plan uses.
type Total struct {
	Substance string  `json:"substance"`
	Amount    float64 `json:"amount"`
	Unit      string  `json:"unit"`
}

// Plan is a correction worked out. Refused says in one sentence why there is
// none; then Steps is empty and Instead says what would be sensible.
type Plan struct {
	Tank         string            `json:"tank"`
	Quantity     string            `json:"quantity"`
	Unit         string            `json:"unit"`
	AsOf         time.Time         `json:"as_of"`
	From         standing.Estimate `json:"from"`
	Demand       standing.Estimate `json:"demand"` // net loss a day
	Aim          float64           `json:"aim"`
	MostADay     float64           `json:"most_a_day"`
	Steps        []Step            `json:"steps"`
	Total        Total             `json:"total"`
	Checks       []Check           `json:"checks"`
	After        standing.Estimate `json:"after"` // the expected level right after the last dose
	SideEffects  []SideEffect      `json:"side_effects"`
	SalinityRise float64           `json:"salinity_rise_psu"`
	Year         string            `json:"a_year,omitempty"` // what keeping the level up with it for a year leaves behind
	Cautions     []string          `json:"cautions"`
	Warnings     []string          `json:"warnings"`
	Refused      string            `json:"refused,omitempty"`
	Instead      string            `json:"instead,omitempty"`
	Says         string            `json:"says"`
	Replaces     []string          `json:"replaces,omitempty"` // open plans that accepting it ends
}
