package web

import (
	"driftline/internal/book"
)

// actions are what a routine may do.
var actions = []string{"dose", "water change", "feeding", "test", "chore"}

func routineFields(c sheetContext) []field {
	action := c.value("action")
	f := []field{{Name: "action", Input: "hidden", Value: action},
		{Name: "name", Label: "Name", Input: "text", Hint: "A routine of the same name replaces the one before."}}
	f = append(f, routineMatter(c, action)...)
	f = append(f,
		field{Name: "every_days", Label: "Every so many days", Input: "figure", Value: "1", Hint: "0.5 is twice a day, 7 once a week."},
		field{Name: "automatic", Label: "A machine does it, so it is taken as done without a line each time", Input: "tick", Optional: true},
		field{Name: "from", Label: "From", Input: "day", Value: c.now.Format("2006-01-02"), Optional: true},
		field{Name: "until", Label: "Until", Input: "day", Optional: true}, noteField())
	return f
}

// routineMatter is what the routine's action needs.
func routineMatter(c sheetContext, action string) []field {
	switch action {
	case "dose":
		return []field{substanceField(c, nil),
			inUnits(field{Name: "amount", Label: "Amount each time", Input: "figure"}, "unit", "mL", doseUnits)}
	case "water change":
		return []field{volumeField(c, "Volume each time"),
			{Name: "mix", Label: "Make-up water", Input: "text", Suggest: names(c.facts.Mixes, func(m *book.Mix) string { return m.Name })}}
	case "feeding":
		return []field{{Name: "food", Label: "Food", Input: "text"},
			inUnits(field{Name: "amount", Label: "Amount each time", Input: "figure", Optional: true}, "unit", "g", []string{"g", "mg", "mL"})}
	case "test":
		q := field{Name: "quantity", Label: "Quantity", Input: "choice", Options: options(quantityNames()...)}
		return []field{q, {Name: "instrument", Label: "Kit or probe", Input: "text", Optional: true,
			Suggest: names(c.facts.Instruments, func(i *book.Instrument) string { return i.Name })}}
	case "chore":
		return []field{{Name: "chore", Label: "What is done", Input: "text"}}
	}
	return nil
}
