package substance

import (
	"strings"

	"driftline/internal/book"
	"driftline/stoichiometry"
	"driftline/units"
)

// label is what a keeper declared a substance to contain. One with only contents
// per gram has no known strength per millilitre, and the other way round.
func label(contains []book.Contained, q units.Quantity) Gives {
	var out Gives
	for _, c := range contains {
		cq, err := units.ParseQuantity(c.Quantity)
		v, ok := c.Value.Float()
		if err != nil || !ok {
			continue
		}
		per, base, ok := contentFactor(cq, c.Unit)
		if !ok {
			continue
		}
		if base == "g" {
			out.KnownPerGram = true
		} else {
			out.KnownPerML = true
		}
		if cq != q {
			continue
		}
		if base == "g" {
			out.PerGram += v * per
		} else {
			out.PerML += v * per
		}
	}
	return out
}

// perGram is what a gram of a formula gives to one litre, in the default unit.
func perGram(f stoichiometry.Formula, q units.Quantity) float64 {
	amount, unit, ok := f.PerGram(q)
	if !ok {
		return 0
	}
	per, _, ok := contentFactor(q, unit)
	if !ok {
		return 0
	}
	return amount * per
}

// contentFactor reads a unit of content ("mg/g", "mg/mL", "meq/mL", "g/L",
// "mg/g N", or a concentration such as "dKH" for a solution) and returns what
// one of it in a litre of water adds, in the quantity's default unit, for each
// gram or millilitre ("g", "mL") of the substance.
func contentFactor(q units.Quantity, unit string) (factor float64, base string, ok bool) {
	text := strings.TrimSpace(unit)
	if text == "%" { // by mass
		text = "cg/g"
	}
	head, species, _ := strings.Cut(text, " ")
	top, bottom, found := strings.Cut(head, "/")
	if n, per, ok := perOne(bottom); found && ok {
		if f, ok := amountInLitre(q, top, strings.TrimPrefix(species, "as ")); ok {
			return f * n, per, true
		}
	}
	// A concentration of the solution itself: a millilitre is a thousandth of a litre.
	if v, err := toDefault(q, 1, text); err == nil {
		return v / 1000, "mL", true
	}
	return 0, "", false
}

func perOne(bottom string) (n float64, base string, ok bool) {
	switch bottom {
	case "g":
		return 1, "g", true
	case "kg":
		return 1e-3, "g", true
	case "mL", "ml":
		return 1, "mL", true
	case "L", "l":
		return 1e-3, "mL", true
	}
	return 0, "", false
}

// amountInLitre is the level that one of an amount gives in one litre.
func amountInLitre(q units.Quantity, amount, species string) (float64, bool) {
	per := map[string]float64{"µg": 1e-3, "μg": 1e-3, "ug": 1e-3, "mg": 1, "cg": 10, "g": 1000}
	if n, ok := per[amount]; ok {
		v, err := toDefault(q, n, strings.TrimSpace("mg/L "+species))
		return v, err == nil
	}
	if q != units.Alkalinity {
		return 0, false
	}
	switch amount {
	case "meq", "mEq":
		v, err := toDefault(q, 1, "meq/L")
		return v, err == nil
	case "eq", "Eq":
		v, err := toDefault(q, 1000, "meq/L")
		return v, err == nil
	case "dKH": // degrees in one litre, as some labels say it
		return 1, true
	}
	return 0, false
}

func toDefault(q units.Quantity, v float64, unit string) (float64, error) {
	u, err := units.ParseUnit(q, unit)
	if err != nil {
		return 0, err
	}
	return units.Convert(q, v, u, q.Default())
}
