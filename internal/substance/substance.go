package substance

import (
	"fmt"
	"strings"

	"driftline/internal/book"
	"driftline/stoichiometry"
	"driftline/units"
)

// Form says how a substance is measured out.
type Form string

// The forms.
const (
	Solid    Form = "solid"    // weighed, in g
	Solution Form = "solution" // measured, in mL
)

// Substance is something that can be given to water, with all it does.
type Substance struct {
	Name     string
	Form     Form
	Purity   float64  // fraction by mass, of the salts in Parts
	Parts    []Part   // the salts it is made of; nil when only a label is known
	PerLitre float64  // of a solution, grams of the parts in a litre; 0 when it is weighed
	Cautions []string // about handling it; the label outranks them
	Declared bool     // by the keeper

	contains []book.Contained
}

// Part is one salt of a substance.
type Part struct {
	Name     string
	Formula  stoichiometry.Formula
	Fraction float64 // of the mass of all parts
}

// Gives is what one gram or millilitre does to one litre of water, in the
// default unit of a quantity. A figure of zero that is known means that the
// substance is known not to contain it.
type Gives struct {
	PerGram, PerML           float64
	KnownPerGram, KnownPerML bool
}

// Of makes a substance as declared, or with nil a built-in salt or blend, or a
// formula typed as the name. It fails when nothing is known of it.
func Of(declared *book.Substance, name string) (Substance, error) {
	switch {
	case declared != nil && len(declared.Contains) > 0:
		return ofLabel(declared), nil
	case declared != nil && declared.Formula != "":
		s, err := ofFormula(declared.Name, declared.Formula)
		if err != nil {
			return Substance{}, err
		}
		s.Declared, s.Purity = true, purity(declared)
		if grams, ok := declared.GramsPerLitre.Float(); ok && grams > 0 {
			s.Form, s.PerLitre = Solution, grams
		}
		return s, nil
	}
	if s, ok := builtIn(name); ok {
		return s, nil
	}
	if pure, ok := stoichiometry.Salt(name); ok {
		return ofSalt(pure), nil
	}
	return ofFormula(name, name)
}

func ofLabel(declared *book.Substance) Substance {
	s := Substance{Name: declared.Name, Form: Solid, Purity: 1, Declared: true, contains: declared.Contains, Cautions: []string{stoichiometry.LabelFirst, stoichiometry.Slowly}}
	if gives := s.Gives(units.Alkalinity); gives.KnownPerML && !gives.KnownPerGram {
		s.Form = Solution
	}
	return s
}

func ofSalt(pure stoichiometry.Pure) Substance {
	return Substance{Name: pure.Name, Form: Solid, Purity: 1, Cautions: pure.Cautions,
		Parts: []Part{{pure.Name, pure.Formula, 1}}}
}

func ofFormula(name, formula string) (Substance, error) {
	if pure, ok := stoichiometry.Salt(formula); ok {
		s := ofSalt(pure)
		s.Name = name
		return s, nil
	}
	f, err := stoichiometry.Parse(formula)
	if err != nil {
		return Substance{}, fmt.Errorf("nothing is known of %q: expected a substance of the book, a salt by its usual name or a formula such as MgCl2·6H2O", clip(name))
	}
	return Substance{Name: name, Form: Solid, Purity: 1, Cautions: []string{stoichiometry.LabelFirst, stoichiometry.Slowly}, Parts: []Part{{f.String(), f, 1}}}, nil
}

func clip(s string) string {
	if r := []rune(strings.TrimSpace(s)); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return strings.TrimSpace(s)
}

// purity is a fraction; a figure above 1 is read as percent, none as pure.
func purity(s *book.Substance) float64 {
	p, ok := s.Purity.Float()
	switch {
	case !ok || !(p > 0) || p > 100:
		return 1
	case p > 1:
		return p / 100
	}
	return p
}

// Gives is what the substance gives to a quantity.
func (s *Substance) Gives(q units.Quantity) Gives {
	if s.contains != nil {
		return label(s.contains, q)
	}
	per := 0.0
	for _, p := range s.Parts {
		per += p.Fraction * perGram(p.Formula, q)
	}
	if s.Form == Solution {
		g := Gives{PerML: per * s.Purity * s.PerLitre / 1000, KnownPerML: true}
		if s.Name == Limewater { // a dose of it in grams means the powder
			g.PerGram, g.KnownPerGram = per*s.Purity, true
		}
		return g
	}
	return Gives{PerGram: per * s.Purity, KnownPerGram: true}
}

// Unit is what the substance is measured out in: g or mL.
func (s *Substance) Unit() string {
	if s.Form == Solution {
		return "mL"
	}
	return "g"
}

// PerUnit is what one Unit of it does to one litre, in the default unit of a
// quantity; zero when it is not known to do anything.
func (s *Substance) PerUnit(q units.Quantity) float64 {
	if g := s.Gives(q); s.Form == Solution {
		return g.PerML
	} else {
		return g.PerGram
	}
}

// Amount is how much of it, in Unit, raises a quantity by so much of its default
// unit in so many litres. It fails when the substance does not raise it.
func (s *Substance) Amount(q units.Quantity, raise, litres float64) (float64, error) {
	per := s.PerUnit(q)
	if per <= 0 {
		return 0, fmt.Errorf("%s does not raise %s", s.Name, q)
	}
	return raise * litres / per, nil
}

// Raise is the inverse: what an amount, in Unit, adds in so many litres.
func (s *Substance) Raise(q units.Quantity, amount, litres float64) float64 {
	return amount * s.PerUnit(q) / litres
}

// Quantities are those it raises or, with an acid, lowers, in the usual order.
func (s *Substance) Quantities() []units.Quantity {
	var out []units.Quantity
	for _, q := range units.Quantities() {
		if q != units.Salinity && s.PerUnit(q) != 0 {
			out = append(out, q)
		}
	}
	return out
}
