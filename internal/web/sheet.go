package web

import (
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/units"
)

// sheet is how a kind of line is asked for on a page.
type sheet struct {
	kind   book.Kind
	title  string // "A dose"
	save   string // the words on the button
	fields func(c sheetContext) []field
}

// sheetContext is what a sheet's choices are made from.
type sheetContext struct {
	facts  *book.Facts
	tank   *book.TankFacts // nil for things that belong to no tank
	now    time.Time       // in the tank's zone
	values map[string]string
}

func (c sheetContext) value(key string) string { return c.values[key] }

// sheets are all the kinds a page can ask for, by kind.
var sheets = map[book.Kind]sheet{
	book.KindReading:     {book.KindReading, "A reading", "Keep the reading", readingFields},
	book.KindDose:        {book.KindDose, "A dose", "Keep the dose", doseFields},
	book.KindWaterChange: {book.KindWaterChange, "A water change", "Keep the water change", waterChangeFields},
	book.KindTopOff:      {book.KindTopOff, "A top-off", "Keep the top-off", topOffFields},
	book.KindFeeding:     {book.KindFeeding, "A feeding", "Keep the feeding", feedingFields},
	book.KindHarvest:     {book.KindHarvest, "A harvest", "Keep the harvest", harvestFields},
	book.KindScore:       {book.KindScore, "A score by eye", "Keep the score", scoreFields},
	book.KindChore:       {book.KindChore, "A chore", "Keep the chore", choreFields},
	book.KindSetting:     {book.KindSetting, "A change to a device", "Keep the change", settingFields},
	book.KindAnimal:      {book.KindAnimal, "An animal", "Keep it", animalFields},
	book.KindNote:        {book.KindNote, "A note", "Keep the note", noteFields},
	book.KindTank:        {book.KindTank, "A tank", "Keep the tank", tankFields},
	book.KindBand:        {book.KindBand, "A band", "Keep the band", bandFields},
	book.KindInstrument:  {book.KindInstrument, "An instrument", "Keep the instrument", instrumentFields},
	book.KindSubstance:   {book.KindSubstance, "A substance", "Keep the substance", substanceFields},
	book.KindMix:         {book.KindMix, "Make-up water", "Keep the make-up water", mixFields},
	book.KindFood:        {book.KindFood, "A food", "Keep the food", foodFields},
	book.KindRoutine:     {book.KindRoutine, "A routine", "Keep the routine", routineFields},
	book.KindStock:       {book.KindStock, "A count of the shelf", "Keep the count", stockFields},
}

// ofTank tells whether lines of the kind name a tank.
func (s sheet) ofTank() bool {
	switch s.kind {
	case book.KindTank, book.KindInstrument, book.KindSubstance, book.KindMix, book.KindFood, book.KindStock:
		return false
	}
	return true
}

// momentField asks when; the clock is the tank's own.
func momentField(c sheetContext) field {
	return field{Name: "at", Label: "When", Input: "moment", Value: c.now.Format("2006-01-02"), Time: c.now.Format("15:04"),
		Hint: zoneHint(c.now)}
}

func zoneHint(now time.Time) string {
	return "The tank's own time, " + strings.ReplaceAll(now.Location().String(), "_", " ") + "."
}

func noteField() field {
	return field{Name: "note", Label: "Remark", Input: "long", Optional: true}
}

// inUnits gives a figure its choice of units.
func inUnits(f field, name, chosen string, all []string) field {
	u := field{Name: name, Label: "Unit of " + f.Label, Input: "choice", Options: options(all...)}
	u.choose(chosen)
	f.Unit = &u
	return f
}

// quantityUnits are the units of a quantity by name, none when it is not known.
func quantityUnits(name string) []string {
	q, err := units.ParseQuantity(name)
	if err != nil {
		return nil
	}
	return q.Units()
}

func quantityNames() []string {
	var names []string
	for _, q := range units.Quantities() {
		names = append(names, string(q))
	}
	return names
}

// names lists what is declared, the newest form of each name, in order.
func names[T any](declared []book.Declared[T], of func(T) string) []string {
	var all []string
	seen := map[string]bool{}
	for _, d := range declared {
		n := of(d.Body)
		if k := book.Key(n); !seen[k] {
			seen[k] = true
			all = append(all, n)
		}
	}
	return all
}

// used lists what events have named before, the latest first.
func used(t *book.TankFacts, of func(book.Line) string, most int) []string {
	if t == nil {
		return nil
	}
	var all []string
	seen := map[string]bool{"": true}
	for i := len(t.Events) - 1; i >= 0 && len(all) < most; i-- {
		n := of(t.Events[i])
		if k := book.Key(n); !seen[k] {
			seen[k] = true
			all = append(all, n)
		}
	}
	return all
}
