package whatif

import "time"

// Change is a way in which a plan differs from going on as declared.
type Change struct {
	// What is one of: "stop" (a routine, or all hand work when Routine is ""),
	// "routine" (one more), "dose", "water change", "top-off" (evaporation not
	// replaced when Litres is 0), "demand" (scaled by Factor).
	What        string
	Routine     string
	Substance   string
	Amount      float64
	Unit        string
	Litres      float64
	Share       float64 // of the water, for a water change
	Mix         string
	EveryDays   float64
	From, Until time.Time
	Quantity    string
	Factor      float64
}

// Plan is a named way to go on.
type Plan struct {
	Name    string
	Changes []Change
	// Corrections and courses already accepted are part of every plan unless
	// HandsOff.
	HandsOff bool // only machines run
}

// Ask is a comparison of up to four plans.
type Ask struct {
	Tank  string
	Days  int // 1 to 365
	Draws int // 0 takes 2,000
	Seed  uint64
	Plans []Plan
}

// Day is the level of a quantity on one day over the draws, and the chance that
// it has left its band by then.
type Day struct {
	At                      time.Time
	P05, P25, P50, P75, P95 float64
	POutside                float64
}

// Course of one quantity under one plan.
type Course struct {
	Quantity       string
	Unit           string
	Days           []Day
	PLeave         float64 // chance of leaving its band within the span, having been inside at the start
	POutAtEnd      float64
	Low, Aim, High *float64
	Says           string
}

// Outcome is what one plan comes to.
type Outcome struct {
	Name        string
	Courses     []Course
	Used        []Used
	WaterL      float64 // new salt water
	TopOffL     float64
	HandActions int
	Cost        float64 // 0 when no price is known
	Currency    string
	Unpriced    []string
	Says        string
}

// Used is how much of a substance a plan takes.
type Used struct {
	Substance string
	Amount    float64
	Unit      string
}
