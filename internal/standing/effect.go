package standing

import (
	"fmt"
	"strings"

	"driftline/internal/book"
	"driftline/units"
)

// Unaccounted says in one sentence why what a dose, a top-off or a dosing
// routine gave cannot be counted: nobody has said what a gram, or a millilitre,
// of the substance holds. It is empty when it can be, and for all other lines.
func Unaccounted(f *book.Facts, l book.Line) string {
	substance, unit := given(l.Body)
	substance = strings.TrimSpace(substance)
	if substance == "" {
		return ""
	}
	declared, _ := f.SubstanceAt(substance, l.At)
	st := strengthOf(declared, substance, units.Alkalinity)
	_, byMass := units.ParseMassUnit(unit)
	switch {
	case unit == "" && (st.KnownPerGram || st.KnownPerML): // a top-off says so much a litre, in either
		return ""
	case unit == "":
		return fmt.Sprintf("What %s contains is not declared, so nothing of it is counted: declare the substance.", substance)
	case byMass == nil && !st.KnownPerGram:
		return unsaid("gram", substance, "by its formula, or by what it contains in mg/g")
	case byMass != nil && !st.KnownPerML && st.KnownPerGram:
		return unsaid("mL", substance, "as a solution of its own name with what it contains in mg/mL, or log the grams")
	case byMass != nil && !st.KnownPerML:
		return unsaid("mL", substance, "with what it contains in mg/mL")
	}
	return ""
}

func unsaid(measure, substance, how string) string {
	return fmt.Sprintf("How much a %s of %s holds is not declared, so nothing of it is counted: declare it %s.", measure, substance, how)
}

// given is the substance a line gives, and the unit of its amount; a top-off
// has none, for its concentration is in g or mL a litre without saying which.
func given(body book.Body) (substance, unit string) {
	switch b := body.(type) {
	case *book.Dose:
		return b.Substance, b.Unit
	case *book.TopOff:
		if b.Concentration != "" {
			return b.Substance, ""
		}
	case *book.Routine:
		if book.Key(b.Action) == "dose" {
			return b.Substance, b.Unit
		}
	}
	return "", ""
}
