package stoichiometry_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"driftline/stoichiometry"

	"pgregory.net/rapid"
)

func rows(t *testing.T, file string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", file))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return lines[1:]
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func alike(got, want, relative float64) bool { return math.Abs(got-want) <= relative*math.Abs(want) }

func parse(t *testing.T, s string) stoichiometry.Formula {
	t.Helper()
	f, err := stoichiometry.Parse(s)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// IUPAC/CIAAW standard atomic weights 2021, abridged (Prohaska et al. 2022).
func TestAtomicWeights(t *testing.T) {
	for _, r := range rows(t, "atomic_weights.csv") {
		got, ok := stoichiometry.AtomicWeight(r[0])
		if want := number(t, r[1]); !ok || !alike(got, want, 1e-4) {
			t.Errorf("%s weighs %g (%v), want %g", r[0], got, ok, want)
		}
	}
}

// Molar masses, atoms and mass fractions from the same weights.
func TestMolarMasses(t *testing.T) {
	for _, r := range rows(t, "molar_masses.csv") {
		f := parse(t, r[0])
		if want := number(t, r[1]); !alike(f.MolarMass(), want, 1e-4) {
			t.Errorf("%s is %g g/mol, want %g", r[0], f.MolarMass(), want)
		}
		if want := number(t, r[3]); f.Count(r[2]) != want {
			t.Errorf("%s holds %g of %s, want %g", r[0], f.Count(r[2]), r[2], want)
		}
		if want := number(t, r[4]); !alike(f.MassFraction(r[2]), want, 1e-4) {
			t.Errorf("%s is %g %s by mass, want %g", r[0], f.MassFraction(r[2]), r[2], want)
		}
	}
}

// However it is typed, it is the same formula.
func TestParseSpellings(t *testing.T) {
	for want, spellings := range map[string][]string{
		"MgCl2·6H2O":       {"MgCl2*6H2O", "MgCl2.6H2O", "MgCl2 · 6 H2O", "MgCl2 * 6 H2O", "MgCl2 . 6H2O", "MgCl2 6H2O", "MgCl2 x 6 H2O", "MgCl₂·6H₂O", "MgCl2•6H2O", "MgCl2⋅6H2O", " MgCl2·6H2O\n", "Mg Cl2·6H2O"},
		"Ca(OH)2":          {"Ca (OH)2", "Ca(OH)₂"},
		"CaSO4·0.5H2O":     {"CaSO4.0.5H2O", "CaSO4 0.5 H2O", "CaSO4 * 0.5H2O"},
		"K4[Fe(CN)6]·3H2O": {"K4[Fe(CN)6] 3H2O", "K4[Fe(CN)6].3H2O"},
	} {
		for _, in := range spellings {
			t.Run(in, func(t *testing.T) {
				if f := parse(t, in); f.String() != want {
					t.Errorf("got %s, want %s", f, want)
				}
			})
		}
	}
}

func TestParseRefuses(t *testing.T) {
	cases := []struct{ name, in, want string }{
		{"nothing", "  ", "formula is missing, expected one such as MgCl2·6H2O"},
		{"small letters", "nacl", `formula "nacl": "na" at place 1 is not an element`},
		{"no element", "Xy2", `"Xy" at place 1 is not an element`},
		{"open bracket", "Ca(OH", "the bracket at place 3 is not closed"},
		{"wrong bracket", "Ca(OH]2", "the bracket at place 3 is not closed"},
		{"closing bracket", "CaOH)2", `')' at place 5 has no opening bracket`},
		{"empty bracket", "Ca()2", "the bracket at place 3 is empty"},
		{"dot at the end", "NaCl·", "nothing stands at place 6, expected an element"},
		{"two dots", "NaCl··H2O", "nothing stands at place 6, expected an element"},
		{"number only", "12", "nothing stands at place 3, expected an element"},
		{"zero", "Na0Cl", "number 0 at place 3, expected more than 0 and at most 999"},
		{"absurd number", "Na99999", "expected more than 0 and at most 999"},
		{"charge", "SO4^2-", "charges are left out"},
		{"number that may belong to either side", "Na 2 CO3", "a space stands before a number"},
		{"depth", strings.Repeat("(", 9) + "Na" + strings.Repeat(")", 9), "brackets nest deeper than 8"},
		{"length", strings.Repeat("Na", 100), "formula is 200 characters long, expected at most 120"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f, err := stoichiometry.Parse(c.in)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %s and %v, want an error with %q", f, err, c.want)
			}
		})
	}
}

// drawFormula builds a formula and its mass side by side.
func drawFormula(t *rapid.T, depth int) (text string, mass float64) {
	elements := []string{"H", "O", "Na", "Cl", "C", "Ca", "Co", "N", "S", "Si", "I", "K"}
	for range rapid.IntRange(1, 4).Draw(t, "length") {
		part, m := "", 0.0
		if depth > 0 && rapid.IntRange(0, 3).Draw(t, "kind") == 0 {
			inner, im := drawFormula(t, depth-1)
			part, m = "("+inner+")", im
		} else {
			part = rapid.SampledFrom(elements).Draw(t, "element")
			m, _ = stoichiometry.AtomicWeight(part)
		}
		n := rapid.IntRange(1, 12).Draw(t, "count")
		if n > 1 {
			part += strconv.Itoa(n)
		}
		text, mass = text+part, mass+m*float64(n)
	}
	return text, mass
}

func TestParseAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, mass := drawFormula(t, 2)
		if water := rapid.IntRange(0, 12).Draw(t, "water"); water > 0 {
			text += fmt.Sprintf("·%dH2O", water)
			mass += float64(water) * (2*1.008 + 15.999)
		}
		if len(text) > 120 {
			t.Skip("too long to be a formula")
		}
		f, err := stoichiometry.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		if !alike(f.MolarMass(), mass, 1e-12) {
			t.Fatalf("%s is %g, want %g", text, f.MolarMass(), mass)
		}
		again, err := stoichiometry.Parse(f.String())
		if err != nil || again.String() != f.String() || again.MolarMass() != f.MolarMass() {
			t.Fatalf("%s came back as %s (%v)", f, again, err)
		}
	})
}

func FuzzParseFormula(f *testing.F) {
	for _, s := range []string{"MgCl2·6H2O", "Ca(OH)2", "K4[Fe(CN)6]·3H2O", "CaSO4.0.5H2O", "½H2O", "Na 2", "((((", "·.·", "\xff", "H2O x 2 H2O", "1.2.3Na"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, err := stoichiometry.Parse(s)
		if err != nil {
			if err.Error() == "" || strings.ContainsRune(err.Error(), '\n') {
				t.Fatalf("%q: error %q", s, err)
			}
			return
		}
		if m := got.MolarMass(); !(m > 0) || math.IsInf(m, 0) {
			t.Fatalf("%q weighs %g", s, m)
		}
		again, err := stoichiometry.Parse(got.String())
		if err != nil || !alike(again.MolarMass(), got.MolarMass(), 1e-12) {
			t.Fatalf("%q is %s, which came back as %s (%v)", s, got, again, err)
		}
		for _, q := range got.Gives() {
			if amount, unit, _ := got.PerGram(q); math.IsNaN(amount) || math.IsInf(amount, 0) || unit == "" {
				t.Fatalf("%q gives %g %q of %s", s, amount, unit, q)
			}
		}
	})
}

func ExampleParse() {
	f, err := stoichiometry.Parse("MgCl2 * 6 H2O")
	fmt.Printf("%s weighs %.3f g/mol (%v)\n", f, f.MolarMass(), err)
	// Output: MgCl2·6H2O weighs 203.295 g/mol (<nil>)
}
