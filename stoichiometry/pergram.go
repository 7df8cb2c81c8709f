package stoichiometry

import "driftline/units"

// Units of what one gram gives.
const (
	MeqPerGram       = "meq/g" // alkalinity
	MilligramPerGram = "mg/g"  // ions and nutrients
	GramPerGram      = "g/g"   // salinity: dissolved anhydrous salt
)

// PerGram is what one gram of the chemical gives to a quantity: alkalinity in
// meq (negative for an acid), calcium, magnesium, potassium, strontium, iodine
// and boron in mg of the element, nitrate as NO3, nitrite as NO2, ammonia as
// NH4, phosphate as PO4, silicate as SiO2, and salinity in g of anhydrous salt.
// ok is false when it gives nothing, or when that cannot be told.
func (f Formula) PerGram(q units.Quantity) (amount float64, unit string, ok bool) {
	if len(f.atoms) == 0 {
		return 0, "", false
	}
	switch q {
	case units.Alkalinity:
		eq, known := f.Equivalents()
		return 1000 * eq / f.MolarMass(), MeqPerGram, known && eq != 0
	case units.Salinity:
		return 1 - f.waterFraction(), GramPerGram, f.isSalt()
	}
	if symbol, found := elementOf[q]; found {
		mg := 1000 * f.MassFraction(symbol)
		return mg, MilligramPerGram, mg > 0
	}
	mg := 1000 * f.nutrient(q) / f.MolarMass()
	return mg, MilligramPerGram, mg > 0
}

var elementOf = map[units.Quantity]string{
	units.Calcium: "Ca", units.Magnesium: "Mg", units.Potassium: "K",
	units.Strontium: "Sr", units.Iodine: "I", units.Boron: "B",
}

// Gives lists the quantities the chemical adds to or takes from.
func (f Formula) Gives() []units.Quantity {
	var out []units.Quantity
	for _, q := range units.Quantities() {
		if _, _, ok := f.PerGram(q); ok {
			out = append(out, q)
		}
	}
	return out
}

// nutrient is the grams of a nutrient, as the quantity is weighed, in one mole.
func (f Formula) nutrient(q units.Quantity) float64 {
	var mass, n float64
	for i, a := range f.atoms {
		next, own := f.follower(i)
		switch {
		case q == units.Nitrate && isNitrate(a, next, own):
			n, mass = n+a.count, weights["N"]+3*weights["O"]
		case q == units.Nitrite && isNitrite(a, next, own):
			n, mass = n+a.count, weights["N"]+2*weights["O"]
		case q == units.TotalAmmonia && isAmmonia(a, next, own):
			n, mass = n+a.count, weights["N"]+4*weights["H"]
		case q == units.Phosphate && isPhosphate(a, next, own):
			n, mass = n+a.count, weights["P"]+4*weights["O"]
		case q == units.Silicate && a.symbol == "Si" && next == "O":
			n, mass = n+a.count, weights["Si"]+2*weights["O"]
		}
	}
	return n * mass
}

func isNitrate(a atom, next string, own float64) bool {
	return a.symbol == "N" && a.own == 1 && next == "O" && own == 3
}

func isNitrite(a atom, next string, own float64) bool {
	return a.symbol == "N" && a.own == 1 && next == "O" && own == 2
}

func isAmmonia(a atom, next string, own float64) bool {
	return a.symbol == "N" && a.own == 1 && next == "H" && (own == 4 || own == 3)
}

func isPhosphate(a atom, next string, own float64) bool {
	return a.symbol == "P" && a.own == 1 && next == "O" && own == 4
}
