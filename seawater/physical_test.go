package seawater_test

import (
	"math"
	"reflect"
	"testing"

	"driftline/seawater"

	"pgregory.net/rapid"
)

// anyWater is any water the package answers for, with anything in it.
func anyWater(t *rapid.T) seawater.Water {
	basis := seawater.Basis{
		Carbon:      seawater.CarbonSet(rapid.IntRange(0, 2).Draw(t, "carbon set")),
		Boron:       seawater.BoronRatio(rapid.IntRange(0, 1).Draw(t, "boron")),
		Fluoride:    seawater.FluorideSet(rapid.IntRange(0, 1).Draw(t, "fluoride")),
		Minor:       seawater.MinorSet(rapid.IntRange(0, 1).Draw(t, "minor")),
		Extrapolate: true,
	}
	w, err := seawater.NewWater(rapid.Float64Range(0, 60).Draw(t, "sp"), rapid.Float64Range(-2, 50).Draw(t, "temp"), basis)
	if err != nil {
		t.Fatal(err)
	}
	w, err = w.With(seawater.Content{
		Phosphate: rapid.Float64Range(0, 100).Draw(t, "phosphate"),
		Silicate:  rapid.Float64Range(0, 500).Draw(t, "silicate"),
		Ammonia:   rapid.Float64Range(0, 1000).Draw(t, "ammonia"),
		Boron:     rapid.Float64Range(0, 2000).Draw(t, "boron"),
		Calcium:   rapid.Float64Range(0, 30000).Draw(t, "calcium"),
	})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// numbers reports a field that is not a finite number.
func numbers(c seawater.Carbonate) (string, bool) {
	v := reflect.ValueOf(c)
	for i := range v.NumField() {
		if f := v.Field(i).Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return v.Type().Field(i).Name, false
		}
	}
	return "", true
}

// Over the whole physical range, and any number at all, each of the six pairs gives
// numbers or an error; where it gives numbers, what was given comes back.
func TestEveryPairOverAllInputs(t *testing.T) {
	draw := []func(t *rapid.T) seawater.Measure{
		func(t *rapid.T) seawater.Measure { return seawater.TA(rapid.Float64Range(-1e5, 1e5).Draw(t, "TA")) },
		func(t *rapid.T) seawater.Measure { return seawater.DIC(rapid.Float64Range(0, 1e5).Draw(t, "DIC")) },
		func(t *rapid.T) seawater.Measure { return seawater.PH(rapid.Float64Range(0, 14).Draw(t, "pH")) },
		func(t *rapid.T) seawater.Measure { return seawater.PCO2(rapid.Float64Range(0, 1e6).Draw(t, "pCO2")) },
	}
	rapid.Check(t, func(t *rapid.T) {
		w := anyWater(t)
		for i := range draw {
			for j := i + 1; j < len(draw); j++ {
				a, b := draw[i](t), draw[j](t)
				if rapid.IntRange(0, 9).Draw(t, "wild") == 0 {
					a.Value = rapid.Float64().Draw(t, "any number")
				}
				c, err := w.Solve(a, b)
				if err != nil {
					continue
				}
				if field, ok := numbers(c); !ok {
					t.Fatalf("%v and %v: %s of %+v", a, b, field, c)
				}
				givenBack(t, a, c)
				givenBack(t, b, c)
			}
		}
	})
}

func givenBack(t *rapid.T, m seawater.Measure, c seawater.Carbonate) {
	got, near := 0.0, 1e-6*math.Max(1, math.Abs(m.Value))
	switch m.What {
	case seawater.KnownTA:
		got = c.TA
	case seawater.KnownDIC:
		got = c.DIC
	case seawater.KnownPH:
		got = c.PHTotal
	case seawater.KnownPCO2:
		got = c.PCO2
	}
	if math.Abs(got-m.Value) > near {
		t.Fatalf("given %v, came back as %g in %+v", m, got, c)
	}
}

// Waters a tank can have: any pair leads to the same pH, alkalinity and carbon.
func TestEveryPairLeadsToTheSameWater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyWater(t)
		c, err := w.Solve(seawater.TA(rapid.Float64Range(3000, 8000).Draw(t, "TA")), seawater.PH(rapid.Float64Range(6.5, 9).Draw(t, "pH")))
		if err != nil {
			t.Skip("too little alkalinity for this pH")
		}
		if c.DIC < 300 || c.PCO2 > 5e5 {
			t.Skip("nearly no carbon, or nearly nothing else")
		}
		all := []seawater.Measure{seawater.TA(c.TA), seawater.DIC(c.DIC), seawater.PH(c.PHTotal), seawater.PCO2(c.PCO2)}
		for i, a := range all {
			for _, b := range all[i+1:] {
				got, err := w.Solve(a, b)
				if err != nil {
					t.Fatalf("%v and %v: %v", a, b, err)
				}
				if math.Abs(got.PHTotal-c.PHTotal) > 1e-6 || math.Abs(got.TA/c.TA-1) > 1e-5 || math.Abs(got.DIC/c.DIC-1) > 1e-5 {
					t.Fatalf("%v and %v give %+v, want %+v", a, b, got, c)
				}
			}
		}
	})
}

// What a fuzzer finds in the solver: numbers or an error, whatever the bits.
func FuzzSolve(f *testing.F) {
	f.Add(35.0, 25.0, 2300.0, 8.1, 0.0, 0, 2)
	f.Add(0.0, -2.0, 0.0, 0.0, 0.0, 0, 1)
	f.Add(60.0, 50.0, -1e5, 1e6, 1e5, 0, 3)
	f.Add(35.0, 25.0, 1e-300, 14.0, 3.0, 1, 2)
	f.Add(20.0, 40.0, 1e5, 1e6, 0.1, 1, 3)
	f.Add(1.0, 0.0, 7.0, 1e-9, 0.0, 2, 3)
	f.Fuzz(func(t *testing.T, sp, tempC, x, y, nutrient float64, first, other int) {
		w, err := seawater.NewWater(sp, tempC, seawater.Basis{Extrapolate: true})
		if err != nil {
			return
		}
		w, err = w.With(seawater.Content{Phosphate: nutrient, Silicate: nutrient, Ammonia: nutrient})
		if err != nil {
			return
		}
		c, err := w.Solve(seawater.Measure{What: seawater.Known(first), Value: x}, seawater.Measure{What: seawater.Known(other), Value: y})
		if err != nil {
			return
		}
		if field, ok := numbers(c); !ok {
			t.Errorf("%s of %+v", field, c)
		}
	})
}
