package seawater_test

import (
	"math"
	"testing"

	"driftline/seawater"
)

// alkalinityOf writes out Dickson 1981, Deep-Sea Res. 28A:609, eq. 7, species by
// species from the dissociation of each acid in full, and bicarbonate and carbonate
// of dic, in mol per kg: another road than the package takes, which works with
// shares. KS is on the free scale, all else on the total one.
func alkalinityOf(c seawater.Constants, h, dic float64) float64 {
	free := h / (1 + c.Sulfate/c.KS)
	carbon := h*h + c.K1*h + c.K1*c.K2
	phosphate := h*h*h + c.KP1*h*h + c.KP1*c.KP2*h + c.KP1*c.KP2*c.KP3
	h3po4, hpo4, po4 := h*h*h/phosphate, c.KP1*c.KP2*h/phosphate, c.KP1*c.KP2*c.KP3/phosphate
	hso4 := c.Sulfate * free / (c.KS + free)
	hf := c.Fluoride * h / (c.KF + h)
	return dic*(c.K1*h+2*c.K1*c.K2)/carbon +
		c.Boron*c.KB/(c.KB+h) + c.KW/h +
		c.Phosphate*(hpo4+2*po4-h3po4) + c.Silicate*c.KSi/(c.KSi+h) + c.Ammonia*c.KNH4/(c.KNH4+h) -
		free - hso4 - hf
}

// phOf halves pH between 2 and 12 until the alkalinity fits.
func phOf(c seawater.Constants, ta, dic float64) float64 {
	low, high := 2.0, 12.0
	for range 100 {
		mid := (low + high) / 2
		if alkalinityOf(c, math.Pow(10, -mid), dic) < ta {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// Phosphate, silicate and ammonia against a plain bisection over the equations
// above; the constants themselves are checked against printed values elsewhere.
func TestNutrientsAgainstBisection(t *testing.T) {
	for _, sp := range []float64{20, 28, 35, 40} {
		for _, tempC := range []float64{18, 25, 32} {
			for _, m := range []seawater.Content{{}, {Phosphate: 30}, {Silicate: 200}, {Ammonia: 100}, {Phosphate: 5, Silicate: 60, Ammonia: 40, Boron: 900}} {
				w := mustWater(t, sp, tempC, seawater.Basis{})
				w, err := w.With(m)
				if err != nil {
					t.Fatal(err)
				}
				for _, ta := range []float64{1200, 2300, 4000} {
					for _, share := range []float64{0.75, 0.9, 1.05} {
						againstBisection(t, &w, ta, ta*share)
					}
				}
			}
		}
	}
}

func againstBisection(t *testing.T, w *seawater.Water, ta, dic float64) {
	t.Helper()
	want := phOf(w.Constants(), ta*1e-6, dic*1e-6)
	got, err := w.Solve(seawater.TA(ta), seawater.DIC(dic))
	if err != nil || math.Abs(got.PHTotal-want) > 1e-9 {
		t.Errorf("alkalinity %g, carbon %g: pH %.10f, %v, want %.10f", ta, dic, got.PHTotal, err, want)
		return
	}
	back, err := w.Solve(seawater.TA(ta), seawater.PH(want))
	if err != nil || math.Abs(back.DIC/dic-1) > 1e-8 {
		t.Errorf("alkalinity %g, pH %g: carbon %g, %v, want %g", ta, want, back.DIC, err, dic)
	}
}

// By hand, with the constants printed in Dickson, Sabine and Christian 2007,
// chapter 5, for salinity 35 and 25 °C: ln KP1 -3.71, ln KP2 -13.727, ln KP3 -20.24,
// ln KSi -21.61. At pH 8.1 (h 7.943e-9): KP2/h = 1.0925e-6/7.943e-9 = 137.5 of HPO4
// for each H2PO4; KP3/h = 1.6214e-9/7.943e-9 = 0.2041 of PO4 for each HPO4, so 28.08;
// h/KP1 = 3.25e-7. The alkalinity of a mol of phosphate is (137.5 + 2·28.08)/(1 +
// 137.5 + 28.08) = 1.1625. Of silicate KSi/(KSi + h) = 4.120e-10/8.355e-9 = 0.0493.
// So 10 µmol/kg of phosphate take 11.62 and 100 of silicate 4.93 µmol/kg from
// carbon and leave DIC smaller by that over the alkalinity of a mol of carbon.
func TestNutrientAlkalinityByHand(t *testing.T) {
	w := mustWater(t, 35, 25, seawater.Basis{Minor: seawater.Guide2007})
	plain, err := w.Solve(seawater.TA(2300), seawater.PH(8.1))
	if err != nil {
		t.Fatal(err)
	}
	perDIC := (plain.HCO3 + 2*plain.CO3) / plain.DIC
	for _, c := range []struct {
		m    seawater.Content
		want float64
	}{
		{seawater.Content{Phosphate: 10}, 11.62}, {seawater.Content{Silicate: 100}, 4.93},
	} {
		rich, err := w.With(c.m)
		if err != nil {
			t.Fatal(err)
		}
		got, err := rich.Solve(seawater.TA(2300), seawater.PH(8.1))
		if err != nil {
			t.Fatal(err)
		}
		if taken := (plain.DIC - got.DIC) * perDIC; math.Abs(taken-c.want) > 0.03 {
			t.Errorf("%+v takes %.3f µmol/kg, want %.2f", c.m, taken, c.want)
		}
	}
}
