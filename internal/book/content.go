package book

import (
	"slices"
	"strings"

	"driftline/units"
)

// The two halves of a unit of content, such as mg/g: so much in so much.
var (
	contentMasses  = []string{"µg", "μg", "ug", "mg", "cg", "g"}
	contentCharges = []string{"meq", "mEq", "eq", "Eq", "dKH"} // of alkalinity
	contentBases   = []string{"g", "kg", "mL", "ml", "L", "l"}
)

// checkContentUnit says whether a label may state a quantity in the unit: mass
// or alkalinity in a gram or millilitre ("mg/g", "meq/mL", "mg/g N"), "%" by
// mass, or for a solution its concentration ("mg/L", "dKH").
func checkContentUnit(q units.Quantity, unit string) error {
	unit = strings.TrimSpace(unit)
	if unit == "%" {
		return nil
	}
	if _, err := units.ParseUnit(q, unit); err == nil {
		return nil
	}
	head, species, _ := strings.Cut(unit, " ")
	amount, base, _ := strings.Cut(head, "/")
	if slices.Contains(contentBases, base) {
		if q == units.Alkalinity && slices.Contains(contentCharges, amount) {
			return nil
		}
		if slices.Contains(contentMasses, amount) && weighs(q, species) {
			return nil
		}
	}
	example := "mg/g or mg/mL"
	if q == units.Alkalinity {
		example = "meq/g or meq/mL"
	}
	if unit == "" {
		return faultf("contains", "contains: the unit of %s is missing; expected such as %s", q, example)
	}
	return faultf("contains", "contains: unit %q does not say how much %s is in it; expected such as %s", clip(unit), q, example)
}

// weighs says whether the quantity can be weighed as the species; without one
// it is weighed as its default unit says.
func weighs(q units.Quantity, species string) bool {
	species = strings.TrimPrefix(strings.TrimSpace(species), "as ")
	_, err := units.ParseUnit(q, strings.TrimSpace("mg/L "+species))
	return err == nil
}

// massShare is the part of the whole that one of a unit by mass stands for:
// a thousandth for mg/g. Not ok for other units.
func massShare(unit string) (float64, bool) {
	head, _, _ := strings.Cut(strings.TrimSpace(unit), " ")
	if head == "%" {
		return 0.01, true
	}
	amount, base, _ := strings.Cut(head, "/")
	grams, known := map[string]float64{"µg": 1e-6, "μg": 1e-6, "ug": 1e-6, "mg": 1e-3, "cg": 1e-2, "g": 1}[amount]
	per, weighed := map[string]float64{"g": 1, "kg": 1000}[base]
	if !known || !weighed {
		return 0, false
	}
	return grams / per, true
}
