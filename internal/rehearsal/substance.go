package rehearsal

import "driftline/internal/book"

// substance is something a keeper adds. gives is what one unit of it brings
// (alkalinity in meq, the rest in mg), by molar mass for pure salts.
type substance struct {
	line  *book.Substance
	unit  string // g or mL
	gives levels
	said  int // decimals a keeper writes its amounts with
}

// Molar masses in g/mol, IUPAC 2021 abridged: Na 22.990, H 1.008, C 12.011, O 15.999,
// Ca 40.078, Cl 35.45, Mg 24.305, N 14.007, K 39.098, P 30.974.
const (
	molNaHCO3   = 84.006
	molCaCl2W2  = 147.008
	molMgCl2W6  = 203.295
	molNaNO3    = 84.994
	molKH2PO4   = 136.084
	molLime     = 74.092
	molCa       = 40.078
	molMg       = 24.305
	molNitrate  = 62.004
	molPhosphat = 94.970
)

// The cupboard: what the keepers of a rehearsal have at hand.
var (
	bicarbonate = pure("bicarbonate of soda", "NaHCO3", 0.99, levels{alk: 1000 / molNaHCO3}, 1)
	calciumSalt = pure("calcium chloride dihydrate", "CaCl2·2H2O", 0.98, levels{cal: 1000 * molCa / molCaCl2W2}, 1)
	magnesiumS  = pure("magnesium chloride hexahydrate", "MgCl2·6H2O", 0.98, levels{mag: 1000 * molMg / molMgCl2W6}, 0)
	saltpetre   = pure("sodium nitrate", "NaNO3", 0.99, levels{nit: 1000 * molNitrate / molNaNO3}, 2)
	potash      = pure("monopotassium phosphate", "KH2PO4", 0.98, levels{pho: 1000 * molPhosphat / molKH2PO4}, 2)
	lime        = pure("slaked lime", "Ca(OH)2", 0.95, levels{alk: 2000 / molLime, cal: 1000 * molCa / molLime}, 1)

	carbonateStock = stock("carbonate stock", "alkalinity", 1.8, "meq/mL", levels{alk: 1.8})
	calciumStock   = stock("calcium stock", "calcium", 36, "mg/mL", levels{cal: 36})
	magnesiumStock = stock("magnesium stock", "magnesium", 45, "mg/mL", levels{mag: 45})
	nitrateStock   = stock("nitrate stock", "nitrate", 20, "mg/mL", levels{nit: 20})
	phosphateStock = stock("phosphate stock", "phosphate", 2, "mg/mL", levels{pho: 2})
)

func pure(name, formula string, purity float64, perGram levels, decimals int) substance {
	for i := range perGram {
		perGram[i] *= purity
	}
	s := &book.Substance{Name: name, Formula: formula, Purity: number(purity), Form: "solid"}
	return substance{line: s, unit: "g", gives: perGram, said: decimals}
}

func stock(name, quantity string, strength float64, unit string, perML levels) substance {
	s := &book.Substance{Name: name, Form: "solution",
		Contains: []book.Contained{{Quantity: quantity, Value: number(strength), Unit: unit}}}
	return substance{line: s, unit: "mL", gives: perML, said: 1}
}

// raises is how much one unit of the substance raises the levels in so many litres.
func (s substance) raises(litres float64) levels {
	out := s.gives
	out[alk] *= dkhPerMeqL
	for i := range out {
		out[i] /= litres
	}
	return out
}
