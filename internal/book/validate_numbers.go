package book

import (
	"strings"
	"time"
	_ "time/tzdata" // a tank's zone must be known on a machine without zone files

	"driftline/units"
)

// fit is what the unit parser said of a quantity and a unit.
type fit struct {
	quantity units.Quantity
	unit     string
	field    string
	err      error
}

func (v *validator) fit(quantity, unit string) fit {
	key := [2]string{quantity, unit}
	f, ok := v.fits[key]
	if !ok {
		f = look(quantity, unit)
		if v.fits == nil {
			v.fits = make(map[[2]string]fit)
		}
		if len(v.fits) < wordCount {
			v.fits[key] = f
		}
	}
	return f
}

func look(quantity, unit string) (f fit) {
	f.field = "quantity"
	if f.quantity, f.err = units.ParseQuantity(quantity); f.err != nil {
		return f
	}
	f.field = "unit"
	f.unit, f.err = units.ParseUnit(f.quantity, unit)
	return f
}

// quantity checks that the quantity is known and, when one is given or needed, its unit.
func (v *validator) quantity(quantity, unit string, unitNeeded bool) (fit, bool) {
	v.required("quantity", quantity)
	f := v.fit(quantity, unit)
	if f.err == nil || f.field == "unit" && unit == "" && !unitNeeded {
		return f, f.err == nil
	}
	v.fail(f.field, "%v", f.err)
	return f, false
}

// number reads a number that may be absent; ok only when it is there and finite.
func (v *validator) number(field string, n Number) (value float64, ok bool) {
	if n == "" {
		return 0, false
	}
	value, ok = n.Float()
	if !ok || !n.valid() {
		v.fail(field, "%s %q is not a number that can be used", field, clip(string(n)))
		return 0, false
	}
	return value, true
}

func (v *validator) needed(field string, n Number) (float64, bool) {
	if n == "" {
		v.fail(field, "%s is missing; expected a number", field)
	}
	return v.number(field, n)
}

// positive checks a number that must be above zero.
func (v *validator) positive(field string, n Number) {
	if x, ok := v.number(field, n); ok && x <= 0 {
		v.fail(field, "%s %s is not possible; expected more than 0", field, n)
	}
}

// notNegative checks a number that may be zero.
func (v *validator) notNegative(field string, n Number) {
	if x, ok := v.number(field, n); ok && x < 0 {
		v.fail(field, "%s %s is not possible; expected 0 or more", field, n)
	}
}

func (v *validator) between(field string, n Number, low, high float64, words string) {
	if x, ok := v.number(field, n); ok && (x < low || x > high) {
		v.fail(field, "%s %s is not possible; expected %s", field, n, words)
	}
}

// possible checks a value of a quantity against what the water can hold.
func (v *validator) possible(field string, f fit, n Number) {
	x, ok := v.number(field, n)
	if !ok {
		return
	}
	if err := units.Check(f.quantity, x, f.unit); err != nil {
		v.fail(field, "%v", err)
	}
}

// The most that is ever handled at once: the water of the largest public
// aquaria is some tens of thousands of m3. Beyond stands a slip of the pen.
const (
	mostLitres = 1e8
	mostGrams  = 1e8
)

// volume checks a volume that must be given, with its unit.
func (v *validator) volume(field string, n Number, unit string) {
	v.needed(field, n)
	v.positive(field, n)
	v.unitOf(unit, units.ParseVolumeUnit)
	v.most(field, n, unit)
}

// most refuses an amount of mass or volume that nobody handles.
func (v *validator) most(field string, n Number, unit string) {
	x, ok := n.Float()
	if !ok {
		return
	}
	if l, err := units.Litres(x, unit); err == nil && l > mostLitres {
		v.fail(field, "%s %s %s is not possible; expected at most 100,000 m3", field, n, unit)
	}
	if g, err := units.Grams(x, unit); err == nil && g > mostGrams {
		v.fail(field, "%s %s %s is not possible; expected at most 100,000 kg", field, n, unit)
	}
}

func (v *validator) unitOf(unit string, parse func(string) (string, error)) {
	if _, err := parse(unit); err != nil {
		v.fail("unit", "%v", err)
	}
}

// dosable is a unit of mass or of volume.
func dosable(unit string) (string, error) {
	if u, err := units.ParseMassUnit(unit); err == nil {
		return u, nil
	}
	if u, err := units.ParseVolumeUnit(unit); err == nil {
		return u, nil
	}
	if strings.TrimSpace(unit) == "" {
		return "", faultf("unit", "unit is missing; expected one of mass or volume, such as g, mg, mL or L")
	}
	return "", faultf("unit", "unit %q is not one of mass or volume; expected such as g, mg, mL or L", clip(unit))
}

// zone checks an IANA time zone name.
func (v *validator) zone(field, name string) {
	if name == "" || v.zones[name] {
		return
	}
	if _, ok := zoneNamed(name); !ok {
		v.fail(field, "%s %q is not known; expected a name such as Europe/Lisbon", field, clip(name))
		return
	}
	if v.zones == nil {
		v.zones = make(map[string]bool)
	}
	v.zones[name] = true
}

func zoneNamed(name string) (*time.Location, bool) {
	if name == "" || name == "Local" {
		return nil, false
	}
	z, err := time.LoadLocation(name)
	return z, err == nil
}
