package rehearsal

import (
	"time"

	"driftline/internal/book"
)

// demoShelf is what stands on the one shelf of the tanks: counted on an
// evening four weeks ago, with a canister refilled since and a bag bought. The
// calcium stock is about to run out.
func demoShelf(now time.Time, loc *time.Location) []book.Line {
	ids := stream(2027, 1)
	var lines []book.Line
	at := func(ago int, hour float64, note string, s book.Stock) {
		when := midnight(now, loc, ago).Add(time.Duration(hour * float64(time.Hour)))
		lines = append(lines, book.Line{ID: lineID(when, ids), Kind: book.KindStock, At: when, Note: note, Body: &s})
	}
	at(61, 17.5, "", book.Stock{Substance: "library salt, 35 PSU", Amount: "20", Unit: "kg", Price: "58.00", Currency: "EUR"})
	at(61, 17.6, "", book.Stock{Substance: "school salt", Amount: "9.5", Unit: "kg"})
	at(61, 17.7, "", book.Stock{Substance: "bench salt", Amount: "12", Unit: "kg"})
	at(27, 18.0, "everything weighed in one evening", book.Stock{Substance: calciumStock.line.Name, Amount: "3.2", Unit: "L"})
	at(27, 18.1, "", book.Stock{Substance: carbonateStock.line.Name, Amount: "2.6", Unit: "L"})
	at(27, 18.2, "", book.Stock{Substance: lime.line.Name, Amount: "420", Unit: "g"})
	at(27, 18.3, "", book.Stock{Substance: magnesiumS.line.Name, Amount: "1.4", Unit: "kg", Price: "9.80", Currency: "EUR"})
	at(27, 18.4, "", book.Stock{Substance: calciumSalt.line.Name, Amount: "260", Unit: "g"})
	at(27, 18.5, "", book.Stock{Substance: saltpetre.line.Name, Amount: "95", Unit: "g"})
	at(16, 19.2, "mixed a fresh canister", book.Stock{Substance: carbonateStock.line.Name, Amount: "3", Unit: "L", Added: true})
	at(10, 12.3, "", book.Stock{Substance: bicarbonate.line.Name, Amount: "1", Unit: "kg", Added: true, Price: "3.40", Currency: "EUR"})
	return lines
}
