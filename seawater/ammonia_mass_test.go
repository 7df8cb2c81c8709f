package seawater_test

import (
	"math"
	"testing"

	"driftline/seawater"
)

// Ratios of molar masses, IUPAC/CIAAW 2021.
func TestMassOfAmmonia(t *testing.T) {
	of := map[string]seawater.AmmoniaAs{"N": seawater.AsNitrogen, "NH3": seawater.AsNH3, "NH4": seawater.AsNH4}
	seen := 0
	for _, r := range table(t, "nutrient_factors.csv") {
		from, known := of[r["from_species"]]
		to, also := of[r["to_species"]]
		if !known || !also {
			continue
		}
		seen++
		got, err := seawater.MassOfAmmonia(1, from, to)
		if err != nil {
			t.Fatal(err)
		}
		near(t, r, "factor", got, r.num(t, "mass_factor"), 1e-6)
	}
	if seen < 5 {
		t.Errorf("%d factors of ammonia in the table, want at least 5", seen)
	}
	if v, err := seawater.MassOfAmmonia(1, 7, seawater.AsNH3); err == nil {
		t.Errorf("an unknown form gave %g", v)
	}
}

// The table takes pH as read in NBS buffers to the total scale by fH of Takahashi
// et al. 1982, then uses the total-scale constant; so does this package. Its free
// column is another fit of the same authors on the free scale, not the total one
// brought there: they part by the difference of their bisulfate, up to 2 %.
func TestAmmoniaFractionOnAnyScale(t *testing.T) {
	for _, r := range table(t, "ammonia_fraction.csv") {
		w := mustWater(t, r.num(t, "SP"), r.num(t, "t_degC"), seawater.Basis{})
		for _, c := range []struct {
			column    string
			scale     seawater.PHScale
			tolerance float64
		}{
			{"fraction_CW95_pH_total", seawater.TotalScale, 1e-4},
			{"fraction_CW95_pH_nbs", seawater.NBSScale, 1e-4},
			{"fraction_CW95_pH_free", seawater.FreeScale, 0.05},
			// Other authors: Yao and Millero 1995 on the total scale differ by up to 7 %
			// (5 % is what Clegg and Whitfield claim), Bell et al. 2008 on the free scale by 6 %.
			{"fraction_YM95_pH_total", seawater.TotalScale, 0.07},
			{"fraction_Bell2008", seawater.FreeScale, 0.07},
		} {
			got, err := w.AmmoniaFraction(r.num(t, "pH"), c.scale)
			if err != nil {
				t.Fatal(err)
			}
			want := r.num(t, c.column)
			near(t, r, c.column, got, want, c.tolerance*want)
		}
	}
}

// By hand: at salinity 35 and 25 °C the pK on the total scale is 9.245847
// (ammonia_pka.csv), so at pH 8.1 total the share is 1/(1 + 10^1.145847) = 1/14.991 =
// 0.06671. Then 0.5 mg/L of total ammonia as nitrogen holds 0.5 · 0.06671 ·
// 17.031/14.007 = 0.04056 mg/L of un-ionised ammonia as NH3; as nitrogen 0.03335.
func TestUnionisedAmmoniaByHand(t *testing.T) {
	w := mustWater(t, 35, 25, seawater.Basis{})
	nbs, err := w.ConvertPH(8.1, seawater.TotalScale, seawater.NBSScale)
	if err != nil {
		t.Fatal(err)
	}
	free, err := w.ConvertPH(8.1, seawater.TotalScale, seawater.FreeScale)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		total float64
		as    seawater.AmmoniaAs
		pH    float64
		scale seawater.PHScale
		in    seawater.AmmoniaAs
		want  float64
	}{
		{0.5, seawater.AsNitrogen, 8.1, seawater.TotalScale, seawater.AsNH3, 0.04056},
		{0.5, seawater.AsNitrogen, nbs, seawater.NBSScale, seawater.AsNH3, 0.04056},
		{0.5, seawater.AsNitrogen, free, seawater.FreeScale, seawater.AsNitrogen, 0.03335},
		{0.5 * 18.039 / 14.007, seawater.AsNH4, 8.1, seawater.TotalScale, seawater.AsNitrogen, 0.03335},
	} {
		got, err := w.UnionisedAmmonia(c.total, c.as, c.pH, c.scale, c.in)
		if err != nil || math.Abs(got-c.want) > 2e-5 {
			t.Errorf("%+v: %.5f mg/L, %v", c, got, err)
		}
	}
	perKg, err := w.AmmoniaFromMgPerL(0.5, seawater.AsNitrogen)
	if want := 0.5 / 14.007 * 1000 / 1.0233436; err != nil || math.Abs(perKg-want) > 1e-4 {
		t.Errorf("%g µmol/kg, %v, want %g", perKg, err, want)
	}
}

// What the solver calls NH3 is the same share of the same total.
func TestAmmoniaOfTheSolverIsTheSame(t *testing.T) {
	w := mustWater(t, 35, 25, seawater.Basis{})
	w, err := w.With(seawater.Content{Ammonia: 30})
	if err != nil {
		t.Fatal(err)
	}
	c, err := w.Solve(seawater.TA(2300), seawater.PH(8.1))
	if err != nil {
		t.Fatal(err)
	}
	share, err := w.AmmoniaFraction(8.1, seawater.TotalScale)
	if err != nil || math.Abs(c.NH3/30-share) > 1e-9 {
		t.Errorf("solver %g, share %g, %v", c.NH3/30, share, err)
	}
}
