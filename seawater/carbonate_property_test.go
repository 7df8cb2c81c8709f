package seawater_test

import (
	"math"
	"testing"

	"driftline/seawater"
)

// Whatever pair of the four a water is described by, the others follow the same.
func TestAllPairsAgree(t *testing.T) {
	for _, sp := range []float64{0, 5, 20, 35, 45} {
		for _, tempC := range []float64{5, 15, 25, 32, 40} {
			w := mustWater(t, sp, tempC, seawater.Basis{Carbon: seawater.Waters2014, Extrapolate: true})
			w, err := w.With(seawater.Content{Phosphate: 3, Silicate: 40, Ammonia: 20})
			if err != nil {
				t.Fatal(err)
			}
			for _, pH := range []float64{6, 7, 7.6, 8.1, 8.6, 9.5} {
				for _, ta := range []float64{900, 2300, 6000} {
					if c, err := w.Solve(seawater.TA(ta), seawater.PH(pH)); err == nil {
						checkPairs(t, &w, c)
					}
				}
			}
		}
	}
}

func checkPairs(t *testing.T, w *seawater.Water, c seawater.Carbonate) {
	t.Helper()
	all := []seawater.Measure{seawater.TA(c.TA), seawater.DIC(c.DIC), seawater.PH(c.PHTotal), seawater.PCO2(c.PCO2)}
	for i, a := range all {
		for _, b := range all[i+1:] {
			got, err := w.Solve(b, a)
			if err != nil {
				t.Fatalf("%v and %v of %+v: %v", a, b, c, err)
			}
			if math.Abs(got.PHTotal-c.PHTotal) > 1e-6 || math.Abs(got.TA/c.TA-1) > 1e-5 || math.Abs(got.PCO2/c.PCO2-1) > 1e-5 {
				t.Errorf("%v and %v give %+v, want %+v", a, b, got, c)
			}
		}
	}
}

// Over all inputs, absurd ones too, there is an answer of numbers or an error.
func TestNeverNotANumber(t *testing.T) {
	values := map[seawater.Known][]float64{
		seawater.KnownTA:   {-1e5, -500, 0, 1, 500, 2300, 1e4, 1e5, math.NaN(), math.Inf(1)},
		seawater.KnownDIC:  {-1, 0, 1e-6, 1, 2000, 1e5, math.NaN()},
		seawater.KnownPH:   {-1, 0, 3, 8, 12, 14, 15, math.NaN()},
		seawater.KnownPCO2: {-1, 0, 1e-6, 400, 1e6, math.Inf(1)},
	}
	for _, sp := range []float64{0, 35, 60} {
		w := mustWater(t, sp, 25, seawater.Basis{Extrapolate: true})
		for a, as := range values {
			for b, bs := range values {
				for _, x := range as {
					for _, y := range bs {
						c, err := w.Solve(seawater.Measure{What: a, Value: x}, seawater.Measure{What: b, Value: y})
						if err == nil {
							checkNumbers(t, c, a, b, x, y)
						}
					}
				}
			}
		}
	}
}

func checkNumbers(t *testing.T, c seawater.Carbonate, what ...any) {
	t.Helper()
	for _, v := range []float64{c.TA, c.DIC, c.PHTotal, c.PHNBS, c.PCO2, c.CO2, c.HCO3, c.CO3, c.OmegaAragonite, c.Revelle, c.TADKH} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Errorf("%v: %+v", what, c)
			return
		}
	}
}

// The Revelle factor is the slope it is defined as.
func TestRevelleIsTheSlope(t *testing.T) {
	w := mustWater(t, 35, 25, seawater.Basis{})
	at, err := w.Solve(seawater.TA(2300), seawater.DIC(2000))
	if err != nil {
		t.Fatal(err)
	}
	more, err := w.Solve(seawater.TA(2300), seawater.DIC(2000.2))
	if err != nil {
		t.Fatal(err)
	}
	less, err := w.Solve(seawater.TA(2300), seawater.DIC(1999.8))
	if err != nil {
		t.Fatal(err)
	}
	if slope := math.Log(more.FCO2/less.FCO2) / math.Log(2000.2/1999.8); math.Abs(slope-at.Revelle) > 1e-4 {
		t.Errorf("slope %v, Revelle factor %v", slope, at.Revelle)
	}
}
