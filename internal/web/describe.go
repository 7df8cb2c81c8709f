package web

import (
	"fmt"
	"strings"
	"time"

	"driftline/internal/book"
)

// describe says in a few words what a line states.
func describe(l book.Line) string {
	switch b := l.Body.(type) {
	case *book.Reading:
		return describeReading(b)
	case *book.Dose:
		return join("dose,", amount(b.Amount, b.Unit), b.Substance)
	case *book.WaterChange:
		return with(join("water change,", amount(b.Volume, b.Unit)), b.Mix)
	case *book.TopOff:
		return with(join("top-off,", amount(b.Volume, b.Unit)), b.Substance)
	case *book.Feeding:
		return join("feeding,", amount(b.Amount, b.Unit), b.Food)
	case *book.Harvest:
		return join("harvest,", amount(b.WetMass, b.Unit), b.What)
	case *book.Score:
		return join(b.Sign+",", string(b.Value), "of 4")
	case *book.Chore:
		return describeChore(b)
	case *book.Setting:
		return join(b.Equipment+",", b.Property, "set to", strings.Trim(string(b.Value), `"`), b.Unit)
	case *book.Photo:
		return join("photo", b.Viewpoint)
	case *book.Outline:
		return join("outline of", b.Colony)
	case *book.Scale:
		return join("scale of the viewpoint", b.Viewpoint+",", amount(b.Length, b.Unit))
	case *book.Marks:
		return "marks that lay a photo over another"
	}
	return describePlan(l)
}

func describePlan(l book.Line) string {
	switch b := l.Body.(type) {
	case *book.Correction:
		return join("correction of", b.Quantity, "to", amount(b.Aim, b.Unit)+",", b.Substance)
	case *book.Course:
		return join("course,", b.Name+",", amount(b.Amount, b.Unit), b.Substance+b.Chore, "every", string(b.EveryHours), "hours for", string(b.Days), "days")
	case *book.Trial:
		return join("trial,", b.Name+",", b.Change)
	case *book.PlanEnd:
		return because("plan ended", b.Why)
	case *book.PlanResume:
		return because("plan goes on", b.Why)
	case *book.Stock:
		return join("on the shelf,", amount(b.Amount, b.Unit), b.Substance)
	}
	return describeThing(l)
}

func describeReading(b *book.Reading) string {
	s := b.Quantity + " "
	if b.Below {
		s += "below "
	}
	s = join(s, amount(b.Value, b.Unit))
	if b.SampleTemperature != "" {
		s += " at " + amount(b.SampleTemperature, b.TemperatureUnit)
	}
	if b.Instrument != "" {
		s += " by " + b.Instrument
	}
	return s
}

// describeThing is for declarations and what has no body.
func describeThing(l book.Line) string {
	switch b := l.Body.(type) {
	case *book.Tank:
		return join("tank", b.Name+",", b.System+",", amount(b.NetVolume, b.Unit))
	case *book.Band:
		return join("band of", b.Quantity+",", describeBand(b))
	case *book.Instrument:
		return join("instrument", b.Name, "for", b.Quantity+",", b.Method)
	case *book.Substance:
		return join("substance", b.Name, b.Formula)
	case *book.Food:
		return join("food", b.Name)
	case *book.Mix:
		return join("make-up water", b.Name, amount(b.Volume, b.Unit))
	case *book.Routine:
		return join("routine", b.Name+",", describeRoutine(b))
	case *book.Equipment:
		return join("device", b.Name, b.Type)
	case *book.Preference:
		return join(b.Name+":", b.Value)
	case *book.Animal:
		return describeAnimal(b)
	case *book.Absence:
		return describeAbsence(b)
	}
	if l.Kind == book.KindVoid {
		return "retraction"
	}
	if l.Note != "" && l.Kind == book.KindNote {
		return "note"
	}
	return string(l.Kind)
}

func describeChore(b *book.Chore) string {
	s := b.Name
	if b.Replaced != "" {
		s += ", " + string(b.Replaced) + " % of it"
	}
	if b.Lost != "" {
		s += ", " + string(b.Lost) + " % lost"
	}
	return s
}

func describeAbsence(b *book.Absence) string {
	s := "away"
	if b.From != nil && b.Until != nil {
		s += " from " + b.From.Format("2 January 2006") + " to " + b.Until.Format("2 January 2006")
	}
	if b.Minder != "" {
		s += ", " + b.Minder + " minds the tanks"
	}
	return s
}

// describeAnimal: "slate chromis, 5: moved to Reef".
func describeAnimal(b *book.Animal) string {
	name := strings.TrimSpace(b.Name)
	if name == "" {
		return "animal"
	}
	if b.Count != "" {
		name += ", " + string(b.Count)
	}
	switch book.Key(b.What) {
	case "":
		return join("animal,", name)
	case "stage":
		return name + ": " + b.Stage
	case "moved", "given away":
		return join(name+":", b.What, with("", b.To))
	case "treated":
		return join(name+":", b.Treatment+",", "ordered by", b.OrderedBy)
	case "died":
		return join(name+": died", with("", b.Cause))
	}
	return name + ": " + b.What
}

func describeBand(b *book.Band) string {
	var parts []string
	for _, p := range []struct {
		word string
		n    book.Number
	}{{"from", b.Low}, {"to", b.High}, {"aim", b.Aim}} {
		if p.n != "" {
			parts = append(parts, p.word+" "+string(p.n))
		}
	}
	return join(strings.Join(parts, " "), b.Unit)
}

// describeRoutine: "dose of 12 mL blue bottle every day, by a machine".
func describeRoutine(b *book.Routine) string {
	var s string
	switch b.Action {
	case "dose":
		s = join("dose of", amount(b.Amount, b.Unit), b.Substance)
	case "water change":
		s = with(join("water change of", amount(b.Volume, b.Unit)), b.Mix)
	case "feeding":
		s = join("feeding,", amount(b.Amount, b.Unit), b.Food)
	case "test":
		s = join("test of", b.Quantity)
	default:
		s = b.Action
		if book.Key(b.Chore) != book.Key(b.Name) {
			s = join(s+":", b.Chore)
		}
		s += ","
	}
	s += " " + every(b.EveryDays)
	if b.Automatic {
		s += ", by a machine"
	}
	return s
}

// with names what something was done with, if that is known.
func because(s, why string) string {
	if why == "" {
		return s
	}
	return s + ": " + why
}

func with(s, what string) string {
	if what == "" {
		return s
	}
	return join(s, "with", what)
}

func every(days book.Number) string {
	v, ok := days.Float()
	switch {
	case !ok:
		return ""
	case v == 1:
		return "every day"
	case v == 7:
		return "every week"
	}
	return fmt.Sprintf("every %s days", days)
}

func amount(n book.Number, unit string) string {
	if n == "" {
		return ""
	}
	return strings.TrimSpace(string(n) + " " + unit)
}

// words2 joins what is not empty, and takes a comma off the end.
func join(parts ...string) string {
	var kept []string
	for _, p := range parts {
		if p = strings.TrimSpace(p); p != "" && p != "," {
			kept = append(kept, p)
		}
	}
	return strings.TrimSuffix(strings.Join(kept, " "), ",")
}

// zoneOf is the time zone of a line's tank, the first tank's for other lines.
func zoneOf(f *book.Facts, tank string) *time.Location {
	if t, ok := f.Tank(tank); ok {
		return t.Location
	}
	if len(f.Tanks) > 0 {
		return f.Tanks[0].Location
	}
	return time.UTC
}
