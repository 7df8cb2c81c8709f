package web

import (
	"driftline/internal/book"
	"driftline/stoichiometry"
	"driftline/units"
)

func readingFields(c sheetContext) []field {
	q := c.value("quantity")
	quantity := field{Name: "quantity", Label: "Quantity", Input: "choice", Options: options(quantityNames()...)}
	quantity.choose(q)
	all := quantityUnits(q)
	if all == nil {
		all = everyUnit()
	}
	kit := field{Name: "instrument", Label: "Kit or probe", Input: "text", Optional: true,
		Suggest: names(c.facts.Instruments, func(i *book.Instrument) string { return i.Name })}
	fields := []field{quantity,
		inUnits(field{Name: "value", Label: "Reading", Input: "figure"}, "unit", "", all),
		{Name: "below", Label: "Below the kit's limit: the reading is under this figure", Input: "tick", Optional: true}}
	if _, told := c.values["sample_temperature"]; told || same(q, string(units.Salinity)) {
		fields = append(fields, sampleField(c.value("temperature_unit")))
	}
	return append(fields, kit, momentField(c), noteField())
}

// everyUnit is all units of all quantities, once each.
func everyUnit() []string {
	var all []string
	seen := map[string]bool{}
	for _, q := range units.Quantities() {
		for _, u := range q.Units() {
			if !seen[u] {
				seen[u] = true
				all = append(all, u)
			}
		}
	}
	return all
}

func doseFields(c sheetContext) []field {
	suggest := used(c.tank, func(l book.Line) string {
		if d, ok := l.Body.(*book.Dose); ok {
			return d.Substance
		}
		return ""
	}, 12)
	return []field{substanceField(c, suggest),
		inUnits(field{Name: "amount", Label: "Amount", Input: "figure"}, "unit", lastDoseUnit(c.tank), doseUnits),
		momentField(c), noteField(), {Name: "plan", Input: "hidden", Optional: true}}
}

func lastDoseUnit(t *book.TankFacts) string {
	last := used(t, func(l book.Line) string {
		if d, ok := l.Body.(*book.Dose); ok {
			return d.Unit
		}
		return ""
	}, 1)
	if len(last) == 0 {
		return "mL"
	}
	return last[0]
}

var doseUnits = []string{"g", "mg", "mL", "L"}

func substanceField(c sheetContext, first []string) field {
	all := append(first, names(c.facts.Substances, func(s *book.Substance) string { return s.Name })...)
	for _, p := range stoichiometry.Salts() {
		all = append(all, p.Name)
	}
	return field{Name: "substance", Label: "Substance", Input: "text", Suggest: distinct(all)}
}

func distinct(all []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, n := range all {
		if k := book.Key(n); k != "" && !seen[k] {
			seen[k] = true
			out = append(out, n)
		}
	}
	return out
}

func waterChangeFields(c sheetContext) []field {
	before := used(c.tank, func(l book.Line) string {
		if d, ok := l.Body.(*book.WaterChange); ok {
			return d.Mix
		}
		return ""
	}, 12)
	mixes := distinct(append(before, names(c.facts.Mixes, func(m *book.Mix) string { return m.Name })...))
	mix := field{Name: "mix", Label: "Make-up water", Input: "text", Suggest: mixes, Optional: true,
		Hint: "Leave empty to say instead what the new water measured."}
	if len(mixes) > 0 {
		mix.Value = mixes[0]
	}
	measured := compositionField("What the new water measured", compositionOf(nil), c.values)
	measured.Folded = len(mixes) > 0
	return []field{volumeField(c, "Volume changed"), mix, measured, momentField(c), noteField()}
}

// volumeField offers the unit the tank itself is measured in.
func volumeField(c sheetContext, label string) field {
	unit := "L"
	if c.tank != nil && c.tank.Tank.Unit != "" {
		unit = c.tank.Tank.Unit
	}
	return inUnits(field{Name: "volume", Label: label, Input: "figure"}, "unit", unit, units.VolumeUnits())
}

func topOffFields(c sheetContext) []field {
	s := substanceField(c, nil)
	s.Optional, s.Label = true, "Substance dissolved in it"
	return []field{volumeField(c, "Volume of fresh water"), s,
		{Name: "concentration", Label: "Its concentration, g or mL in each litre", Input: "figure", Optional: true},
		momentField(c), noteField()}
}

func feedingFields(c sheetContext) []field {
	foods := used(c.tank, func(l book.Line) string {
		if d, ok := l.Body.(*book.Feeding); ok {
			return d.Food
		}
		return ""
	}, 12)
	return []field{{Name: "food", Label: "Food", Input: "text", Suggest: foods},
		inUnits(field{Name: "amount", Label: "Amount", Input: "figure", Optional: true}, "unit", "g", []string{"g", "mg", "mL", "cube", "sheet", "pinch"}),
		momentField(c), noteField()}
}

func harvestFields(c sheetContext) []field {
	return []field{{Name: "what", Label: "What was taken out", Input: "text", Suggest: []string{"macroalgae", "filter mat algae"}},
		inUnits(field{Name: "wet_mass", Label: "Wet mass", Input: "figure", Optional: true}, "unit", "g", units.MassUnits()),
		momentField(c), noteField()}
}

// signs are what the log format offers to score; any other sign is taken too.
var signs = []string{"film algae", "matted algae", "cyanobacteria", "detritus", "polyp extension"}

func scoreFields(c sheetContext) []field {
	value := field{Name: "value", Label: "How much, by eye", Input: "choice", Number: true, Options: []option{
		{Value: "0", Label: "0, none"}, {Value: "1", Label: "1, a trace"}, {Value: "2", Label: "2, some"},
		{Value: "3", Label: "3, much"}, {Value: "4", Label: "4, everywhere"}}}
	value.choose("0")
	before := used(c.tank, func(l book.Line) string {
		if d, ok := l.Body.(*book.Score); ok {
			return d.Sign
		}
		return ""
	}, 12)
	return []field{{Name: "sign", Label: "Sign", Input: "text", Suggest: distinct(append(before, signs...))},
		value, momentField(c), noteField()}
}

func choreFields(c sheetContext) []field {
	before := used(c.tank, func(l book.Line) string {
		if d, ok := l.Body.(*book.Chore); ok {
			return d.Name
		}
		return ""
	}, 12)
	return []field{{Name: "name", Label: "What was done", Input: "text",
		Suggest: distinct(append(before, "glass cleaned", "skimmer emptied", "pump cleaned", "carbon changed"))},
		{Name: "replaced", Label: "Renewed of the medium, %", Input: "figure", Optional: true, Hint: "For mud and media that are renewed in parts."},
		{Name: "lost", Label: "What it gave had fallen by, %", Input: "figure", Optional: true, Hint: "Such as the flow of a pump. The next turn comes sooner or later by it."},
		momentField(c), noteField(), {Name: "plan", Input: "hidden", Optional: true}}
}

func settingFields(c sheetContext) []field {
	var devices []string
	if c.tank != nil {
		devices = names(c.tank.Equipment, func(e *book.Equipment) string { return e.Name })
	}
	return []field{{Name: "equipment", Label: "Device", Input: "text", Suggest: devices},
		{Name: "property", Label: "What was changed", Input: "text"},
		{Name: "value", Label: "New value", Input: "loose"},
		{Name: "unit", Label: "Unit", Input: "text", Optional: true},
		momentField(c), noteField()}
}

func noteFields(c sheetContext) []field {
	return []field{{Name: "note", Label: "Note", Input: "long"}, momentField(c)}
}
