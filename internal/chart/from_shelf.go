package chart

import (
	"math"
	"time"

	"driftline/internal/supply"
)

// Standard deviations that one, two and a half chances in ten lie below.
const (
	tenthSDs   = 1.2816
	quarterSDs = 0.6745
)

// FromShelf is the picture of what is left of a thing over the coming weeks. What
// is used up stays at nothing.
func FromShelf(it supply.Item, asOf time.Time, zone *time.Location) Picture {
	unit, size := it.Scale()
	left := math.Max(it.Left.Mean/size, 0)
	p := Picture{Name: it.Name + ", what is left", Unit: unit, Decimals: 2, Zone: zone, Today: asOf, State: string(it.State), FromZero: true,
		Band: NoBand(), Now: Doubted{left, it.Left.SD / size}, Levels: []Level{{At: asOf, Mean: left, SD: it.Left.SD / size}}}
	for _, d := range it.Forecast {
		at := func(sds float64) float64 { return math.Max(0, (d.Mean+sds*d.SD)/size) }
		p.Fan = append(p.Fan, Day{At: d.At, P05: at(-ninetySDs), P10: at(-tenthSDs), P25: at(-quarterSDs), P50: at(0),
			P75: at(quarterSDs), P90: at(tenthSDs), P95: at(ninetySDs)})
	}
	return p
}
