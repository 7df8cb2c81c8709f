package correction_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"driftline/internal/correction"
	"driftline/internal/standing"
	"driftline/units"
)

// dosed is what a gram or a millilitre gives to a litre, in the default unit, by
// IUPAC weights of 2021, and the trade's ceiling of a day (common practice and
// judgement, no source).
var dosed = []struct {
	q, unit, substance string
	per, ceiling       float64
	low, high          float64 // levels drawn
}{
	{"magnesium", "mg/L", "magnesium chloride hexahydrate", 119.555, 100, 1050, 1480}, // 24.305/203.295
	{"magnesium", "mg/L", "Epsom salt", 98.614, 100, 1050, 1480},                      // 24.305/246.466
	{"calcium", "mg/L", "calcium chloride dihydrate", 272.62, 50, 320, 480},           // 40.078/147.008
	{"calcium", "mg/L", "CaCl2", 361.13, 50, 320, 480},                                // 40.078/110.978
	{"alkalinity", "dKH", "sodium bicarbonate", 33.377, 1, 5, 11},                     // 1000/84.006 meq, over 0.356652
	{"alkalinity", "dKH", "soda ash", 52.910, 1, 5, 11},                               // 2000/105.988
	{"alkalinity", "dKH", "limewater", 0.113529, 1, 5, 11},                            // 1.5 g/L: 1.5/74.092·2 meq/mL
	{"alkalinity", "dKH", "kept bottle", 2.8039, 1, 5, 11},                            // label: 1 meq/mL
	{"magnesium", "mg/L", "made up", 23.433, 100, 1050, 1480},                         // 200 g/L of 98 %: mL
	{"potassium", "mg/L", "potassium chloride", 524.46, 20, 300, 430},                 // 39.098/74.548
	{"strontium", "mg/L", "strontium chloride", 328.65, 1, 4, 12},                     // 87.62/266.61
	{"iodine", "mg/L", "potassium iodide", 764.48, 0.01, 0.01, 0.08},                  // 126.904/165.998 (126.90/166.00)
	{"nitrate", "mg/L NO3", "sodium nitrate", 729.51, 2, 0.5, 30},                     // 62.004/84.994
	{"phosphate", "mg/L PO4", "potassium phosphate", 697.88, 0.03, 0.005, 0.2},        // 94.970/136.084
	{"boron", "mg/L", "boric acid", 174.84, 0.6, 3, 7},                                // 10.81/61.831
}

var own = []string{
	`{"kind":"substance","at":"2025-10-01T08:00:00Z","name":"kept bottle","form":"solution","contains":[{"quantity":"alkalinity","value":1,"unit":"meq/mL"}]}`,
	`{"kind":"substance","at":"2025-10-01T08:00:00Z","name":"made up","formula":"MgCl2·6H2O","purity":0.98,"form":"solution","grams_per_litre":200}`,
}

// Whatever the tank, the aim, the substance and the pace asked for, no 24 hours of a
// plan add more than the ceiling of a day; what would is refused with the reason and
// has no steps; and what is dosed is what is promised.
func TestNoPlanIsEverAboveTheCeiling(t *testing.T) {
	outer := t
	planned, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		d := dosed[rapid.IntRange(0, len(dosed)-1).Draw(t, "what")]
		litres := rapid.Float64Range(20, 4000).Draw(t, "litres")
		level := rapid.Float64Range(d.low, d.high).Draw(t, "level")
		slope := rapid.Float64Range(-0.2, 0.9).Draw(t, "slope") * d.ceiling
		aim := level + rapid.Float64Range(-1, 20).Draw(t, "aim")*d.ceiling
		most := rapid.SampledFrom([]float64{0, 0.1, 0.5, 1, 3, 100}).Draw(t, "most") * d.ceiling
		texts := append([]string{fmt.Sprintf(`{"kind":"tank","at":"2025-10-01T08:00:00Z","name":"quay","system":"mixed","net_volume":%.1f,"unit":"L"}`, litres)}, own...)
		for day := 20; day >= 0; day -= 2 {
			at := asOf.AddDate(0, 0, -day).Add(-time.Hour)
			texts = append(texts, fmt.Sprintf(`{"kind":"reading","at":%q,"tank":"quay","quantity":%q,"value":%.4f,"unit":%q}`, at.Format(time.RFC3339), d.q, max(level+slope*float64(day), 0), d.unit))
		}
		f := replay(outer, texts...)
		f.AsOf = asOf
		q, _ := units.ParseQuantity(d.q)
		p, err := correction.Work(standing.NewDesk(), f, correction.Ask{Tank: "quay", Quantity: q, To: &aim, Unit: d.unit, Substance: d.substance, MostADay: most}, asOf)
		if err != nil {
			if aim >= 0 && units.Check(q, aim, d.unit) == nil {
				t.Fatalf("%s: %v", d.substance, err)
			}
			return
		}
		if p.Refused != "" {
			refused++
			if len(p.Steps) > 0 || p.Instead == "" {
				t.Fatalf("refused (%s), yet %d steps, instead %q", p.Refused, len(p.Steps), p.Instead)
			}
			return
		}
		planned += min(1, len(p.Steps))
		sum := 0.0
		for i, s := range p.Steps {
			day := 0.0
			for _, later := range p.Steps[i:] {
				if later.At.Sub(s.At) < 24*time.Hour {
					day += later.Amount * d.per / litres
				}
			}
			if day > d.ceiling*1.01 {
				t.Fatalf("%s: 24 hours from %s add %v of at most %v", d.substance, s.At, day, d.ceiling)
			}
			sum += s.Amount
			if math.IsNaN(s.Expected.Mean) || !(s.Amount > 0) {
				t.Fatalf("step %+v", s)
			}
		}
		if math.Abs(sum-p.Total.Amount) > 1e-6+1e-9*sum {
			t.Fatalf("%v in steps, %v said", sum, p.Total.Amount)
		}
	})
	if planned < 20 || refused < 5 {
		t.Errorf("%d planned and %d refused: too few to judge", planned, refused)
	}
}
