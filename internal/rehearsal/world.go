package rehearsal

import "math"

// World is a kind of tanks and keepers. A forecaster that was tuned to one
// world should hold in the others too, at least nearly: nobody knows which of
// them a real tank lives in.
type World string

// The worlds.
const (
	Usual    World = "usual"
	Calm     World = "calm"     // little changes, pumps are true, labels are right
	Restless World = "restless" // demand and feeding move twice as much
	Brisk    World = "brisk"    // nutrients turn over fast, magnesium sinks, corals heed saturation
	Rough    World = "rough"    // twice the misreads, labels and volumes far off, most pumps fail, kits declared by method only
)

// Worlds lists them.
var Worlds = []World{Usual, Calm, Restless, Brisk, Rough}

// world are the figures that tell one world from another.
type world struct {
	unrest   float64 // exponent on the swings of demand and feeding
	orders   []float64
	magSink  float64
	turnover float64 // of nutrients
	slips    float64 // of volumes and salts
	wear     float64 // share of pumps that fall behind
	misreads float64
	fed      bool    // food is written down
	silent   float64 // share of keepers who declare kits by method only
}

var worlds = map[World]world{
	Usual:    {1, []float64{0, 0, 0.5, 1, 1.5}, 1, 1, 1, 0.4, 1, false, 0.3},
	Calm:     {0.3, []float64{0, 0, 0.5}, 0.5, 0.7, 0.3, 0.05, 0.5, false, 0.1},
	Restless: {2, []float64{0, 0.5, 1}, 1, 1.3, 1, 0.4, 1, false, 0.3},
	Brisk:    {1, []float64{1, 1.5, 2}, 2, 3, 1, 0.4, 1, false, 0.3},
	Rough:    {1.2, []float64{0, 0, 0.5, 1}, 1, 1, 2, 0.7, 2, false, 0.8},
	Fed:      {1, []float64{0, 0, 0.5, 1, 1.5}, 1, 1, 1, 0.4, 1, true, 0.3},
}

// livelier enlarges or shrinks the swings of a path around its mean.
func livelier(path []float64, by float64) []float64 {
	if by == 1 {
		return path
	}
	m := mean(path)
	for i, v := range path {
		path[i] = m * math.Pow(v/m, by)
	}
	return path
}
