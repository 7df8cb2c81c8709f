package correction

import "driftline/units"

// The most that a quantity may be aimed at, in its default unit. Common practice,
// no source: snails and crustaceans suffer above 1,500 mg/L of magnesium, chalk
// falls out above 12 dKH or 500 mg/L of calcium; the others are the trade's alarms.
var highest = map[units.Quantity]float64{
	units.Alkalinity: 12, units.Calcium: 500, units.Magnesium: 1500, units.Potassium: 450, units.Strontium: 15,
	units.Iodine: 0.1, units.Boron: 8, units.Nitrate: 50, units.Phosphate: 0.3,
}

const (
	lowMagnesium  = 1200 // mg/L, under which calcium and alkalinity will not hold: common practice, no source
	mostPHJump    = 0.1  // of one dose, common practice (0.1 careful, 0.2 at most a day)
	limePer100L   = 1500 // mL of limewater in 100 L a day, common practice (1 to 1.5 L)
	longestPlan   = 120  // days
	checkEvery    = 4    // days between checks of a long plan, at most
	misreadLikely = 0.5
)
