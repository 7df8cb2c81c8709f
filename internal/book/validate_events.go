package book

import (
	"strings"

	"driftline/units"
)

func (v *validator) event(body Body) {
	switch b := body.(type) {
	case *Reading:
		v.reading(b)
	case *Dose:
		v.dose(b)
	case *WaterChange:
		v.waterChange(b)
	case *TopOff:
		v.topOff(b)
	case *Feeding:
		v.feeding(b)
	case *Harvest:
		v.named("what", b.What)
		v.notNegative("wet_mass", b.WetMass)
		if b.WetMass != "" || b.Unit != "" {
			v.unitOf(b.Unit, units.ParseMassUnit)
		}
	case *Score:
		v.named("sign", b.Sign)
		v.needed("value", b.Value)
		v.between("value", b.Value, 0, 4, "0 (none) to 4 (everywhere)")
	case *Chore:
		v.named("name", b.Name)
		v.identity("plan", b.Plan)
		v.between("replaced", b.Replaced, 0, 100, "0 to 100 per cent")
		v.between("lost", b.Lost, 0, 100, "0 to 100 per cent")
	case *Setting:
		v.setting(b)
	case *Outline, *Scale, *Marks:
		v.measured(b)
	case *Photo:
		v.photo(b)
	case *Animal:
		v.animal(b)
	default:
		v.plan(body)
	}
}

func (v *validator) reading(b *Reading) {
	v.name("instrument", b.Instrument)
	if f, ok := v.quantity(b.Quantity, b.Unit, true); ok {
		v.needed("value", b.Value)
		v.possible("value", f, b.Value)
	}
	if b.SampleTemperature == "" && b.TemperatureUnit == "" {
		return
	}
	v.needed("sample_temperature", b.SampleTemperature)
	unit, err := units.ParseUnit(units.Temperature, b.TemperatureUnit)
	if err != nil {
		v.fail("temperature_unit", "temperature_unit: %v", err)
		return
	}
	v.possible("sample_temperature", fit{quantity: units.Temperature, unit: unit}, b.SampleTemperature)
}

func (v *validator) dose(b *Dose) {
	v.named("substance", b.Substance)
	v.needed("amount", b.Amount)
	v.notNegative("amount", b.Amount)
	v.unitOf(b.Unit, dosable)
	v.most("amount", b.Amount, b.Unit)
	v.identity("plan", b.Plan)
}

func (v *validator) waterChange(b *WaterChange) {
	v.volume("volume", b.Volume, b.Unit)
	v.name("mix", b.Mix)
	v.composition(b.Composition)
	if strings.TrimSpace(b.Mix) == "" && len(b.Composition) == 0 {
		v.fail("mix", "mix is missing; a water change needs the mix by name, or the new water's composition")
	}
}

func (v *validator) topOff(b *TopOff) {
	v.volume("volume", b.Volume, b.Unit)
	v.name("substance", b.Substance)
	v.notNegative("concentration", b.Concentration)
	if b.Concentration != "" && b.Substance == "" {
		v.fail("substance", "substance is missing; a concentration is of something")
	}
}

func (v *validator) feeding(b *Feeding) {
	v.named("food", b.Food)
	v.notNegative("amount", b.Amount)
	v.name("unit", b.Unit)
	if b.Amount != "" && strings.TrimSpace(b.Unit) == "" {
		v.fail("unit", "unit is missing; an amount of food needs one, such as g")
	}
}

func (v *validator) setting(b *Setting) {
	v.named("equipment", b.Equipment)
	v.named("property", b.Property)
	v.name("unit", b.Unit)
	if len(b.Value) == 0 {
		v.fail("value", "value is missing; expected a number or text")
		return
	}
	if !checkedRaw(b.Value) {
		v.fail("value", "value is not a JSON value")
	}
}

func (v *validator) photo(b *Photo) {
	v.named("file", b.File)
	v.name("viewpoint", b.Viewpoint)
	if strings.ContainsAny(b.File, "/\\") || strings.HasPrefix(b.File, ".") {
		v.fail("file", "file %q is a path; expected a content hash and type, such as sha256-….jpg", clip(b.File))
	}
}
