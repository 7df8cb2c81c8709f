package web

import (
	"fmt"
	"slices"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/units"
)

// methods are the kinds of instrument of the log format.
var methods = []string{"drop titration", "colour card", "photometer", "hydrometer", "refractometer", "conductivity probe",
	"electrode", "thermometer", "laboratory"}

func tankFields(c sheetContext) []field {
	system := field{Name: "system", Label: "Kind of tank", Input: "choice", Options: options(book.Systems...)}
	system.choose("mixed")
	fig := func(name, label string) field {
		return field{Name: name, Label: label, Input: "figure", Optional: true}
	}
	length, width := fig("length", "Length"), fig("width", "Width")
	length.Hint, width.Hint = "In the unit you choose at the height.", "The same."
	return []field{{Name: "name", Label: "Name", Input: "text"}, system,
		inUnits(field{Name: "net_volume", Label: "Water in it, all told", Input: "figure",
			Hint: "Glass and sump less rock and sand. A good guess will do; doses are judged by it."}, "unit", "L", units.VolumeUnits()),
		zoneField(c), length, width,
		inUnits(fig("height", "Height"), "length_unit", "cm", units.LengthUnits()),
		fig("latitude", "Latitude, degrees north"), fig("longitude", "Longitude, degrees east"),
		noteField()}
}

func zoneField(c sheetContext) field {
	return field{Name: "time_zone", Label: "Time zone", Input: "zone", Value: c.value("zone"),
		Hint: "Such as Europe/Lisbon or America/Halifax. Days and times of this tank are told in it."}
}

func bandFields(c sheetContext) []field {
	q := c.value("quantity")
	fig := func(name, label string) field {
		return field{Name: name, Label: label, Input: "figure", Optional: true}
	}
	return []field{{Name: "quantity", Input: "hidden", Value: q},
		fig("low", "Not below"), fig("aim", "Aim"),
		inUnits(fig("high", "Not above"), "unit", "", quantityUnits(q)), noteField()}
}

func instrumentFields(c sheetContext) []field {
	q := c.value("quantity")
	method := field{Name: "method", Label: "How it works", Input: "choice", Options: options(methodsFor(q)...),
		Hint: "Its usual errors follow from this where nothing is given below."}
	method.choose(methodsFor(q)[0])
	fig := func(name, label, hint string) field {
		return field{Name: name, Label: label, Input: "figure", Optional: true, Hint: hint}
	}
	unit := field{Name: "unit", Label: "Unit it reads in", Input: "choice", Options: options(quantityUnits(q)...)}
	unit.choose("")
	return []field{{Name: "quantity", Input: "hidden", Value: q},
		{Name: "name", Label: "Name", Input: "text", Hint: "As you will know it beside the tank."}, method, unit,
		fig("resolution", "Smallest step it shows", ""),
		fig("sd", "Scatter when the same water is tested again", "One standard deviation, in the unit above."),
		fig("relative_sd", "Scatter in proportion to the reading", "As a fraction: 0.05 is 5 %."),
		fig("bias_sd", "How far a kit of this make may sit off", "One standard deviation, in the unit above."),
		fig("lower_limit", "Lowest figure it can tell", ""),
		{Name: "expires", Label: "Date on the box", Input: "day", Optional: true}, noteField()}
}

// methodsFor puts the usual method of a quantity first.
func methodsFor(quantity string) []string {
	q, _ := units.ParseQuantity(quantity)
	first := "drop titration"
	switch q {
	case units.Temperature:
		first = "thermometer"
	case units.Salinity:
		first = "refractometer"
	case units.PH, units.Redox, units.Oxygen:
		first = "electrode"
	case units.Nitrate, units.Nitrite, units.TotalAmmonia, units.Silicate:
		first = "colour card"
	case units.Phosphate:
		first = "photometer"
	case units.Strontium, units.Iodine, units.Boron:
		first = "laboratory"
	}
	rest := slices.DeleteFunc(slices.Clone(methods), func(m string) bool { return m == first })
	return append([]string{first}, rest...)
}

func substanceFields(c sheetContext) []field {
	form := field{Name: "form", Label: "Form", Input: "choice", Options: options("solid", "solution")}
	form.choose("solid")
	return []field{{Name: "name", Label: "Name", Input: "text"}, form,
		{Name: "formula", Label: "Formula, for a pure salt", Input: "text", Optional: true,
			Hint: "With its hydrate water, such as MgCl2·6H2O. Leave empty and give the label's figures below for anything else."},
		{Name: "purity", Label: "Purity", Input: "figure", Optional: true, Hint: "As a fraction: 0.97 is 97 %."},
		{Name: "grams_per_litre", Label: "Made up to a solution, g in each litre", Input: "figure", Optional: true,
			Hint: "As weighed, beside the formula; it is then dosed in mL."},
		containsField(c.values), noteField()}
}

// measured are the quantities new water is usually described by.
var measured = []string{"salinity", "alkalinity", "calcium", "magnesium", "potassium", "strontium", "nitrate", "phosphate", "silicate"}

func mixFields(c sheetContext) []field {
	return []field{{Name: "name", Label: "Name", Input: "text", Hint: "Such as “blue tub” or “batch of May”."},
		inUnits(field{Name: "volume", Label: "Volume made", Input: "figure", Optional: true}, "unit", "L", units.VolumeUnits()),
		{Name: "salt", Label: "Salt used", Input: "text", Optional: true},
		compositionField("What it measures", compositionOf(nil), c.values), noteField()}
}

func compositionOf(more []string) []string { return distinct(append(slices.Clone(measured), more...)) }

// compositionField asks for the figures of new water, a row a quantity.
func compositionField(label string, quantities []string, values map[string]string) field {
	f := field{Name: "composition", Label: label, Input: "rows", Optional: true}
	f.Rows = contentRows("composition", quantities, values, quantityUnits)
	return f
}

// contents are the quantities a substance may give.
var contents = []string{"alkalinity", "calcium", "magnesium", "potassium", "strontium", "nitrate", "phosphate", "iodine"}

func containsField(values map[string]string) field {
	f := field{Name: "contains", Label: "What the label says it contains", Input: "rows", Optional: true,
		Hint: "In each gram of a solid, or each millilitre of a solution."}
	f.Rows = contentRows("contains", contents, values, func(q string) []string {
		if q == "alkalinity" {
			return []string{"meq/g", "meq/mL", "dKH·L/g", "dKH·L/mL"}
		}
		return []string{"mg/g", "mg/mL"}
	})
	return f
}

// contentRows makes one row for each quantity, first those that values already
// hold, so that a line being corrected keeps what it says.
func contentRows(list string, usual []string, values map[string]string, unitsOf func(string) []string) []field {
	var order []string
	for i := 0; values[fmt.Sprintf("%s.%d.quantity", list, i)] != ""; i++ {
		order = append(order, values[fmt.Sprintf("%s.%d.quantity", list, i)])
	}
	order = distinct(append(order, usual...))
	var rows []field
	for i, q := range order {
		at := fmt.Sprintf("%s.%d.", list, i)
		row := inUnits(field{Name: at + "value", Label: prose.Capital(q), Input: "figure", Optional: true}, at+"unit", "", unitsOf(q))
		row.Of = q
		rows = append(rows, row)
	}
	return rows
}
