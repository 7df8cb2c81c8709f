package whatif

import (
	"time"

	"driftline/units"
)

// Change is a way in which a plan differs from going on as declared. Without
// From it holds from as-of, or, for what is repeated, first comes one interval
// after as-of; without Until it holds to the end.
type Change struct {
	// What is one of: "stop" (a routine, or all hand work when Routine is ""),
	// "stop dosing" and "stop water changes" (by hand or machine), "routine"
	// (one more), "dose", "water change", "top-off" (evaporation not replaced
	// when Litres is 0, else so much of it), "demand" (scaled by Factor), "food" (all
	// food Factor times, or so much of a food a day instead of it), "more food" (so much
	// of a food a day besides), "harvest" (Amount of drained wet mass each time).
	What      string    `json:"what"`
	Routine   string    `json:"routine,omitempty"`
	Substance string    `json:"substance,omitempty"`
	Amount    float64   `json:"amount,omitempty"`
	Unit      string    `json:"unit,omitempty"`
	Litres    float64   `json:"litres,omitempty"`
	Share     float64   `json:"share,omitempty"` // of the water, for a water change
	Mix       string    `json:"mix,omitempty"`
	EveryDays float64   `json:"every_days,omitempty"`
	From      time.Time `json:"from,omitzero"`
	Until     time.Time `json:"until,omitzero"`
	Quantity  string    `json:"quantity,omitempty"`
	Factor    float64   `json:"factor,omitempty"`
}

// Plan is a named way to go on.
type Plan struct {
	Name    string   `json:"name"`
	Changes []Change `json:"changes"`
	// Corrections and courses already accepted are part of every plan unless
	// HandsOff.
	HandsOff bool `json:"hands_off"` // only machines run
}

// Ask is a comparison of up to four plans.
type Ask struct {
	Tank  string `json:"tank"`
	Days  int    `json:"days"`  // 1 to 365
	Draws int    `json:"draws"` // 0 takes 2,000
	Seed  uint64 `json:"seed"`
	Plans []Plan `json:"plans"`
	// Only leaves out all quantities but these; empty follows them all.
	Only []units.Quantity `json:"only,omitempty"`
}

// Day is the level of a quantity on one day over the draws, and the chance that
// it has left its band by then.
type Day struct {
	At       time.Time `json:"at"`
	P05      float64   `json:"p05"`
	P25      float64   `json:"p25"`
	P50      float64   `json:"p50"`
	P75      float64   `json:"p75"`
	P95      float64   `json:"p95"`
	POutside float64   `json:"p_outside"`
}

// Gap is how far a level at the end lies above that of the first plan, draw by
// draw.
type Gap struct {
	Plan string  `json:"plan"` // the first
	P05  float64 `json:"p05"`
	P50  float64 `json:"p50"`
	P95  float64 `json:"p95"`
}

// Course of one quantity under one plan.
type Course struct {
	Quantity  string  `json:"quantity"`
	Unit      string  `json:"unit"`
	Days      []Day   `json:"days"`
	PLeave    float64 `json:"p_leave"` // chance of leaving its band within the span, having been inside at the start
	POutAtEnd float64 `json:"p_out_at_end"`
	// PBelowAtEnd and PAboveAtEnd are its two sides.
	PBelowAtEnd float64  `json:"p_below_at_end"`
	PAboveAtEnd float64  `json:"p_above_at_end"`
	Low         *float64 `json:"low"`
	Aim         *float64 `json:"aim"`
	High        *float64 `json:"high"`
	Against     *Gap     `json:"against"` // nil for the first plan
	Says        string   `json:"says"`
}

// Outcome is what one plan comes to.
type Outcome struct {
	Name        string   `json:"name"`
	Courses     []Course `json:"courses"`
	Used        []Used   `json:"used"`
	WaterL      float64  `json:"water_l"` // new salt water
	TopOffL     float64  `json:"top_off_l"`
	HandActions int      `json:"hand_actions"`
	Cost        float64  `json:"cost"` // 0 when no price is known
	Currency    string   `json:"currency"`
	Unpriced    []string `json:"unpriced"`
	Uncounted   []string `json:"uncounted"` // what goes in without anybody having said what it holds
	Assumed     []string `json:"assumed"`   // what was taken because the book does not say
	Says        string   `json:"says"`
}

// Used is how much of a substance a plan takes.
type Used struct {
	Substance string  `json:"substance"`
	Amount    float64 `json:"amount"`
	Unit      string  `json:"unit"`
}
