package seawater_test

import (
	"fmt"
	"math"
	"testing"

	"driftline/seawater"
)

// The doubt of a given measure comes back as it went in, and that of CO2 over
// its pressure is ln 10 times that of pH, but for the small part carbon takes.
func TestDoubtsAreCarried(t *testing.T) {
	w := mustWater(t, 35, 25, seawater.Basis{})
	c, sd, err := w.SolveWithDoubts(seawater.TA(2300), seawater.PH(8.1), seawater.Doubts{A: 20, B: 0.02})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(sd.TA-20) > 1e-6 || math.Abs(sd.PHTotal-0.02) > 1e-8 {
		t.Errorf("given 20 and 0.02, got %v and %v", sd.TA, sd.PHTotal)
	}
	if ratio := sd.PCO2 / c.PCO2 / (0.02 * math.Ln10); ratio < 1 || ratio > 1.3 {
		t.Errorf("doubt of pCO2 is %v of that of hydrogen", ratio)
	}
	if _, _, err := w.SolveWithDoubts(seawater.TA(2300), seawater.PH(8.1), seawater.Doubts{A: -1}); err == nil {
		t.Error("a negative doubt passed")
	}
}

func Example() {
	water, err := seawater.NewWater(35, 25, seawater.Basis{})
	if err != nil {
		fmt.Println(err)
		return
	}
	c, sd, err := water.SolveWithDoubts(seawater.TA(2300), seawater.PH(8.1), seawater.Doubts{A: 20, B: 0.02})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("CO2 %.0f ± %.0f µatm\n", c.PCO2, sd.PCO2)
	// Output: CO2 340 ± 20 µatm
}
