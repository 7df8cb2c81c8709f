package web

import (
	"strings"

	"driftline/internal/animals"
	"driftline/internal/book"
	"driftline/units"
)

// animalFields ask for what the event needs; the event is chosen by the address, and
// without it the animal is there.
func animalFields(c sheetContext) []field {
	what := book.Key(c.value("what"))
	names := field{Name: "name", Label: "Which animal, pair, school or colony", Input: "text", Suggest: animalNames(c.facts), Value: c.value("name")}
	out := []field{names, {Name: "what", Input: "hidden", Optional: true, Value: c.value("what")}}
	count := field{Name: "count", Label: "How many", Input: "figure", Optional: true}
	switch what {
	case "observed":
		out = append(out, scoreChoice("feeding", "Feeding", "not at all", "eagerly"), scoreChoice("breathing", "Breathing", "calm", "gasping"),
			scoreChoice("skin", "Spots, film or wounds", "none", "all over"), scoreChoice("aggression", "The others rush at it", "never", "all the time"),
			scoreChoice("open", "Open, of corals and anemones", "shut", "wide open"))
	case "counted":
		count.Optional = false
		out = append(out, count)
	case "stage":
		out = append(out, field{Name: "stage", Label: "It comes to the stage", Input: "choice", Options: options(book.AnimalStages...), Value: c.value("stage")})
	case "treated":
		out = append(out, field{Name: "treatment", Label: "What was ordered", Input: "text"}, field{Name: "ordered_by", Label: "By whom, or by which label", Input: "text"})
	case "moved":
		out = append(out, field{Name: "to", Label: "To the tank", Input: "text", Suggest: tankNames(c.facts)})
	case "given away":
		out = append(out, count, field{Name: "to", Label: "To whom", Input: "text", Optional: true})
	case "died", "missing":
		out = append(out, count, field{Name: "cause", Label: "Cause, as far as known", Input: "text", Optional: true})
	case "split":
		out = append(out, count)
	case "outbreak":
	default:
		out = append(out, animalItself(c, count)...)
	}
	return append(out, momentField(c), noteField())
}

// animalItself are the fields of an animal that is there.
func animalItself(c sheetContext, count field) []field {
	group := field{Name: "group", Label: "Kind", Input: "choice", Options: options(book.AnimalGroups...)}
	stage := field{Name: "stage", Label: "On its way in", Input: "choice", Optional: true, Options: append([]option{{Value: "", Label: "not told, or long over"}}, options(book.AnimalStages...)...)}
	return []field{{Name: "species", Label: "Species, in your own words", Input: "text", Optional: true}, group, count,
		inUnits(field{Name: "mass", Label: "One weighs about", Input: "figure", Optional: true}, "mass_unit", "g", units.MassUnits()),
		inUnits(field{Name: "size", Label: "Length of one", Input: "figure", Optional: true}, "size_unit", "cm", units.LengthUnits()),
		stage,
		{Name: "origin", Label: "Where it came from", Input: "text", Optional: true},
		inUnits(field{Name: "price", Label: "Paid for all of them", Input: "figure", Optional: true}, "currency", usedCurrencies(c.facts)[0], usedCurrencies(c.facts)),
		{Name: "parent", Label: "Split or bred from", Input: "text", Optional: true, Suggest: animalNames(c.facts)}}
}

func scoreChoice(name, label, least, most string) field {
	return field{Name: name, Label: label, Input: "choice", Number: true, Optional: true, Options: []option{{"", "not looked at", true}, {Value: "0", Label: "0, " + least}, {Value: "1", Label: "1"},
		{Value: "2", Label: "2"}, {Value: "3", Label: "3"}, {Value: "4", Label: "4, " + most}}}
}

func animalNames(f *book.Facts) []string {
	var out []string
	for _, a := range animals.Register(f, f.AsOf) {
		if a.Here() {
			out = append(out, a.Name)
		}
	}
	return out
}

func tankNames(f *book.Facts) []string {
	var out []string
	for i := range f.Tanks {
		out = append(out, f.Tanks[i].Tank.Name)
	}
	return out
}

// animalWrite is the form of an event of an animal.
func animalWrite(tank, name, what string) string {
	q := []link{{Name: "name", Href: name}}
	if strings.TrimSpace(what) != "" {
		q = append(q, link{Name: "what", Href: what})
	}
	return writePath(tank) + "/animal?" + encode(q)
}
