package course

import "time"

// Ask is a course a keeper wants to begin.
type Ask struct {
	Tank       string
	Known      string // a course of the trade by name, or "" for the keeper's own
	Name       string
	Action     string // "dose", the default, or "chore"
	Substance  string
	Amount     float64 // of one dose; 0 takes the trade's by net volume
	Unit       string  // g or mL
	Chore      string
	EveryHours float64
	Days       float64
	Start      time.Time // zero: as-of
	Signs      []string
	Watch      []string
	Stop       string
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
	Cautions   []string  `json:"cautions"`
	Warnings   []string  `json:"warnings"`
	Refused    string    `json:"refused,omitempty"`
	Instead    string    `json:"instead,omitempty"`
	Says       string    `json:"says"`
}

// TurnState is how one turn of a course stands.
type TurnState string

// The states of a turn.
const (
	Done   TurnState = "done"
	Missed TurnState = "missed" // never made up for
	Due    TurnState = "due"
	ToCome TurnState = "to come"
)

// Turn is one turn of an accepted course.
type Turn struct {
	At    time.Time `json:"at"`
	State TurnState `json:"state"`
	Line  string    `json:"line,omitempty"` // the logged line that did it
}
