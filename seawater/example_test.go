package seawater_test

import (
	"errors"
	"fmt"
	"math"

	"driftline/seawater"
)

// A hydrometer marked 25/25 floats in water of 20 °C.
func ExampleSalinityFromHydrometer() {
	sp, err := seawater.SalinityFromHydrometer(1.0277, seawater.Pair25, 20)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("salinity %.1f\n", sp)
	// Output: salinity 35.0
}

// Nobody published the scale for so strong a brine: it is computed only on
// request, and told.
func ExampleExtrapolateSalinity() {
	_, err := seawater.SalinityFromConductivity(68, 25, 0)
	fmt.Println(errors.Is(err, seawater.ErrExtrapolated))
	sp, beyond, err := seawater.ExtrapolateSalinity(68, 25, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f, beyond the published range: %v\n", sp, beyond)
	// Output:
	// true
	// 46.4, beyond the published range: true
}

// Alkalinity in dKH and a pH read with an electrode in NBS buffers.
func ExampleWater_Solve() {
	water, err := seawater.NewWater(35, 25.5, seawater.Basis{})
	if err != nil {
		fmt.Println(err)
		return
	}
	total, err := water.ConvertPH(8.25, seawater.NBSScale, seawater.TotalScale)
	if err != nil {
		fmt.Println(err)
		return
	}
	perKg, err := seawater.PerKilogram(8.2/2.80385*1000, 35, 25.5) // 2.80385 dKH are 1 meq/L
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := water.Solve(seawater.TA(perKg), seawater.PH(total))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("DIC %.0f µmol/kg, CO2 %.0f µatm, aragonite saturation %.1f\n", c.DIC, c.PCO2, c.OmegaAragonite)
	// Output: DIC 2451 µmol/kg, CO2 408 µatm, aragonite saturation 4.9
}

// What airing a room does: the same water in air of 1,200 and of 420 ppm of CO2.
func ExampleWater_InAir() {
	water, err := seawater.NewWater(35, 25, seawater.Basis{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, ppm := range []float64{1200, 420} {
		c, err := water.InAir(2800, ppm)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%4.0f ppm: pH %.2f\n", ppm, c.PHTotal)
	}
	// Output:
	// 1200 ppm: pH 7.72
	//  420 ppm: pH 8.11
}

// A kit shows 0.5 mg/L of total ammonia as NH4; the electrode is set in NBS buffers.
func ExampleWater_UnionisedAmmonia() {
	water, err := seawater.NewWater(35, 25, seawater.Basis{})
	if err != nil {
		fmt.Println(err)
		return
	}
	nh3, err := water.UnionisedAmmonia(0.5, seawater.AsNH4, 8.2, seawater.NBSScale, seawater.AsNH3)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f mg/L of NH3\n", nh3)
	// Output: 0.029 mg/L of NH3
}

// Water of salinity 12, for which the usual constants were not made.
func ExampleNewWater() {
	_, err := seawater.NewWater(12, 25, seawater.Basis{})
	fmt.Println(err)
	set, err := seawater.ParseCarbonSet("waters2014")
	if err != nil {
		fmt.Println(err)
		return
	}
	water, err := seawater.NewWater(12, 25, seawater.Basis{Carbon: set})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("pK1 %.2f\n", -math.Log10(water.Constants().K1))
	// Output:
	// Lueker 2000, outside the published range: practical salinity 12 at 25 °C, expected 19 to 43 and 2 to 35 °C
	// pK1 5.98
}

func ExampleIonMgPerL() {
	ca, err := seawater.IonMgPerL(seawater.Calcium, 35, 25)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f mg/L\n", ca)
	// Output: 422 mg/L
}

func ExampleOxygenSolubilityAt() {
	sea, err := seawater.OxygenSolubilityMgPerL(35, 25)
	if err != nil {
		fmt.Println(err)
		return
	}
	hill, err := seawater.OxygenSolubilityAt(35, 25, 900/1013.25)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f mg/L at sea level, %.2f at 900 hPa\n", sea, hill)
	// Output: 6.77 mg/L at sea level, 5.99 at 900 hPa
}
