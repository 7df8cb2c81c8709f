package course

import (
	"time"

	"driftline/internal/book"
	"driftline/internal/stoprule"
)

// Ask is a course a keeper wants to begin.
type Ask struct {
	Tank       string
	Known      string // a course of the trade by name, or "" for the keeper's own
	Name       string
	Action     string // "dose", the default, or "chore"
	Substance  string
	Amount     float64 // of one dose; 0 takes the trade's by net volume
	Unit       string  // g or mL
	Most       float64 // ceiling of one dose by the keeper, in Unit; 0: none, or the known one
	Chore      string
	EveryHours float64
	Days       float64
	Start      time.Time // zero: as-of
	Signs      []string
	Watch      []string
	Stop       string
	StopWhen   []stoprule.Rule // nil takes the known course's
	HalfDays   *float64        // days at half the amount to begin with; nil takes the known course's
}

// Plan is a course worked out. Refused says in one sentence why there is none.
type Plan struct {
	Tank       string    `json:"tank"`
	Name       string    `json:"name"`
	Action     string    `json:"action"`
	Substance  string    `json:"substance,omitempty"`
	Chore      string    `json:"chore,omitempty"`
	Amount     float64   `json:"amount,omitempty"`
	Unit       string    `json:"unit,omitempty"`
	Most       float64   `json:"most,omitempty"` // ceiling of one dose in Unit; 0: none is known
	EveryHours float64   `json:"every_hours"`
	Start      time.Time `json:"start"`
	Days       float64   `json:"days"`
	Turns      int       `json:"turns"`
	Total      float64   `json:"total,omitempty"`
	Signs      []string  `json:"signs"`
	Watch      []string  `json:"watch"`
	Stop       string    `json:"stop"`
	StopWhen   []string  `json:"stop_when"` // rules watched by the book, in their short form
	HalfDays   float64   `json:"half_days,omitempty"`
	Cautions   []string  `json:"cautions"`
	Warnings   []string  `json:"warnings"`
	Refused    string    `json:"refused,omitempty"`
	Instead    string    `json:"instead,omitempty"`
	Says       string    `json:"says"`

	rules []stoprule.Rule
	place *time.Location // of the tank
}

// Rules are the stop rules that the book watches.
func (p *Plan) Rules() []stoprule.Rule { return p.rules }

// TurnState is how one turn of a course stands.
type TurnState string

// The states of a turn.
const (
	Done   TurnState = "done"
	Missed TurnState = "missed" // never made up for
	Due    TurnState = "due"
	ToCome TurnState = "to come"
	Left   TurnState = "left out" // not asked for: the course had stopped, or was ended
)

// Turn is one turn of an accepted course.
type Turn struct {
	At     time.Time   `json:"at"`
	State  TurnState   `json:"state"`
	Amount book.Number `json:"amount,omitempty"` // of its dose
	Line   string      `json:"line,omitempty"`   // the logged line that did it
}
