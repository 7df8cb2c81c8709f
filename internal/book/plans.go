package book

import "time"

type (
	// Step is one dose of a plan, or, without an amount, a test on the way.
	// Expected is what the plan's quantity should be after it, with one standard
	// deviation, in the plan's unit.
	Step struct {
		At        *time.Time `json:"at"`
		Substance string     `json:"substance,omitempty"` // the plan's own when absent
		Amount    Number     `json:"amount,omitempty"`
		Unit      string     `json:"unit,omitempty"` // of the amount
		Expected  Number     `json:"expected,omitempty"`
		SD        Number     `json:"sd,omitempty"`
	}
	// Correction is an accepted plan to bring a quantity to an aim.
	Correction struct {
		Quantity  string `json:"quantity"`
		From      Number `json:"from,omitempty"` // the level when it was worked out
		SD        Number `json:"sd,omitempty"`   // of From
		Aim       Number `json:"aim"`
		Unit      string `json:"unit"` // of the quantity
		Substance string `json:"substance"`
		MostADay  Number `json:"most_a_day,omitempty"` // largest rise a day it keeps to
		Steps     []Step `json:"steps"`
	}
	// Course is an accepted treatment or habit by schedule: the same thing every
	// so many hours for so many days, with a rule when to stop.
	Course struct {
		Name       string     `json:"name"`
		Action     string     `json:"action,omitempty"` // "dose", the default, or "chore"
		Substance  string     `json:"substance,omitempty"`
		Amount     Number     `json:"amount,omitempty"` // of one dose
		Unit       string     `json:"unit,omitempty"`
		Most       Number     `json:"most,omitempty"` // ceiling of one dose, in Unit
		Chore      string     `json:"chore,omitempty"`
		EveryHours Number     `json:"every_hours"`
		From       *time.Time `json:"from,omitempty"` // the line's own time when absent
		Days       Number     `json:"days"`
		Signs      []string   `json:"signs,omitempty"` // scored before, during and after
		Watch      []string   `json:"watch,omitempty"` // what to look at
		Stop       string     `json:"stop,omitempty"`  // the stop rule in words
		StopWhen   []StopRule `json:"stop_when,omitempty"`
		HalfDays   Number     `json:"half_days,omitempty"` // days at half the amount to begin with
	}
	// StopRule is a stop rule that the book itself can watch: a sign scored, or a
	// quantity read, at or beyond a value so many times running.
	StopRule struct {
		Sign     string `json:"sign,omitempty"`     // this,
		Quantity string `json:"quantity,omitempty"` // or this
		Is       string `json:"is"`                 // "at most", "at least", "above", "below"
		Value    Number `json:"value"`
		Unit     string `json:"unit,omitempty"`  // of a quantity
		Times    Number `json:"times,omitempty"` // running; once when absent
	}
	// PlanResume lets a plan go on that its stop rule has stopped: what was logged
	// until then stops it no more.
	PlanResume struct {
		Plan string `json:"plan"` // id of its line
		Why  string `json:"why,omitempty"`
	}
	// PlanEnd ends a correction or a course before its last step.
	PlanEnd struct {
		Plan string `json:"plan"` // id of its line
		Why  string `json:"why,omitempty"`
	}
	// Stock is how much of something is on the shelf: all there is at that
	// moment, or with Added what came on top.
	Stock struct {
		Substance string     `json:"substance"` // or a salt, by its name
		Amount    Number     `json:"amount"`
		Unit      string     `json:"unit"`
		Added     bool       `json:"added,omitempty"`
		Price     Number     `json:"price,omitempty"` // paid for this amount
		Currency  string     `json:"currency,omitempty"`
		Expires   *time.Time `json:"expires,omitempty"` // the date on the label
	}
)
