package rehearsal

// ion numbers what the simulated water holds. The first six obey the mass
// balance, temperature and pH are drawn.
type ion int

const (
	alk ion = iota
	cal
	mag
	nit
	pho
	sal
	tmp
	acid // pH
	nIons
	nDissolved = tmp
)

// Families are the quantities a rehearsal scores.
var Families = []string{"alkalinity", "calcium", "magnesium", "nitrate", "phosphate"}

var ionNames = [nIons]string{"alkalinity", "calcium", "magnesium", "nitrate", "phosphate", "salinity", "temperature", "pH"}

// ionUnits are the units the simulation runs in.
var ionUnits = [nIons]string{"dKH", "mg/L", "mg/L", "mg/L NO3", "mg/L PO4", "PSU", "°C", "NBS"}

// dkhPerMeqL is the size of one meq/L in dKH: 1 dKH = 0.3566 meq/L by definition (17.85 mg/L CaCO3).
const dkhPerMeqL = 2.804

// dkhPerNO3 is the alkalinity that goes with 1 mg/L of nitrate made from food
// nitrogen: one equivalent per mol, 2.804/62.005 dKH.
const dkhPerNO3 = dkhPerMeqL / 62.005

// levels are concentrations in ionUnits.
type levels [nIons]float64

func ionOf(quantity string) (ion, bool) {
	for i, n := range ionNames {
		if n == quantity {
			return ion(i), true
		}
	}
	return 0, false
}

// spoken is a unit a keeper may prefer; Times turns a value of the simulation into it.
type spoken struct {
	unit  string
	times float64
}

var otherUnits = map[ion][]spoken{
	alk: {{"meq/L", 1 / dkhPerMeqL}, {"mg/L CaCO3", 17.85}},
	nit: {{"mg/L N", 14.007 / 62.005}},
	pho: {{"mg/L P", 30.974 / 94.971}},
}

// toSimulated returns the factor that turns a value in unit into the unit of the simulation.
func toSimulated(q ion, unit string) (float64, bool) {
	if unit == ionUnits[q] {
		return 1, true
	}
	for _, u := range otherUnits[q] {
		if u.unit == unit {
			return 1 / u.times, true
		}
	}
	return 0, false
}
