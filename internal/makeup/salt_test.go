package makeup_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"driftline/internal/makeup"
	"driftline/units"
)

// A bin whose salt is still to be weighed. By hand, 100 L at 35 and 25 °C, salt giving
// 1,180 mg/L of magnesium: with x the share of the salt and m g of MgCl2·6H2O,
//
//	1180 x + 1.195551 m = 1400 (24.305/203.295 of m in 100 L, mg/L)
//	35 x + s m = 35, s = 0.468310/(102.33 kg · 35.16504/35) g/kg = 0.00455499 a gram
//	               (without hydrate water 95.205/203.295; sea water of 35 at 25 °C 1.0233 kg/L)
//
// so x = 1 - 0.000130143 m and 1180 - 0.153569 m + 1.195551 m = 1400: m = 211.14 g,
// x = 0.97252, salt 3700·0.97252 = 3598.3 g. Water that is mixed takes 220/1.195551 =
// 184.02 g.
func TestLessSaltMakesRoomForSupplements(t *testing.T) {
	ask := makeup.Ask{Litres: 100, Salinity: 35, Have: figures(t, "magnesium=1180"), Want: figures(t, "magnesium=1400"), With: []string{"magnesium chloride hexahydrate"}, Bin: makeup.Empty}
	b, err := makeup.Mix(ask, find)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "magnesium chloride", amount(b, "magnesium chloride hexahydrate"), 211.14, 1)
	within(t, "salt", b.SaltGrams, 3598.3, 3)
	within(t, "salt left out", b.SaltLeftOut, 3700-b.SaltGrams, 0.01)
	within(t, "salinity", result(b, units.Salinity), 35, 0.003)
	within(t, "magnesium", result(b, units.Magnesium), 1400, 1)
	within(t, "potassium", result(b, units.Potassium), 408.42*0.97252, 0.3)
	if !strings.Contains(b.SalinitySays, "less salt") {
		t.Errorf("%q", b.SalinitySays)
	}
	ask.Bin = makeup.Mixed
	if b, err = makeup.Mix(ask, find); err != nil {
		t.Fatal(err)
	}
	within(t, "magnesium chloride in mixed water", amount(b, "magnesium chloride hexahydrate"), 184.02, 0.5)
	within(t, "salinity of mixed water", b.SalinityAfter, 35+184*0.00455499, 0.003)
	// 35/35.838: 2.34 L of 100 give way to purified water.
	within(t, "exchange", b.ExchangeLitres, 100*(1-35/35.838), 0.02)
}

// Whatever is asked for, water whose salt is still to be weighed ends at the salinity
// and the aims asked for, and mixed water takes what lacks and no more.
func TestRecipesComeOutAsAsked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		litres, sp := rapid.Float64Range(5, 2000).Draw(t, "litres"), rapid.Float64Range(20, 40).Draw(t, "salinity")
		draw := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		have := []makeup.Figure{{Quantity: units.Magnesium, Value: draw("mg", 1000, 1300), Unit: "mg/L"}, {Quantity: units.Calcium, Value: draw("ca", 340, 420), Unit: "mg/L"}, {Quantity: units.Alkalinity, Value: draw("alk", 5, 8), Unit: "dKH"}}
		want := []makeup.Figure{{Quantity: units.Magnesium, Value: draw("mg+", 1301, 1500), Unit: "mg/L"}, {Quantity: units.Calcium, Value: draw("ca+", 421, 480), Unit: "mg/L"}, {Quantity: units.Alkalinity, Value: draw("alk+", 8.1, 11), Unit: "dKH"}}
		bin := rapid.SampledFrom([]makeup.Bin{makeup.Mixed, makeup.Empty}).Draw(t, "bin")
		b, err := makeup.Mix(makeup.Ask{Litres: litres, Salinity: sp, Have: have, Want: want, Bin: bin}, find)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range want {
			if got := result(b, f.Quantity); math.Abs(got-f.Value) > 0.01*f.Value {
				t.Errorf("%s comes out at %v, want %v", f.Quantity, got, f.Value)
			}
		}
		if bin == makeup.Empty && math.Abs(b.SalinityAfter-sp) > 0.02 {
			t.Errorf("salinity %v, want %v", b.SalinityAfter, sp)
		}
		if bin == makeup.Mixed {
			for i, a := range b.Additions {
				if lacks := want[i].Value - have[i].Value; math.Abs(a.Raises.By-lacks) > 0.006*lacks+0.02 {
					t.Errorf("%s raises by %v, %v lack", a.Substance, a.Raises.By, lacks)
				}
			}
		}
	})
}

func TestASubstanceNamedByMistakeIsRefused(t *testing.T) {
	for says, with := range map[string]string{"raises nothing of what is wanted": "sodium chloride", "nothing is known of": "wonder drops"} {
		_, err := makeup.Mix(makeup.Ask{Litres: 100, Salinity: 35, Want: figures(t, "magnesium=1400"), With: []string{with}}, find)
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, want %q", with, err, says)
		}
	}
}

// 1,400 mg/L of magnesium bring about 5 of salinity: no room for them in water of 5.
func TestSupplementsThatLeaveNoRoomForSaltAreRefused(t *testing.T) {
	_, err := makeup.Mix(makeup.Ask{Litres: 100, Salinity: 5, Want: figures(t, "magnesium=1400")}, find)
	if err == nil || !strings.Contains(err.Error(), "more than half of the salinity") {
		t.Errorf("%v", err)
	}
}
