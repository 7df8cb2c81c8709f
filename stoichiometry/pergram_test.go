package stoichiometry_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"driftline/stoichiometry"
	"driftline/units"
)

// Equivalents a mole by the definition of Dickson 1981 (zero levels CO2, H3BO3's
// borate 1, H2PO4, H4SiO4, NH4), worked by hand from the species each gives.
func TestEquivalents(t *testing.T) {
	for in, want := range map[string]float64{
		"NaHCO3": 1, "Na2CO3": 2, "Na2CO3·10H2O": 2, "CaCO3": 2, "Ca(OH)2": 2, "NaOH": 1, "Mg(OH)2": 2, "CaO": 2,
		"Na2B4O7·10H2O": 2, "H3BO3": 0, "MgCl2·6H2O": 0, "MgSO4·7H2O": 0, "NaNO3": 0, "KH2PO4": 0, "Na2HPO4": 1,
		"K3PO4": 2, "HCl": -1, "H2SO4": -2, "HNO3": -1, "NaHSO4": -1, "NH4Cl": 0, "NH3": 1, "Na2SiO3": 2, "Na2S2O3·5H2O": 0,
		"(NH4)2SO4": 0, "Ca(NO3)2": 0, "KI": 0, "H2O2": 0, "CH3COONa": 1, "CH3COOH": 0,
	} {
		t.Run(in, func(t *testing.T) {
			got, known := parse(t, in).Equivalents()
			if !known || math.Abs(got-want) > 1e-12 {
				t.Errorf("got %g (%v), want %g", got, known, want)
			}
		})
	}
	for _, in := range []string{"LaCl3", "I2", "FeCl3", "Na5P3O10", "CO(NH2)2"} {
		if got, known := parse(t, in).Equivalents(); known {
			t.Errorf("%s: got %g, want that it cannot be told", in, got)
		}
	}
}

// Per gram, from the equivalents above and IUPAC weights: 1000/84.006, 2000/105.988, …
func TestPerGram(t *testing.T) {
	cases := []struct {
		formula  string
		quantity units.Quantity
		want     float64
		unit     string
	}{
		{"NaHCO3", units.Alkalinity, 11.9039, "meq/g"},
		{"Na2CO3", units.Alkalinity, 18.8701, "meq/g"},
		{"Ca(OH)2", units.Alkalinity, 26.9935, "meq/g"},
		{"Na2B4O7·10H2O", units.Alkalinity, 5.24435, "meq/g"},
		{"HCl", units.Alkalinity, -27.4288, "meq/g"},
		{"MgCl2·6H2O", units.Magnesium, 119.555, "mg/g"},
		{"MgSO4·7H2O", units.Magnesium, 98.6140, "mg/g"},
		{"CaCl2·2H2O", units.Calcium, 272.625, "mg/g"},
		{"Ca(OH)2", units.Calcium, 540.922, "mg/g"},
		{"SrCl2·6H2O", units.Strontium, 328.644, "mg/g"},
		{"KCl", units.Potassium, 524.467, "mg/g"},
		{"KI", units.Iodine, 764.467, "mg/g"},
		{"NaNO3", units.Nitrate, 729.510, "mg/g"},
		{"Ca(NO3)2·4H2O", units.Nitrate, 525.133, "mg/g"},
		{"NaNO2", units.Nitrite, 666.787, "mg/g"},
		{"NH4Cl", units.TotalAmmonia, 337.247, "mg/g"},
		{"KH2PO4", units.Phosphate, 697.878, "mg/g"},
		{"Na2SiO3", units.Silicate, 492.233, "mg/g"},
		{"H3BO3", units.Boron, 174.831, "mg/g"},
		{"NaCl", units.Salinity, 1, "g/g"},
		{"MgCl2·6H2O", units.Salinity, 0.468310, "g/g"},
	}
	for _, c := range cases {
		t.Run(c.formula+" to "+string(c.quantity), func(t *testing.T) {
			got, unit, ok := parse(t, c.formula).PerGram(c.quantity)
			if !ok || unit != c.unit || !alike(got, c.want, 1e-5) {
				t.Errorf("got %.6g %s (%v), want %.6g %s", got, unit, ok, c.want, c.unit)
			}
		})
	}
}

