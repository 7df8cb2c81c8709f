package standing

import (
	"testing"

	"driftline/units"
)

// Molar masses by hand from the IUPAC standard atomic weights 2021, abridged
// (Prohaska et al. 2022): H 1.008, C 12.011, O 15.999, Na 22.990, Mg 24.305,
// Cl 35.45, Ca 40.078.
//
//	MgCl2·6H2O 24.305+2·35.45+6·18.015 = 203.295: 119.555 mg Mg a gram
//	NaHCO3     22.990+1.008+12.011+3·15.999 = 84.006: 11.9039 meq a gram
//	Ca(OH)2    40.078+2·15.999+2·1.008 = 74.092: 540.92 mg Ca and 26.9935 meq a gram
//
// 1 meq/L is 2.8043 dKH (1 dKH is 17.848 mg/L CaCO3, 50.04 mg a meq).
func TestDoseArithmetic(t *testing.T) {
	declared := []string{
		at(-1, `"kind":"substance","name":"wet magnesium","formula":"MgCl2·6H2O","purity":0.95`),
		at(-1, `"kind":"substance","name":"percent magnesium","formula":"MgCl2·6H2O","purity":95`),
		at(-1, `"kind":"substance","name":"stock","form":"solution","contains":[{"quantity":"calcium","value":50,"unit":"mg/mL"},{"quantity":"alkalinity","value":1.2,"unit":"meq/mL"}]`),
		at(-1, `"kind":"substance","name":"degrees","form":"solution","contains":[{"quantity":"alkalinity","value":2800,"unit":"dKH"}]`),
		at(-1, `"kind":"substance","name":"salt of nitrogen","contains":[{"quantity":"nitrate","value":100,"unit":"mg/g N"}]`),
		at(-1, `"kind":"substance","name":"tenth","contains":[{"quantity":"calcium","value":10,"unit":"%"}]`),
		at(-1, `"kind":"substance","name":"secret blend"`),
	}
	s := surveyOf(t, onDay(1), declared...)
	cases := []struct {
		name      string
		q         units.Quantity
		substance string
		grams, mL float64
		want      float64
		known     bool
		tolerance float64
	}{
		{"40 g of a built-in salt", units.Magnesium, "magnesium chloride", 40, 0, 40 * 119.555 / 400, true, 0.01},
		{"a formula typed as the name", units.Magnesium, "MgCl2·6H2O", 40, 0, 11.9555, true, 0.01},
		{"purity as a fraction", units.Magnesium, "wet magnesium", 40, 0, 11.9555 * 0.95, true, 0.01},
		{"purity in percent", units.Magnesium, "Percent Magnesium", 40, 0, 11.9555 * 0.95, true, 0.01},
		{"bicarbonate to dKH", units.Alkalinity, "sodium bicarbonate", 10, 0, 10 * 11.9039 / 400 * 2.8043, true, 0.002},
		{"lime gives calcium", units.Calcium, "Ca(OH)2", 1, 0, 540.92 / 400, true, 0.002},
		{"and alkalinity", units.Alkalinity, "calcium hydroxide", 1, 0, 26.9935 / 400 * 2.8043, true, 0.001},
		{"mg/mL", units.Calcium, "stock", 0, 80, 80 * 50 / 400., true, 1e-9},
		{"meq/mL", units.Alkalinity, "stock", 0, 80, 80 * 1.2 / 400 * 2.8043, true, 0.002},
		{"a concentration of the stock", units.Alkalinity, "degrees", 0, 100, 0.1 * 2800 / 400, true, 1e-9},
		{"as N: times 62.004/14.007", units.Nitrate, "salt of nitrogen", 1, 0, 100 * 62.004 / 14.007 / 400, true, 0.002},
		{"percent by mass", units.Calcium, "tenth", 1, 0, 100.0 / 400, true, 1e-9},
		{"a salt without the quantity", units.Calcium, "magnesium chloride", 40, 0, 0, true, 0},
		{"undeclared content", units.Calcium, "secret blend", 40, 0, 0, false, 0},
		{"unheard of", units.Calcium, "tonic", 0, 5, 0, false, 0},
		{"a solution weighed", units.Calcium, "stock", 80, 0, 0, false, 0},
		{"doses do not move salinity", units.Salinity, "stock", 0, 80, 0, true, 0},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, known := s.raises(c.q, c.substance, c.grams, c.mL, onDay(0))
			if known != c.known {
				t.Errorf("known = %v, want %v", known, c.known)
			}
			near(t, "rise", got, c.want, c.tolerance)
		})
	}
}

func TestTopOffWithSubstanceIsADose(t *testing.T) {
	// 1.5 g of lime in each of 4 litres: 6 g, 540.92 mg Ca a gram, 400 L.
	s := surveyOf(t, onDay(3), reading(0, "calcium", "420", "mg/L", ""),
		at(1, `"kind":"top-off","tank":"quay","volume":4,"unit":"L","substance":"calcium hydroxide","concentration":1.5`),
		at(2, `"kind":"top-off","tank":"quay","volume":4,"unit":"L"`))
	m := s.newMatter(units.Calcium)
	if len(m.kase.Inputs) != 1 {
		t.Fatalf("%d inputs, want 1: plain top-off moves nothing", len(m.kase.Inputs))
	}
	near(t, "rise", m.kase.Inputs[0].Delta, 6*540.92/400, 0.005)
	if got := m.sources[m.kase.Inputs[0].Source]; got.name != "top-off" {
		t.Errorf("source %+v", got)
	}
}

func TestUnknownSubstanceIsADeedThatSaysSo(t *testing.T) {
	s := surveyOf(t, onDay(3), reading(0, "calcium", "420", "mg/L", ""),
		at(1, `"kind":"dose","tank":"quay","substance":"tonic","amount":5,"unit":"mL"`))
	m := s.newMatter(units.Calcium)
	if len(m.kase.Inputs) != 0 || len(m.deeds) != 1 {
		t.Fatalf("%d inputs and %d deeds, want 0 and 1", len(m.kase.Inputs), len(m.deeds))
	}
	contains(t, m.quantity(30).Deeds[0].Label, "not declared")
}

func TestVolumeHoldsFromItsDeclaration(t *testing.T) {
	s := surveyOf(t, onDay(20), at(10, `"kind":"tank","name":"quay","system":"mixed","net_volume":100,"unit":"US gal"`))
	near(t, "before", s.litresAt(onDay(5)), 400, 1e-9)
	near(t, "after", s.litresAt(onDay(15)), 378.541, 0.001) // NIST SP 811 (2008) Appendix B: 3.785412 L a US gallon
	near(t, "long before", s.litresAt(onDay(-500)), 400, 1e-9)
}

func TestLinesAfterAsOfAreIgnored(t *testing.T) {
	s := surveyOf(t, onDay(5), reading(0, "calcium", "420", "mg/L", ""), reading(9, "calcium", "300", "mg/L", ""))
	s2 := newSurvey(s.facts, s.tank, newShelf(s.facts), onDay(20))
	if len(s.readings[units.Calcium]) != 1 || len(s2.readings[units.Calcium]) != 1 {
		t.Errorf("a line later than the facts came through")
	}
}
