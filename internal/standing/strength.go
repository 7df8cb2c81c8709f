package standing

import (
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/stoichiometry"
	"driftline/units"
)

// strength is what one gram and one millilitre of a substance do to one litre
// of water, in the default unit of a quantity. A figure of zero with its flag
// set means that the substance is known not to contain it.
type strength struct {
	perGram, perML         float64
	knownByGram, knownByML bool
}

// strength finds what a substance gives of a quantity: as declared, else a
// built-in pure salt, else a formula typed as the name.
func (s *shelf) strength(name string, q units.Quantity, t time.Time) strength {
	key := strengthKey{name: name, q: q}
	if d, ok := asOf(s.substanceVersions(name), t); ok {
		key.substance = d.Body
	}
	if got, ok := s.strengths[key]; ok {
		return got
	}
	got := strengthOf(key.substance, name, q)
	s.strengths[key] = got
	return got
}

func strengthOf(declared *book.Substance, name string, q units.Quantity) strength {
	switch {
	case declared != nil && len(declared.Contains) > 0:
		return byContents(declared.Contains, q)
	case declared != nil && declared.Formula != "":
		return byFormula(declared.Formula, purity(declared), q)
	}
	if pure, ok := stoichiometry.Salt(name); ok {
		return ofFormula(pure.Formula, 1, q)
	}
	return byFormula(name, 1, q)
}

// purity is a fraction; a figure above 1 is read as percent, none as pure.
func purity(s *book.Substance) float64 {
	p, ok := s.Purity.Float()
	switch {
	case !ok || !(p > 0) || p > 100:
		return 1
	case p > 1:
		return p / 100
	}
	return p
}

func byFormula(formula string, purity float64, q units.Quantity) strength {
	f, err := stoichiometry.Parse(formula)
	if err != nil {
		return strength{}
	}
	return ofFormula(f, purity, q)
}

func ofFormula(f stoichiometry.Formula, purity float64, q units.Quantity) strength {
	out := strength{knownByGram: true}
	if amount, unit, ok := f.PerGram(q); ok {
		if per, _, ok := contentFactor(q, unit); ok {
			out.perGram = amount * per * purity
		}
	}
	return out
}

// byContents reads what a label says. A substance with only contents per gram
// has no known strength per millilitre, and the other way round.
func byContents(contains []book.Contained, q units.Quantity) strength {
	var out strength
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
			out.knownByGram = true
		} else {
			out.knownByML = true
		}
		if cq != q {
			continue
		}
		if base == "g" {
			out.perGram += v * per
		} else {
			out.perML += v * per
		}
	}
	return out
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
