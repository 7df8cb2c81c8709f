package seawater_test

import (
	"math"
	"strings"
	"testing"

	"driftline/seawater"
)

// Everything outside a range is an error with the value in it, never NaN.
func TestOutOfRange(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	cases := map[string]func(v float64) (float64, error){
		"density by salinity":      func(v float64) (float64, error) { return seawater.Density(v, 25) },
		"EOS-80 by salinity":       func(v float64) (float64, error) { return seawater.DensityEOS80(v, 25) },
		"density by temperature":   func(v float64) (float64, error) { return seawater.DensityEOS80(35, v) },
		"gravity by salinity":      func(v float64) (float64, error) { return seawater.SpecificGravity(v, seawater.Pair25) },
		"salinity by gravity":      func(v float64) (float64, error) { return seawater.SalinityFromSpecificGravity(v, seawater.Pair25) },
		"salinity by conductivity": func(v float64) (float64, error) { return seawater.SalinityFromConductivity(v, 25, 0) },
		"salinity by pressure":     func(v float64) (float64, error) { return seawater.SalinityFromConductivity(50, 25, v) },
		"conductivity by salinity": func(v float64) (float64, error) { return seawater.ConductivityFromSalinity(v, 25, 0) },
		"oxygen by salinity":       func(v float64) (float64, error) { return seawater.OxygenSolubility(v, 25) },
		"oxygen by temperature":    func(v float64) (float64, error) { return seawater.OxygenSolubilityMgPerL(35, v) },
		"saturation":               func(v float64) (float64, error) { return seawater.OxygenSaturationPercent(v, 35, 25) },
		"ratio":                    func(v float64) (float64, error) { return seawater.SalinityFromConductivityRatio(v, 25, 0) },
		"ion by salinity":          func(v float64) (float64, error) { return seawater.IonMgPerL(seawater.Calcium, v, 25) },
		"ion by temperature":       func(v float64) (float64, error) { return seawater.IonMgPerL(seawater.Calcium, 35, v) },
		"ion ratio":                func(v float64) (float64, error) { return seawater.IonRatio(seawater.Calcium, v, 35, 25) },
		"litre by salinity":        func(v float64) (float64, error) { return seawater.PerLitre(1, v, 25) },
		"kilogram by temperature":  func(v float64) (float64, error) { return seawater.PerKilogram(1, 35, v) },
		"ammonia by salinity":      func(v float64) (float64, error) { return seawater.AmmoniaFractionTotal(v, 25, 8) },
		"ammonia by temperature":   func(v float64) (float64, error) { return seawater.AmmoniaFractionFree(35, v, 8) },
		"ammonia by pH":            func(v float64) (float64, error) { return seawater.AmmoniaFractionTotal(35, 25, v) },
		"refractometer":            seawater.SalinityFromSodiumChlorideScale,
		"hydrometer":               func(v float64) (float64, error) { return seawater.SalinityFromHydrometer(v, seawater.Pair25, 20) },
		"hydrometer by sample":     func(v float64) (float64, error) { return seawater.SalinityFromHydrometer(1.026, seawater.Pair25, v) },
		"hydrometer shows":         func(v float64) (float64, error) { return seawater.HydrometerReading(v, seawater.Pair25, 20) },
		"hydrometer by its pair": func(v float64) (float64, error) {
			return seawater.HydrometerReading(35, seawater.Pair{SampleC: v, WaterC: v}, 20)
		},
		"oxygen by air":   func(v float64) (float64, error) { return seawater.OxygenSolubilityAt(35, 25, v) },
		"mass of ammonia": func(v float64) (float64, error) { return seawater.MassOfAmmonia(v, seawater.AsNH3, seawater.AsNH4) },
		"asked salinity":  func(v float64) (float64, error) { x, _, err := seawater.ExtrapolateSalinity(v, 25, 0); return x, err },
		"asked oxygen": func(v float64) (float64, error) {
			x, _, err := seawater.ExtrapolateOxygenSolubility(v, 25)
			return x, err
		},
		"asked older density": func(v float64) (float64, error) { x, _, err := seawater.ExtrapolateDensityEOS80(35, v); return x, err },
	}
	for name, f := range cases {
		t.Run(name, func(t *testing.T) {
			for _, v := range []float64{nan, inf, -inf, -5, 1e9} {
				got, err := f(v)
				if err == nil {
					t.Fatalf("%g gave %g, want an error", v, got)
				}
				if math.IsNaN(got) || !strings.Contains(err.Error(), "expected") {
					t.Errorf("%g gave %g and %q", v, got, err)
				}
			}
		})
	}
}

func BenchmarkSalinityFromSpecificGravity(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := seawater.SalinityFromSpecificGravity(1.0264, seawater.Pair25); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkConductivityFromSalinity(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := seawater.ConductivityFromSalinity(35, 25, 0); err != nil {
			b.Fatal(err)
		}
	}
}
