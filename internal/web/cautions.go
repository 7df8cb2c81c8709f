package web

import (
	"driftline/internal/book"
	"driftline/stoichiometry"
)

// The usual cautions, common practice without a source. The label, the safety
// sheet, local codes and licensed practice come before them.
const (
	labelFirst = stoichiometry.LabelFirst
	mainsFirst = "Water and mains: unplug before hands go in, keep a drip loop in every cord, and feed the tank through a residual-current (ground-fault) device. Wiring is work for a licensed electrician under the local code."
)

// cautionsFor are the cautions that stand beside a form.
func cautionsFor(kind book.Kind, values map[string]string) []string {
	switch kind {
	case book.KindDose, book.KindTopOff:
		if p, ok := stoichiometry.Salt(values["substance"]); ok {
			return p.Cautions
		}
		return []string{labelFirst, stoichiometry.Slowly}
	case book.KindSubstance:
		return []string{labelFirst}
	case book.KindSetting, book.KindEquipment:
		return []string{mainsFirst}
	}
	return nil
}
