package stoichiometry

// charges are those of ions that take no part in acid-base reactions near the
// pH of sea water, after Wolf-Gladrow et al. 2007, Mar. Chem. 106:287, eq. 32.
// Carbon, boron, silicon, hydrogen and oxygen count nothing: what they take up
// of acid is what alkalinity is. Organic anions thus count as the alkalinity
// they become when eaten.
var charges = map[string]float64{
	"Li": 1, "Na": 1, "K": 1, "Rb": 1, "Cs": 1,
	"Mg": 2, "Ca": 2, "Sr": 2, "Ba": 2, "Mn": 2, "Co": 2, "Ni": 2, "Cu": 2, "Zn": 2,
	"F": -1, "Cl": -1, "Br": -1, "I": -1,
	"H": 0, "B": 0, "C": 0, "O": 0, "Si": 0,
}

// Equivalents is the alkalinity one mole gives, in mol of charge: NaHCO3 1,
// Na2CO3 2, Ca(OH)2 2, borax 2, boric acid 0, phosphate by the zero level H2PO4
// of Dickson 1981 (KH2PO4 0, K3PO4 2), hydrochloric acid -1. known is false for
// elements or groups whose charge in sea water cannot be told from the formula.
func (f Formula) Equivalents() (eq float64, known bool) {
	cations := false
	for i, a := range f.atoms {
		charge, ok := f.charge(i, a)
		if !ok {
			return 0, false
		}
		cations = cations || charge > 0 || a.symbol == "H" && !a.water
		eq += charge * a.count
	}
	return eq, cations // an element such as I2 makes no ions by itself
}

func (f Formula) charge(i int, a atom) (charge float64, ok bool) {
	next, own := f.follower(i)
	switch a.symbol {
	case "N":
		switch {
		case isNitrate(a, next, own), isNitrite(a, next, own):
			return -1, true
		case isAmmonia(a, next, own):
			return 1, true
		}
		return 0, false
	case "P":
		return -1, isPhosphate(a, next, own)
	case "S":
		return sulfur(a, next, own)
	}
	charge, ok = charges[a.symbol]
	return charge, ok
}

// sulfur tells sulfate and sulfite from thiosulfate, whose two atoms share the charge.
func sulfur(a atom, next string, own float64) (charge float64, ok bool) {
	switch {
	case next != "O":
		return 0, false
	case a.own == 1 && (own == 4 || own == 3):
		return -2, true
	case a.own == 2 && own == 3:
		return -1, true
	}
	return 0, false
}

// isSalt tells whether the chemical leaves ions that count as salt.
func (f Formula) isSalt() bool {
	for _, a := range f.atoms {
		if charges[a.symbol] > 0 {
			return true
		}
	}
	return f.hasAmmonium()
}

func (f Formula) hasAmmonium() bool {
	for i, a := range f.atoms {
		next, own := f.follower(i)
		if a.symbol == "N" && next == "H" && own == 4 {
			return true
		}
	}
	return false
}
