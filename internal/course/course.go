package course

import (
	"time"
)

// Ask is a course a keeper wants to begin.
type Ask struct {
	Tank       string
	Known      string // a course of the trade by name ("peroxide"), or ""
	Name       string
	Action     string // "dose" or "chore"
	Substance  string
	Amount     float64 // of one dose; 0 takes the trade's by net volume
	Unit       string
	Chore      string
	EveryHours float64
	Days       float64
	Start      time.Time
	Signs      []string
	Watch      []string
	Stop       string
}

// Slot is one turn of a course.
type Slot struct {
	At     time.Time `json:"at"`
	Amount float64   `json:"amount"`
	Unit   string    `json:"unit"`
	Line   string    `json:"line,omitempty"` // the logged line that did it
	State  string    `json:"state"`          // "done", "missed", "due", "to come"
}

// Plan is a course worked out. Refused says why there is none.
type Plan struct {
	Tank       string    `json:"tank"`
	Name       string    `json:"name"`
	Action     string    `json:"action"`
	Substance  string    `json:"substance,omitempty"`
	Chore      string    `json:"chore,omitempty"`
	Amount     float64   `json:"amount"`
	Unit       string    `json:"unit"`
	Most       float64   `json:"most"` // ceiling of one dose in Unit; 0: none known
	EveryHours float64   `json:"every_hours"`
	Start      time.Time `json:"start"`
	Days       float64   `json:"days"`
	Slots      []Slot    `json:"slots"`
	Total      float64   `json:"total"`
	Signs      []string  `json:"signs"`
	Watch      []string  `json:"watch"`
	Stop       string    `json:"stop"`
	Cautions   []string  `json:"cautions"`
	Warnings   []string  `json:"warnings"`
	Refused    string    `json:"refused,omitempty"`
	Says       string    `json:"says"`
}
