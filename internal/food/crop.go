package food

import (
	"math"

	"driftline/units"
)

// What is cut out of a refugium: dry share of the drained wet mass, and what the dry
// holds, for a fed tank's chaetomorpha and the like. From memory and judgement; the
// published ranges are 0.9-5.5 % of nitrogen and 0.27-0.86 % of phosphorus (Wheeler &
// Bjornsater 1992, J. Phycol.; Menendez 2005, Aquat. Bot. 82).
var (
	DryOfWet      = Percent(10, 7, 15)
	NitrogenDry   = Percent(3, 1.5, 4)
	PhosphorusDry = Percent(0.3, 0.15, 0.5)
)

// Cut is what a drained wet mass that is cut out takes of nitrate or phosphate, in
// grams of it, and its standard deviation; 0 for other quantities.
func Cut(q units.Quantity, wet float64) (mean, sd float64) {
	of := NitrogenDry
	if q == units.Phosphate {
		of = PhosphorusDry
	}
	mean = made(q, wet*DryOfWet.Mean*NitrogenDry.Mean, wet*DryOfWet.Mean*PhosphorusDry.Mean)
	return mean, mean * math.Hypot(DryOfWet.SD()/DryOfWet.Mean, of.SD()/of.Mean)
}
