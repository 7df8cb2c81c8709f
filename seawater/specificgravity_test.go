package seawater_test

import (
	"fmt"
	"testing"

	"driftline/seawater"

	"pgregory.net/rapid"
)

func pairOf(t *testing.T, r row) seawater.Pair {
	return seawater.Pair{SampleC: r.num(t, "t_sample_degC"), WaterC: r.num(t, "t_water_degC")}
}

// Against the Gibbs function as computed by another library, to the last digit given.
func TestSpecificGravityTables(t *testing.T) {
	for _, r := range table(t, "sp_to_sg.csv") {
		got, err := seawater.SpecificGravity(r.num(t, "SP"), pairOf(t, r))
		if err != nil {
			t.Fatal(err)
		}
		near(t, r, "specific gravity", got, r.num(t, "SG"), 2e-9)
	}
	for _, r := range table(t, "sg_to_sp.csv") {
		got, err := seawater.SalinityFromSpecificGravity(r.num(t, "SG"), pairOf(t, r))
		if err != nil {
			t.Fatal(err)
		}
		near(t, r, "salinity", got, r.num(t, "SP"), 1e-6)
	}
}

func TestSpecificGravityRoundTrip(t *testing.T) {
	pairs := []seawater.Pair{seawater.Pair20, seawater.Pair25, seawater.Pair60}
	rapid.Check(t, func(t *rapid.T) {
		pair := rapid.SampledFrom(pairs).Draw(t, "pair")
		sp := rapid.Float64Range(0, 60).Draw(t, "sp")
		sg, err := seawater.SpecificGravity(sp, pair)
		if err != nil {
			t.Fatal(err)
		}
		back, err := seawater.SalinityFromSpecificGravity(sg, pair)
		if err != nil {
			t.Fatal(err)
		}
		if d := back - sp; d > 1e-9 || d < -1e-9 {
			t.Fatalf("salinity %g came back as %g", sp, back)
		}
	})
}

func ExampleSpecificGravity() {
	sg, _ := seawater.SpecificGravity(35, seawater.Pair25)
	sp, _ := seawater.SalinityFromSpecificGravity(1.026, seawater.Pair25)
	fmt.Printf("%.4f %.2f\n", sg, sp)
	// Output: 1.0264 34.51
}
