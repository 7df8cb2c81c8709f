package substance_test

import (
	"math"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/substance"
	"driftline/units"
)

func find(t *testing.T, name string) substance.Substance {
	t.Helper()
	s, err := substance.Find(nil, name, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if math.Abs(got-want) > relative*math.Abs(want) {
		t.Errorf("%s is %v, want %v", what, got, want)
	}
}

// Worked by hand with IUPAC standard atomic weights 2021 (Prohaska et al. 2022):
//
//	MgCl2·6H2O 203.295 g/mol, Mg 24.305: 100 mg/L in 100 L are 10 g Mg, 10·203.295/24.305 = 83.64 g
//	MgSO4·7H2O 246.466: 10·246.466/24.305 = 101.41 g
//	CaCl2·2H2O 147.008, Ca 40.078: 10 mg/L in 100 L are 1 g Ca, 3.668 g
//	CaCl2 110.978: 2.769 g
//	NaHCO3 84.006: 1 dKH is 0.356652 meq/L; 100 L take 35.6652 meq, 2.9961 g
//	Na2CO3 105.988: 35.6652/2·105.988/1000 = 1.8901 g
//	SrCl2·6H2O 266.61, Sr 87.62: 1 mg/L in 100 L, 0.1·266.61/87.62 = 0.3043 g
//	KCl 74.548, K 39.098: 10 mg/L in 100 L, 1·74.548/39.098 = 1.9067 g
func TestAmountsWorkedByHand(t *testing.T) {
	for _, test := range []struct {
		name  string
		q     units.Quantity
		raise float64
		want  float64
	}{
		{"magnesium chloride hexahydrate", units.Magnesium, 100, 83.643},
		{"magnesium sulfate heptahydrate", units.Magnesium, 100, 101.406},
		{"calcium chloride dihydrate", units.Calcium, 10, 3.6680},
		{"calcium chloride anhydrous", units.Calcium, 10, 2.7690},
		{"sodium bicarbonate", units.Alkalinity, 1, 2.9961},
		{"sodium carbonate", units.Alkalinity, 1, 1.8901},
		{"strontium chloride hexahydrate", units.Strontium, 1, 0.30428},
		{"potassium chloride", units.Potassium, 10, 1.9067},
	} {
		s := find(t, test.name)
		got, err := s.Amount(test.q, test.raise, 100)
		if err != nil {
			t.Errorf("%s: %v", test.name, err)
		}
		near(t, test.name, got, test.want, 3e-4)
		near(t, test.name+" back", s.Raise(test.q, got, 100), test.raise, 1e-12)
	}
}

// The molar ratio of chloride to sulfate in seawater is 0.54587/0.02824 = 19.33
// (Millero et al. 2008, table 4); what the blend leaves behind must have it.
func TestBlendKeepsChlorideToSulfate(t *testing.T) {
	s := find(t, "magnesium salts")
	var cl, so4 float64
	for _, ion := range s.Along(100, substance.Water{Litres: 100, SP: 35, TempC: 25}) {
		switch ion.Name {
		case "chloride":
			cl = ion.MgPerL / 35.45
		case "sulfate":
			so4 = ion.MgPerL / 96.056
		}
	}
	near(t, "chloride to sulfate", cl/so4, 19.33, 1e-3)
}

// Limewater of 1.5 g/L holds 1.5/74.092·2 = 40.49 meq/L: 1 L in 100 L gives
// 0.4049 meq/L, 1.135 dKH, and 8.11 mg/L calcium.
func TestLimewater(t *testing.T) {
	s := find(t, "limewater")
	near(t, "alkalinity of 1 L in 100 L", s.Raise(units.Alkalinity, 1000, 100), 1.135, 2e-3)
	near(t, "calcium of 1 L in 100 L", s.Raise(units.Calcium, 1000, 100), 8.114, 2e-3)
}

// 200 g of magnesium chloride hexahydrate of 98 % made up to a litre hold
// 200·0.98·24.305/203.295 = 23.433 mg/mL of magnesium.
func TestHomeMadeSolution(t *testing.T) {
	s, err := substance.Of(&book.Substance{Name: "bottle", Formula: "MgCl2·6H2O", Purity: "0.98", GramsPerLitre: "200"}, "bottle")
	if err != nil || s.Unit() != "mL" {
		t.Fatal(s.Unit(), err)
	}
	near(t, "magnesium of a mL in a litre", s.PerUnit(units.Magnesium), 23.433, 1e-4)
}

// A dose in balance with itself: sodium bicarbonate holds as much carbon as
// alkalinity and draws the pH a little towards its own, about 7.5, at once (-0.02 to
// 0 for 1 dKH from memory; -0.04 here);
// carbonate lifts it (0.1 to 0.2, from memory), hydroxide more than carbonate.
func TestPHJump(t *testing.T) {
	w := substance.Water{Litres: 100, SP: 35, TempC: 25, TA: 8, PH: 8.2}
	jump := map[string]float64{}
	for _, name := range []string{"sodium bicarbonate", "sodium carbonate", "calcium hydroxide"} {
		s := find(t, name)
		amount, err := s.Amount(units.Alkalinity, 1, 100)
		if err != nil {
			t.Fatal(err)
		}
		if jump[name], err = s.PHJump(amount, w); err != nil {
			t.Fatal(err)
		}
	}
	if j := jump["sodium bicarbonate"]; j < -0.06 || j > 0.01 {
		t.Errorf("bicarbonate moves the pH by %v", j)
	}
	if j := jump["sodium carbonate"]; j < 0.1 || j > 0.2 {
		t.Errorf("carbonate moves the pH by %v", j)
	}
	if jump["calcium hydroxide"] <= jump["sodium carbonate"] {
		t.Errorf("hydroxide moves the pH by %v, carbonate by %v", jump["calcium hydroxide"], jump["sodium carbonate"])
	}
}

// 100 g of sodium chloride in 100 L: 1 g/L over 1.0233 kg/L is 0.9772 g/kg, and
// that over 35.16504/35 is 0.9726 of practical salinity.
func TestSalinityRise(t *testing.T) {
	s := find(t, "sodium chloride")
	near(t, "rise", s.SalinityRise(100, substance.Water{Litres: 100, SP: 35, TempC: 25}), 0.9726, 5e-4)
	mg := find(t, "magnesium chloride hexahydrate") // without its water: 95.205/203.295 of the mass
	near(t, "rise without hydrate water", mg.SalinityRise(100, substance.Water{Litres: 100, SP: 35, TempC: 25}), 0.9726*95.205/203.295, 1e-3)
}

func TestRound(t *testing.T) {
	for in, want := range map[float64]float64{0: 0, 0.0203: 0.02, 3.668: 3.67, 12.34: 12.3, 83.643: 83.6, 418.2: 418, 1004: 1005, 9977: 9975, 1e-9: 0.001} {
		if got := substance.Round(in); got != want {
			t.Errorf("%v is weighed as %v, want %v", in, got, want)
		}
	}
}

func TestKeepersRate(t *testing.T) {
	f := &book.Facts{Preferences: map[string]string{"most a day of magnesium": "30 mg/L", "most a day of calcium": "900", "most a day of potassium": "much"}}
	for q, want := range map[units.Quantity]float64{units.Magnesium: 30, units.Calcium: 50, units.Potassium: 10} {
		if r, ok := substance.MostADay(f, q); !ok || r.Careful != want {
			t.Errorf("%s: %+v", q, r)
		}
	}
	if _, ok := substance.MostADay(nil, units.Temperature); ok {
		t.Error("temperature is not raised by a substance")
	}
}

func TestUnknownSubstances(t *testing.T) {
	for _, name := range []string{"", "wonder drops", "Xx3"} {
		if s, err := substance.Find(nil, name, time.Time{}); err == nil {
			t.Errorf("%q was taken for %+v", name, s)
		}
	}
	s := find(t, "sodium chloride")
	if _, err := s.Amount(units.Calcium, 1, 100); err == nil {
		t.Error("sodium chloride raises calcium")
	}
}
