package rehearsal

import (
	"math"
	"time"

	"driftline/internal/book"
)

// Chances are the seven quantiles a forecast gives.
var Chances = [7]float64{0.05, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95}

// Forecast is what a forecaster says: the quantiles of the true level, by day
// from as-of (day 0) on, in Unit.
type Forecast struct {
	Unit string
	Days [][7]float64
}

// Forecaster forecasts one quantity from the lines of a book. It must not look
// at lines later than as-of.
type Forecaster func(lines []book.Line, tank, quantity string, asOf time.Time, days int) (Forecast, error)

// IntervalScore is the score of a central interval that should miss with
// chance alpha: its width, and 2/alpha for every unit by which it missed
// (Gneiting & Raftery 2007, equation 43; Bracher et al. 2021, section 2.2).
func IntervalScore(alpha, low, high, truth float64) float64 {
	return high - low + 2/alpha*math.Max(0, low-truth) + 2/alpha*math.Max(0, truth-high)
}

// WIS is the weighted interval score of the seven quantiles, lower is better:
// (|y-m|/2 + sum alpha/2 IS) / (K + 1/2) over the K = 3 central intervals of
// 90, 80 and 50 % (Bracher, Ray, Gneiting & Reich 2021, PLoS Comput. Biol.
// 17:e1008618, equation 1, with its usual weights).
func WIS(q [7]float64, truth float64) float64 {
	sum := math.Abs(truth-q[3]) / 2
	for i, alpha := range [3]float64{0.10, 0.20, 0.50} {
		sum += alpha / 2 * IntervalScore(alpha, q[i], q[6-i], truth)
	}
	return sum / 3.5
}

// Cell gathers the scores of one family at one horizon.
type Cell struct {
	N            int
	In80, In90   int
	WIS          float64 // sums
	Base         float64
	Base80       int
	Below, Above int // truth under p10, over p90
}

func (c *Cell) add(q, base [7]float64, truth float64) {
	c.N++
	c.In80 += inside(q[1], q[5], truth)
	c.In90 += inside(q[0], q[6], truth)
	c.Base80 += inside(base[1], base[5], truth)
	c.WIS += WIS(q, truth)
	c.Base += WIS(base, truth)
	if truth < q[1] {
		c.Below++
	}
	if truth > q[5] {
		c.Above++
	}
}

func inside(low, high, v float64) int {
	if v >= low && v <= high {
		return 1
	}
	return 0
}

// Held is the share of truths inside the 80 and the 90 % intervals.
func (c Cell) Held() (in80, in90 float64) {
	return float64(c.In80) / float64(c.N), float64(c.In90) / float64(c.N)
}

// Ratio is the weighted interval score over that of the baseline.
// It is 1, no better, when nothing was scored.
func (c Cell) Ratio() float64 {
	if c.Base <= 0 {
		return 1
	}
	return c.WIS / c.Base
}

func (c *Cell) merge(o Cell) {
	c.N += o.N
	c.In80 += o.In80
	c.In90 += o.In90
	c.Base80 += o.Base80
	c.WIS += o.WIS
	c.Base += o.Base
	c.Below += o.Below
	c.Above += o.Above
}

// bell are the quantiles of a normal law, never below zero.
func bell(mean, sd float64) (q [7]float64) {
	z := [7]float64{-1.644854, -1.281552, -0.674490, 0, 0.674490, 1.281552, 1.644854}
	for i := range q {
		q[i] = math.Max(0, mean+sd*z[i])
	}
	return q
}

// standardError is that of a share p among n.
func standardError(p float64, n int) float64 { return math.Sqrt(p * (1 - p) / float64(max(1, n))) }
