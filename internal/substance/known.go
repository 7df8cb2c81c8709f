package substance

import (
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/seawater"
	"driftline/stoichiometry"
	"driftline/units"
)

// MagnesiumSalts is the blend that raises magnesium and keeps chloride and
// sulfate in the proportion of seawater.
const MagnesiumSalts = "magnesium salts"

// Limewater is water that holds as much calcium hydroxide as will dissolve.
const Limewater = "limewater"

// limePerLitre is the solubility of calcium hydroxide at 25 °C in g/L: Seidell
// and Linke 1953, second-hand.
const limePerLitre = 1.5

// Find is the substance of a book at a moment, or a built-in one. f may be nil.
func Find(f *book.Facts, name string, at time.Time) (Substance, error) {
	if f != nil {
		if declared, ok := f.SubstanceAt(name, at); ok {
			return Of(declared, name)
		}
	}
	return Of(nil, name)
}

// builtIn finds what is no pure salt.
func builtIn(name string) (Substance, bool) {
	switch key := book.Key(name); {
	case key == MagnesiumSalts || key == "magnesium blend":
		return magnesiumSalts(), true
	case key == Limewater || key == "saturated limewater":
		pure, _ := stoichiometry.Salt("calcium hydroxide")
		s := ofSalt(pure)
		s.Name, s.Form, s.PerLitre = Limewater, Solution, limePerLitre
		return s, true
	case strings.HasPrefix(key, "hydrogen peroxide ") || strings.HasPrefix(key, "peroxide "):
		return peroxide(name, key)
	}
	return Substance{}, false
}

// magnesiumSalts mixes the two magnesium salts so that chloride and sulfate come
// in the molar proportion of the reference composition of seawater.
func magnesiumSalts() Substance {
	chloride, _ := stoichiometry.Salt("magnesium chloride hexahydrate")
	sulfate, _ := stoichiometry.Salt("magnesium sulfate heptahydrate")
	cl, err := seawater.IonMolPerKg(seawater.Chloride, 35)
	so4, err2 := seawater.IonMolPerKg(seawater.Sulfate, 35)
	if err != nil || err2 != nil {
		return ofSalt(chloride)
	}
	a := cl / 2 * chloride.Formula.MolarMass() // two chlorides a mole
	b := so4 * sulfate.Formula.MolarMass()
	s := Substance{Name: MagnesiumSalts, Form: Solid, Purity: 1, Cautions: chloride.Cautions,
		Parts: []Part{{chloride.Name, chloride.Formula, a / (a + b)}, {sulfate.Name, sulfate.Formula, b / (a + b)}}}
	return s
}

// peroxide reads "hydrogen peroxide 3 %": grams in 100 mL, near enough the
// percentage by mass at the strengths that are safe to handle here.
func peroxide(name, key string) (Substance, bool) {
	pure, _ := stoichiometry.Salt("hydrogen peroxide")
	text := strings.TrimSpace(strings.TrimSuffix(key[strings.Index(key, "peroxide ")+len("peroxide "):], "%"))
	percent, ok := book.Number(text).Float()
	if !ok || percent <= 0 || percent > 100 {
		return Substance{}, false
	}
	s := ofSalt(pure)
	s.Name, s.Form, s.PerLitre = name, Solution, percent*10
	return s, true
}

// Usual lists what is usually taken to raise a quantity, first choice first.
func Usual(q units.Quantity) []string {
	return map[units.Quantity][]string{
		units.Alkalinity: {"sodium bicarbonate", "sodium carbonate", Limewater},
		units.Calcium:    {"calcium chloride dihydrate", "calcium chloride anhydrous", Limewater},
		units.Magnesium:  {MagnesiumSalts, "magnesium chloride hexahydrate", "magnesium sulfate heptahydrate"},
		units.Potassium:  {"potassium chloride"},
		units.Strontium:  {"strontium chloride hexahydrate"},
		units.Iodine:     {"potassium iodide"},
		units.Nitrate:    {"sodium nitrate"},
		units.Phosphate:  {"monopotassium phosphate"},
		units.Boron:      {"boric acid", "borax"},
		units.Salinity:   {"sodium chloride"},
	}[q]
}
