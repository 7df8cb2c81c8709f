package rehearsal

import (
	"fmt"
	"time"

	"driftline/internal/book"
)

// writer writes lines of the demo that no simulated tank stands behind.
type writer struct {
	now   time.Time
	loc   *time.Location
	seed  uint64
	lines []book.Line
	n     int
}

// at writes a line so many days ago.
func (w *writer) at(ago int, hour float64, l book.Line) {
	l.At = midnight(w.now, w.loc, ago).Add(time.Duration(hour * float64(time.Hour)))
	l.ID = lineID(l.At, stream(w.seed, uint64(w.n)))
	w.n++
	w.lines = append(w.lines, l)
}

// demoMinding is a quarantine tank with a school on its way in, one of which was lost,
// an absence of five weeks ago that Rosa minded, and one that is to come.
func demoMinding(now time.Time, loc *time.Location) []book.Line {
	w := &writer{now: now, loc: loc, seed: 2031}
	w.quarantine()
	w.minded()
	return w.lines
}

const isolation = "side room"

func (w *writer) quarantine() {
	w.at(38, 16, book.Line{Kind: book.KindTank, Body: &book.Tank{Name: isolation, System: "quarantine", NetVolume: "72", Unit: "L",
		Length: "60", Width: "35", Height: "38", LengthUnit: "cm", Latitude: "41.69", Longitude: "-8.83", TimeZone: "Europe/Lisbon"}})
	of := func(ago int, hour float64, kind book.Kind, body book.Body, note string) {
		w.at(ago, hour, book.Line{Kind: kind, Tank: isolation, Body: body, Note: note})
	}
	of(38, 16.2, book.KindEquipment, &book.Equipment{Name: "sponge filter", Type: "filter"}, "")
	of(38, 16.3, book.KindEquipment, &book.Equipment{Name: "small heater", Type: "heater"}, "")
	for i, v := range []struct{ warm, salt, ammonia string }{{"25.9", "31.0", "0.02"}, {"26.1", "31.5", "0.05"}, {"26.0", "32.0", "0.03"}, {"26.2", "33.0", "0.02"}, {"26.0", "33.5", "0.02"}, {"26.1", "34.0", "0.01"}} {
		ago := 15 - 3*i
		of(ago, 8.1, book.KindReading, &book.Reading{Quantity: "temperature", Value: book.Number(v.warm), Unit: "°C", Instrument: "strip thermometer"}, "")
		of(ago, 8.2, book.KindReading, &book.Reading{Quantity: "salinity", Value: book.Number(v.salt), Unit: "PSU", Instrument: "refractometer"}, "")
		of(ago, 8.3, book.KindReading, &book.Reading{Quantity: "ammonia", Value: book.Number(v.ammonia), Unit: "mg/L N"}, "")
	}
	school := func(ago int, hour float64, a book.Animal, note string) {
		a.Name = "the cardinals"
		of(ago, hour, book.KindAnimal, &a, note)
	}
	school(14, 15, book.Animal{Species: "striped cardinalfish", Group: "fish", Count: "7", Mass: "3", MassUnit: "g", Price: "98", Currency: "EUR", Origin: "the glasshouse", Stage: "quarantine"}, "in the bag for three hours, dripped over two")
	school(12, 8.6, book.Animal{What: "died", Count: "1", Cause: "never ate; found at first light"}, "")
	w.at(9, 19.5, book.Line{Kind: book.KindAnimal, Tank: "reading room", Note: "when the cardinals are through",
		Body: &book.Animal{Name: "the wrasse", Species: "leopard wrasse", Group: "fish", Count: "1", Mass: "12", MassUnit: "g", Stage: "planned"}})
	for i, feeding := range []string{"1", "2", "3", "3", "4", "4"} {
		school(13-2*i, 8.5, book.Animal{What: "observed", Feeding: book.Number(feeding), Breathing: book.Number(fmt.Sprint(max(0, 2-i))), Skin: "0"}, "")
	}
}

// minded is what an absence left in the book, and the next one.
func (w *writer) minded() {
	zone := func(ago int) *time.Time { at := midnight(w.now, w.loc, ago).Add(12 * time.Hour); return &at }
	absence := func(told, from, until int, every book.Number) {
		w.at(told, 20, book.Line{Kind: book.KindAbsence, Body: &book.Absence{From: zone(from), Until: zone(until), EveryDays: every, Minder: "Rosa",
			Call: "the library desk\nDuarte, evenings"}})
	}
	absence(44, 40, 33, "2")
	absence(3, -9, -16, "2")
	for _, ago := range []int{38, 36, 34} {
		for i, tank := range []string{"reading room", "prep room", "raising bench"} {
			w.at(ago, 17.5+0.1*float64(i), book.Line{Kind: book.KindChore, Tank: tank, By: "Rosa", Body: &book.Chore{Name: "visit: looked over"}})
		}
	}
	w.at(36, 17.9, book.Line{Kind: book.KindReading, Tank: "prep room", By: "Rosa", Body: &book.Reading{Quantity: "temperature", Value: "25.1", Unit: "°C"}})
	mud := func(ago int, share book.Number) {
		w.at(ago, 15, book.Line{Kind: book.KindChore, Tank: "reading room", Body: &book.Chore{Name: "refugium mud renewed", Replaced: share}})
	}
	w.at(400, 15, book.Line{Kind: book.KindEquipment, Tank: "reading room", Body: &book.Equipment{Name: "refugium", Type: "refugium"}})
	mud(340, "33")
	mud(160, "33")
	for i, lost := range []book.Number{"", "20", "18"} {
		w.at(330-115*i, 15.5, book.Line{Kind: book.KindChore, Tank: "reading room", Body: &book.Chore{Name: "flow pump descaled", Lost: lost}})
	}
}
