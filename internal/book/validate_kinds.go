package book

import (
	"strings"
	"time"

	"driftline/stoichiometry"
	"driftline/units"
)

// The words that some fields choose from.
var (
	Systems = []string{"soft coral", "mixed", "large-polyp stony", "small-polyp stony", "fish only", "quarantine"}
	Methods = []string{"drop titration", "colour card", "photometer", "hydrometer", "refractometer",
		"conductivity probe", "electrode", "thermometer", "laboratory"}
	Forms   = []string{"solid", "solution"}
	Actions = []string{"dose", "water change", "feeding", "test", "chore"}
)

func (v *validator) body(body Body) {
	switch b := body.(type) {
	case *Tank:
		v.tank(b)
	case *Band:
		v.band(b)
	case *Instrument:
		v.instrument(b)
	case *Substance:
		v.substance(b)
	case *Mix:
		v.mix(b)
	case *Food:
		v.food(b)
	case *Routine:
		v.routine(b)
	case *Absence:
		v.absence(b)
	case *Equipment:
		v.named("name", b.Name)
		v.name("type", b.Type)
		v.bag("properties", b)
	case *Preference:
		v.named("name", b.Name)
		v.required("value", b.Value)
		v.name("value", b.Value)
	default:
		v.event(body)
	}
}

func (v *validator) tank(b *Tank) {
	v.named("name", b.Name)
	if n := strings.TrimSpace(b.Name); n == "." || n == ".." { // such a name has no address of its own
		v.fail("name", "name %q is only dots; expected a name in words", n)
	}
	v.oneOf("system", b.System, Systems...)
	v.volume("net_volume", b.NetVolume, b.Unit)
	v.positive("length", b.Length)
	v.positive("width", b.Width)
	v.positive("height", b.Height)
	if b.Length != "" || b.Width != "" || b.Height != "" || b.LengthUnit != "" {
		if _, err := units.ParseLengthUnit(b.LengthUnit); err != nil {
			v.fail("length_unit", "length_unit: %v", err)
		}
	}
	v.between("latitude", b.Latitude, -90, 90, "degrees from -90 to 90, north positive")
	v.between("longitude", b.Longitude, -180, 180, "degrees from -180 to 180, east positive")
	v.zone("time_zone", b.TimeZone)
}

func (v *validator) band(b *Band) {
	f, ok := v.quantity(b.Quantity, b.Unit, true)
	if !ok {
		return
	}
	v.possible("low", f, b.Low)
	v.possible("aim", f, b.Aim)
	v.possible("high", f, b.High)
	if b.Low == "" && b.Aim == "" && b.High == "" {
		v.fail("low", "low, aim and high are all missing; a band has at least one")
	}
	v.ordered("low", b.Low, "aim", b.Aim)
	v.ordered("aim", b.Aim, "high", b.High)
	v.ordered("low", b.Low, "high", b.High)
}

func (v *validator) ordered(fieldA string, a Number, fieldB string, b Number) {
	x, okA := a.Float()
	y, okB := b.Float()
	if okA && okB && x > y {
		v.fail(fieldA, "%s %s is above %s %s; expected low, aim and high in rising order", fieldA, a, fieldB, b)
	}
}

func (v *validator) instrument(b *Instrument) {
	v.named("name", b.Name)
	v.oneOf("method", b.Method, Methods...)
	unitNeeded := b.Resolution != "" || b.SD != "" || b.BiasSD != "" || b.LowerLimit != ""
	v.quantity(b.Quantity, b.Unit, unitNeeded)
	v.notNegative("resolution", b.Resolution)
	v.notNegative("sd", b.SD)
	v.between("relative_sd", b.RelativeSD, 0, 1, "a fraction from 0 to 1, such as 0.05 for 5 %")
	v.notNegative("bias_sd", b.BiasSD)
	v.number("lower_limit", b.LowerLimit)
	v.expires(b.Expires)
}

// expires checks a date on a label.
func (v *validator) expires(at *time.Time) {
	if at != nil {
		v.time("expires", *at)
	}
}

func (v *validator) substance(b *Substance) {
	v.named("name", b.Name)
	v.formula(b.Formula)
	v.oneOf("form", b.Form, Forms...)
	if x, ok := v.number("purity", b.Purity); ok && (x <= 0 || x > 100) {
		v.fail("purity", "purity %s is not possible; expected a fraction above 0 up to 1, or a percentage up to 100", b.Purity)
	}
	v.positive("grams_per_litre", b.GramsPerLitre)
	if x, ok := b.GramsPerLitre.Float(); ok && (b.Formula == "" || x > 2000) {
		v.fail("grams_per_litre", "grams_per_litre %s is not possible; expected up to 2000 g of the formula in a litre, beside the formula", b.GramsPerLitre)
	}
	for _, c := range b.Contains {
		v.content(c)
	}
}