func TestPerGramGivesNothing(t *testing.T) {
	for formula, qs := range map[string][]units.Quantity{
		"NaCl":     {units.Alkalinity, units.Calcium, units.Nitrate, units.PH, units.Temperature},
		"H2O2":     {units.Alkalinity, units.Salinity, units.Oxygen},
		"KH2PO4":   {units.Alkalinity},
		"CO(NH2)2": {units.Nitrate, units.TotalAmmonia, units.Salinity},
	} {
		for _, q := range qs {
			if got, unit, ok := parse(t, formula).PerGram(q); ok {
				t.Errorf("%s gives %g %s of %s, want nothing", formula, got, unit, q)
			}
		}
	}
	if _, _, ok := (stoichiometry.Formula{}).PerGram(units.Calcium); ok {
		t.Error("an empty formula gives calcium")
	}
}

// The nutrients weigh the same here and in package units.
func TestNutrientsAgreeWithUnits(t *testing.T) {
	for formula, c := range map[string]struct {
		q       units.Quantity
		element string
		unit    string
	}{
		"NaNO3": {units.Nitrate, "N", "mg/L N"}, "NaNO2": {units.Nitrite, "N", "mg/L N"}, "NH4Cl": {units.TotalAmmonia, "N", "mg/L N"},
		"KH2PO4": {units.Phosphate, "P", "mg/L P"}, "Na2SiO3": {units.Silicate, "Si", "mg/L Si"},
	} {
		f := parse(t, formula)
		mg, _, _ := f.PerGram(c.q)
		got, err := units.Convert(c.q, mg, c.q.Default(), c.unit)
		if want := 1000 * f.MassFraction(c.element); err != nil || !alike(got, want, 1e-12) {
			t.Errorf("%s: %g mg of %s by units (%v), %g by formula", formula, got, c.element, err, want)
		}
	}
}

func TestSalts(t *testing.T) {
	taken := map[string]string{}
	for _, s := range stoichiometry.Salts() {
		t.Run(s.Name, func(t *testing.T) {
			if s.Formula.MolarMass() == 0 {
				t.Fatal("the formula does not parse")
			}
			if len(s.Cautions) < 2 {
				t.Errorf("cautions are %v, want at least one of its own and the label", s.Cautions)
			}
			for _, name := range append([]string{s.Name, s.Formula.String()}, s.Synonyms...) {
				if other := taken[name]; other != "" {
					t.Errorf("%q also names %s", name, other)
				}
				taken[name] = s.Name
				if got, ok := stoichiometry.Salt(name); !ok || got.Name != s.Name {
					t.Errorf("%q finds %q (%v)", name, got.Name, ok)
				}
			}
		})
	}
	for in, want := range map[string]string{
		"EPSOM SALT": "magnesium sulfate heptahydrate", "magnesium sulphate": "magnesium sulfate heptahydrate", " MgCl2*6H2O": "magnesium chloride hexahydrate",
		"Kalkwasser": "calcium hydroxide", "baking-soda": "sodium bicarbonate", "CaCl₂·2H₂O": "calcium chloride dihydrate",
	} {
		if got, ok := stoichiometry.Salt(in); !ok || got.Name != want {
			t.Errorf("%q finds %q (%v), want %q", in, got.Name, ok, want)
		}
	}
	if got, ok := stoichiometry.Salt("stardust"); ok {
		t.Errorf("stardust is %s", got.Name)
	}
}

// A caller may change what it got without changing the table.
func TestSaltsAreCopies(t *testing.T) {
	first, _ := stoichiometry.Salt("borax")
	first.Cautions[0] = "none"
	if again, _ := stoichiometry.Salt("borax"); again.Cautions[0] == "none" {
		t.Error("the table was changed through a copy")
	}
}

