package web

import (
	"slices"
	"strings"

	"driftline/internal/book"
	"driftline/stoichiometry"
	"driftline/units"
)

// currencies are offered after those the book has used, by their ISO 4217 codes.
var currencies = []string{"EUR", "USD", "GBP", "AUD", "BRL", "CAD", "CHF", "CZK", "DKK", "JPY", "NOK", "NZD", "PLN", "SEK"}

func stockFields(c sheetContext) []field {
	unit := stockUnit(c)
	price := field{Name: "price", Label: "Price paid for it", Input: "figure", Optional: true}
	used := usedCurrencies(c.facts)
	return []field{{Name: "substance", Label: "Substance or salt", Input: "text", Suggest: shelfNames(c.facts), Value: c.value("substance")},
		inUnits(field{Name: "amount", Label: "How much", Input: "figure"}, "unit", unit, append(units.MassUnits(), units.VolumeUnits()...)),
		{Name: "added", Label: "It came on top of what was there; without this it is all there is", Input: "tick", Optional: true},
		inUnits(price, "currency", used[0], used),
		{Name: "expires", Label: "Date on the label", Input: "day", Optional: true},
		momentField(c), noteField()}
}

// stockUnit is the unit the thing was counted in last.
func stockUnit(c sheetContext) string {
	if u := c.value("unit"); u != "" {
		return u
	}
	for i := len(c.facts.Stock) - 1; i >= 0; i-- {
		if b, ok := c.facts.Stock[i].Body.(*book.Stock); ok && same(b.Substance, c.value("substance")) {
			return b.Unit
		}
	}
	return "g"
}

func usedCurrencies(f *book.Facts) []string {
	var all []string
	for i := len(f.Stock) - 1; i >= 0; i-- {
		if b, ok := f.Stock[i].Body.(*book.Stock); ok && strings.TrimSpace(b.Currency) != "" {
			all = append(all, strings.ToUpper(strings.TrimSpace(b.Currency)))
		}
	}
	return distinct(append(all, currencies...))
}

// shelfNames are what may be on the shelf: what is there, what is used and is
// not, the salts of mixes, the keeper's substances and the pure salts.
func shelfNames(f *book.Facts) []string {
	var all []string
	for i := range f.Stock {
		if b, ok := f.Stock[i].Body.(*book.Stock); ok {
			all = append(all, b.Substance)
		}
	}
	for _, m := range f.Mixes {
		all = append(all, m.Body.Salt)
	}
	all = append(all, names(f.Substances, func(s *book.Substance) string { return s.Name })...)
	for _, p := range stoichiometry.Salts() {
		all = append(all, p.Name)
	}
	return slices.DeleteFunc(distinct(all), func(s string) bool { return strings.TrimSpace(s) == "" })
}
