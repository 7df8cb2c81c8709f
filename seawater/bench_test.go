package seawater_test

import (
	"fmt"
	"testing"

	"driftline/seawater"
)

// Inputs change at every step, so that nothing can be taken out of the loop.
func BenchmarkDensity(b *testing.B) {
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if _, err := seawater.Density(33+float64(i&63)*0.05, 24+float64(i&15)*0.2); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDensityEOS80(b *testing.B) {
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if _, err := seawater.DensityEOS80(33+float64(i&63)*0.05, 24+float64(i&15)*0.2); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSalinityFromConductivity(b *testing.B) {
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if _, err := seawater.SalinityFromConductivity(50+float64(i&63)*0.05, 24+float64(i&15)*0.2, 0); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOxygenSolubility(b *testing.B) {
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if _, err := seawater.OxygenSolubility(33+float64(i&63)*0.05, 24+float64(i&15)*0.2); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAmmoniaFraction(b *testing.B) {
	w := mustWater(b, 35, 25, seawater.Basis{})
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if _, err := w.AmmoniaFraction(7.8+float64(i&63)*0.01, seawater.NBSScale); err != nil {
			b.Fatal(err)
		}
	}
}

// Every pair with nutrients in the water; without them it is faster.
func BenchmarkPairsWithNutrients(b *testing.B) {
	w := mustWater(b, 35, 25, seawater.Basis{})
	w, err := w.With(seawater.Content{Phosphate: 2, Silicate: 20, Ammonia: 5})
	if err != nil {
		b.Fatal(err)
	}
	names := [...]string{"TA", "DIC", "pH", "pCO2"}
	var rows [64][4]seawater.Measure
	for i := range rows {
		c, err := w.Solve(seawater.TA(2300), seawater.PH(7.7+float64(i)*0.0125))
		if err != nil {
			b.Fatal(err)
		}
		rows[i] = [4]seawater.Measure{seawater.TA(c.TA), seawater.DIC(c.DIC), seawater.PH(c.PHTotal), seawater.PCO2(c.PCO2)}
	}
	for first := range names {
		for other := first + 1; other < len(names); other++ {
			b.Run(fmt.Sprintf("%s+%s", names[first], names[other]), func(b *testing.B) {
				b.ReportAllocs()
				for i := 0; b.Loop(); i++ {
					m := &rows[i&63]
					if _, err := w.Solve(m[first], m[other]); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

func BenchmarkSolveWithDoubts(b *testing.B) {
	w := mustWater(b, 35, 25, seawater.Basis{})
	d := seawater.Doubts{A: 20, B: 0.02, SP: 0.3, TempC: 0.2}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if _, _, err := w.SolveWithDoubts(seawater.TA(2300), seawater.PH(7.7+float64(i&63)*0.0125), d); err != nil {
			b.Fatal(err)
		}
	}
}