func ExampleFormula_PerGram() {
	f, _ := stoichiometry.Parse("NaHCO3")
	amount, unit, _ := f.PerGram(units.Alkalinity)
	fmt.Printf("%.2f %s\n", amount, unit)
	// Output: 11.90 meq/g
}

func ExampleSalt() {
	s, _ := stoichiometry.Salt("Epsom salt")
	fmt.Println(s.Name, s.Formula)
	// Output: magnesium sulfate heptahydrate MgSO4·7H2O
}

func BenchmarkPerGram(b *testing.B) {
	f, err := stoichiometry.Parse("Na2B4O7·10H2O")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		f.PerGram(units.Alkalinity)
	}
}

// What keepers dose, under the names it is sold and written by, and that each tells
// of eyes or skin, of breathing, of what it must not meet where there is such a thing,
// of its heat where that matters, and how to add it. Heats of dissolution from memory:
// calcium chlorides and hydroxides give heat, hydrated sulfates, bicarbonate, nitrate,
// potassium salts and boric acid take it.
func TestWhatKeepersDoseIsKnownWithItsCautions(t *testing.T) {
	for _, c := range []struct {
		formula, names, says string
	}{
		{"MgCl2·6H2O", "magnesium chloride hexahydrate|magnesium chloride|MgCl2.6H2O|Magnesium Chloride Hexahydrate", "warms|carbonate"},
		{"MgSO4·7H2O", "magnesium sulfate heptahydrate|magnesium sulphate|Epsom salts|mgso4*7h2o", "cools|carbonate"},
		{"CaCl2", "calcium chloride anhydrous|anhydrous calcium chloride", "heats strongly|bicarbonate"},
		{"CaCl2·2H2O", "calcium chloride dihydrate|calcium chloride|CaCl2·2H2O", "heats strongly|bicarbonate"},
		{"Ca(OH)2", "calcium hydroxide|kalkwasser|slaked lime", "warms|caustic|acids|air the room"},
		{"NaHCO3", "sodium bicarbonate|sodium hydrogen carbonate|baking soda|bicarb", "cools|calcium stock"},
		{"Na2CO3", "sodium carbonate|soda ash|Na2CO3", "warm|calcium stock"},
		{"SrCl2·6H2O", "strontium chloride hexahydrate|strontium chloride", "cools|sulfate"},
		{"KCl", "potassium chloride|KCl", "cools"},
		{"KI", "potassium iodide|KI", "cools|peroxide"},
		{"NaNO3", "sodium nitrate|NaNO3", "cools|acids"},
		{"KH2PO4", "potassium phosphate|monopotassium phosphate|potassium dihydrogen phosphate|KH2PO4", "calcium"},
		{"NaCl", "sodium chloride|table salt", "cools"},
		{"H3BO3", "boric acid|H3BO3", "cools|oxidizers"},
		{"Na2B4O7·10H2O", "borax|sodium tetraborate", "cools|oxidizers"},
		{"H2O2", "hydrogen peroxide", "bleach|vented cap|air the room"},
	} {
		for name := range strings.SplitSeq(c.names, "|") {
			s, ok := stoichiometry.Salt(name)
			if !ok || s.Formula.String() != c.formula {
				t.Errorf("%q is %s, want %s", name, s.Formula.String(), c.formula)
				continue
			}
			if s.Cautions[0] != stoichiometry.LabelFirst || s.Cautions[len(s.Cautions)-1] != stoichiometry.Slowly {
				t.Errorf("%s does not begin with the label and end with how it is added: %q", name, s.Cautions)
			}
			text := strings.ToLower(strings.Join(s.Cautions, " "))
			for want := range strings.SplitSeq(c.says, "|") {
				if !strings.Contains(text, want) {
					t.Errorf("%s says nothing of %q: %s", name, want, text)
				}
			}
			if !strings.Contains(text, "eyes") && !strings.Contains(text, "eye irritant") || !strings.Contains(text, "breathe") && !strings.Contains(text, "airways") && !strings.Contains(text, "air the room") {
				t.Errorf("%s says nothing of eyes or of breathing: %s", name, text)
			}
		}
	}
}