func (v *validator) formula(text string) {
	v.name("formula", text)
	if text == "" {
		return
	}
	if _, err := stoichiometry.Parse(text); err != nil {
		v.fail("formula", "%v; expected one such as MgCl2·6H2O", err)
	}
}

// content checks one entry of what a label says: so much of a quantity in each gram or millilitre.
func (v *validator) content(c Contained) {
	v.name("contains", c.Unit)
	q, err := units.ParseQuantity(c.Quantity)
	if err != nil {
		v.fail("contains", "contains: %v", err)
		return
	}
	if err := checkContentUnit(q, c.Unit); err != nil {
		v.fail("contains", "%v", err)
	}
	if c.Value == "" {
		v.fail("contains", "contains: value of %s is missing; expected a number", q)
	}
	x, ok := v.number("contains", c.Value)
	if ok && x < 0 {
		v.fail("contains", "contains: %s %s %s is not possible; expected 0 or more", q, c.Value, c.Unit)
	}
	if share, ok := massShare(c.Unit); ok && x*share > 1 {
		v.fail("contains", "contains: %s %s %s is more than the substance weighs; expected at most %g %s", q, c.Value, c.Unit, 1/share, c.Unit)
	}
}

func (v *validator) mix(b *Mix) {
	v.named("name", b.Name)
	v.name("salt", b.Salt)
	if b.Volume != "" || b.Unit != "" {
		v.volume("volume", b.Volume, b.Unit)
	}
	v.composition(b.Composition)
}

// food takes a label as it is, within what a hundred grams can hold.
func (v *validator) food(b *Food) {
	v.named("name", b.Name)
	for _, p := range []struct {
		field string
		n     Number
	}{{"moisture", b.Moisture}, {"protein", b.Protein}, {"nitrogen", b.Nitrogen}, {"phosphorus", b.Phosphorus}} {
		v.between(p.field, p.n, 0, 100, "per cent, 0 to 100")
	}
	moisture, _ := b.Moisture.Float()
	protein, _ := b.Protein.Float()
	if moisture+protein > 100 {
		v.fail("protein", "moisture %s and protein %s come to more than 100; expected per cent of the food as it is fed", b.Moisture, b.Protein)
	}
	v.name("portion", b.Portion)
	v.positive("portion_grams", b.PortionGrams)
	if (strings.TrimSpace(b.Portion) == "") != (b.PortionGrams == "") {
		v.fail("portion_grams", "portion and portion_grams belong together; expected such as cube and 3.2")
	}
}

func (v *validator) composition(parts []Contained) {
	for _, c := range parts {
		f := v.fit(c.Quantity, c.Unit)
		if f.err != nil {
			v.fail("composition", "composition: %v", f.err)
			return
		}
		v.needed("composition", c.Value)
		if x, ok := v.number("composition", c.Value); ok {
			if err := units.Check(f.quantity, x, f.unit); err != nil {
				v.fail("composition", "composition: %v", err)
			}
		}
	}
}

func (v *validator) routine(b *Routine) {
	v.named("name", b.Name)
	v.required("action", b.Action)
	v.oneOf("action", b.Action, Actions...)
	v.needed("every_days", b.EveryDays)
	v.positive("every_days", b.EveryDays)
	v.routineNeeds(b)
	for _, name := range []*string{&b.Substance, &b.Mix, &b.Instrument, &b.Food, &b.Chore} {
		v.name("name", *name)
	}
	v.composition(b.Composition)
	if b.From != nil {
		v.time("from", *b.From)
	}
	if b.Until != nil {
		v.time("until", *b.Until)
	}
	if b.From != nil && b.Until != nil && b.Until.Before(*b.From) {
		v.fail("until", "until %s is before from %s", b.Until.Format("2006-01-02"), b.From.Format("2006-01-02"))
	}
}

// routineNeeds checks what the action of a routine cannot do without.
func (v *validator) routineNeeds(b *Routine) {
	switch Key(b.Action) {
	case "dose":
		v.dose(&Dose{Substance: b.Substance, Amount: b.Amount, Unit: b.Unit})
	case "water change":
		v.waterChange(&WaterChange{Volume: b.Volume, Unit: b.Unit, Mix: b.Mix, Composition: b.Composition})
	case "feeding":
		v.feeding(&Feeding{Food: b.Food, Amount: b.Amount, Unit: b.Unit})
	case "test":
		v.quantity(b.Quantity, b.Unit, false)
	}
}

func (v *validator) bag(field string, b *Equipment) {
	for name, raw := range b.Properties {
		if !checkedRaw(raw) {
			v.fail(field, "%s: %s is not a JSON value", field, clip(name))
		}
	}
}
