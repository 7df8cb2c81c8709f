package rehearsal

import (
	"math"
	"testing"
)

func TestWISByHand(t *testing.T) {
	q := [7]float64{1, 2, 4, 5, 6, 8, 9}
	tests := []struct {
		name  string
		truth float64
		want  float64
	}{
		// Bracher et al. 2021, equation 1: (|y-m|/2 + sum alpha/2 (width + 2/alpha miss)) / 3.5.
		// Inside all: widths 8, 6, 2 -> 0.05*8 + 0.1*6 + 0.25*2 = 1.5.
		{"at the median", 5, 1.5 / 3.5},
		{"inside the middle half", 5.5, (0.25 + 1.5) / 3.5},
		// 7: misses the 50 % interval by 1: adds 1; |y-m|/2 = 1.
		{"outside the middle half", 7, (1 + 1.5 + 1) / 3.5},
		// 0: misses 90 % by 1, 80 % by 2, 50 % by 4: adds 7; |y-m|/2 = 2.5.
		{"below all", 0, (2.5 + 1.5 + 7) / 3.5},
		// 12: misses by 3, 4, 6: adds 13; |y-m|/2 = 3.5.
		{"above all", 12, (3.5 + 1.5 + 13) / 3.5},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) { agrees(t, "score", WIS(q, c.truth), c.want, 1e-12) })
	}
}

func TestWISIsTwicePinballMean(t *testing.T) {
	// Bracher et al. 2021, section 2.2: the score is the mean over the quantiles of twice the pinball loss.
	r := stream(9, 9)
	for range 200 {
		q := bell(between(r, 5, 9), between(r, 0.2, 2))
		y := between(r, 0, 14)
		sum := 0.0
		for i, p := range Chances {
			if y < q[i] {
				sum += 2 * (1 - p) * (q[i] - y)
			} else {
				sum += 2 * p * (y - q[i])
			}
		}
		agrees(t, "score", WIS(q, y), sum/7, 1e-9)
	}
}

func TestExactForecasterIsCovered(t *testing.T) {
	// A known normal law forecast as it is: 80 and 90 % hold within three standard errors, and the expected
	// pinball loss at chance p is sd*phi(z_p), so the score is the mean of 2 phi(z_p) (Gneiting & Raftery 2007).
	r := stream(4, 4)
	var c Cell
	const n = 20000
	for range n {
		mean, sd := between(r, 50, 90), between(r, 0.5, 2)
		c.add(bell(mean, sd), bell(mean, sd), mean+sd*r.NormFloat64())
	}
	in80, in90 := c.Held()
	agrees(t, "in 80 %", in80, 0.8, 3*standardError(0.8, n))
	agrees(t, "in 90 %", in90, 0.9, 3*standardError(0.9, n))
	want := 0.0
	for _, z := range []float64{-1.644854, -1.281552, -0.67449, 0, 0.67449, 1.281552, 1.644854} {
		want += 2 * math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) / 7
	}
	agrees(t, "score", c.WIS/n, want*1.25, 0.02) // mean sd 1.25
	if got := c.unmet("here", 0); len(got) > 0 {
		t.Errorf("an exact forecaster is found wanting: %v", got)
	}
}

func TestOverconfidentForecasterIsFound(t *testing.T) {
	r := stream(4, 5)
	var c Cell
	for range 2000 {
		c.add(bell(50, 0.5), bell(50, 1), 50+r.NormFloat64())
	}
	if got := c.unmet("here", 3); len(got) != 2 {
		t.Errorf("half the true spread must fail both promises, got %v", got)
	}
	if c.Ratio() <= 1 {
		t.Errorf("it must score worse than the exact one, got %.2f", c.Ratio())
	}
}
