package supply

import "time"

// Item is one thing on the shelf.
type Item struct {
	Name     string
	Unit     string // g or mL
	Left     float64
	Counted  time.Time // newest count
	ADay     float64   // what routines and plans use on an average day from now on
	RunsOut  time.Time // zero: not within two years
	UsedBy   []Use
	Price    float64 // for one Unit; 0 unknown
	Currency string
	Says     string
}

// Use is what draws on an item.
type Use struct {
	Tank  string
	By    string // the routine or the plan, in words
	ADay  float64
	Until time.Time // zero: open
}
