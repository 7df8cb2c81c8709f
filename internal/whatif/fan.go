package whatif

import (
	"fmt"
	"math"
	"slices"

	"driftline/internal/drift"
	"driftline/internal/standing"
	"driftline/units"
)

// chances of the quantiles of a day.
var chances = [5]float64{0.05, 0.25, 0.50, 0.75, 0.95}

// course tells what the draws of one quantity did under one plan.
func (w *worker) course(o *standing.Outset, drawn *drift.Drawn, tr *trace) Course {
	n := float64(len(drawn.Draws))
	c := Course{Quantity: string(o.Quantity), Unit: o.Unit, Low: o.Band.Low, Aim: o.Band.Aim, High: o.Band.High,
		PBelowAtEnd: tr.below / n, PAboveAtEnd: tr.above / n, POutAtEnd: (tr.below + tr.above) / n}
	if tr.inside > 0 {
		c.PLeave = tr.gone / tr.inside
	}
	for d, levels := range tr.levels {
		q := quantiles(levels)
		if drawn.Skewed {
			_, sd := moments(levels)
			middle := q[2]
			for i := range q {
				q[i] = max(drift.Skew(q[i], middle, sd), drawn.Floor)
			}
		}
		for i := range q {
			q[i] = o.Shown(q[i])
		}
		c.Days = append(c.Days, Day{At: w.asOf.AddDate(0, 0, d), P05: q[0], P25: q[1], P50: q[2], P75: q[3], P95: q[4], POutside: tr.left[d] / n})
	}
	c.Says = w.saysOf(o, &c, tr.inside/n)
	return c
}

// saysOf is a quantity's sentence.
func (w *worker) saysOf(o *standing.Outset, c *Course, inside float64) string {
	first, last := &c.Days[0], &c.Days[len(c.Days)-1]
	// Nine in ten of the draws lie within 1.645 standard deviations of a normal law.
	text := fmt.Sprintf("%s now, %s after %s", pm(o.Quantity, c.Unit, first), pm(o.Quantity, c.Unit, last), daysWord(w.ask.Days))
	switch {
	case c.Low == nil && c.High == nil:
		return text + "; it has no band."
	case inside < 0.05:
		return fmt.Sprintf("%s; outside its band now, and at the end %s.", text, standing.ChanceWords(c.POutAtEnd))
	}
	return fmt.Sprintf("%s; to leave its band by then: %s; to be outside at the end: %s.", text,
		standing.ChanceWords(c.PLeave), standing.ChanceWords(c.POutAtEnd))
}

func pm(q units.Quantity, unit string, d *Day) string {
	return units.FormatPM(q, d.P50, math.Abs(d.P95-d.P05)/(2*1.645), unit)
}

func daysWord(n int) string {
	if n == 1 {
		return "1 day"
	}
	return fmt.Sprintf("%d days", n)
}

// shown are the levels of a day as the fan shows them.
func shown(o *standing.Outset, drawn *drift.Drawn, levels []float64) []float64 {
	out := append([]float64(nil), levels...)
	middle, sd := 0.0, 0.0
	if drawn.Skewed {
		middle = quantiles(levels)[2]
		_, sd = moments(levels)
	}
	for k, v := range out {
		if drawn.Skewed {
			v = max(drift.Skew(v, middle, sd), drawn.Floor)
		}
		out[k] = o.Shown(v)
	}
	return out
}

// gap compares the ends of two plans draw by draw.
func gap(plan string, here, first []float64) *Gap {
	diff := make([]float64, len(here))
	for k := range here {
		diff[k] = here[k] - first[k]
	}
	q := quantiles(diff)
	return &Gap{Plan: plan, P05: q[0], P50: q[2], P95: q[4]}
}

func moments(v []float64) (mean, sd float64) {
	for _, x := range v {
		mean += x
	}
	mean /= float64(len(v))
	for _, x := range v {
		sd += sq(x - mean)
	}
	return mean, math.Sqrt(sd / float64(len(v)))
}

// bins is how many a day's draws are sorted into before their quantiles are looked
// for: a few draws to each.
const bins = 512

// quantiles are the figures for the chances, of which the one for chance c is that
// of rank c·n. Only the bins that hold one are sorted.
func quantiles(v []float64) (q [5]float64) {
	low, high := v[0], v[0]
	for _, x := range v {
		low, high = min(low, x), max(high, x)
	}
	scale := (bins - 1) / (high - low)
	if !(scale < math.MaxFloat64) { // all alike
		for i := range q {
			q[i] = low
		}
		return q
	}
	var count [bins + 1]int
	for _, x := range v {
		count[int((x-low)*scale)+1]++
	}
	wanted := [5]int{}
	first := [5]int{} // the rank of the first figure of its bin
	sum, next := 0, 0
	for b := range bins {
		for next < len(q) && rank(next, len(v)) < sum+count[b+1] {
			wanted[next], first[next] = b, sum
			next++
		}
		sum += count[b+1]
	}
	var held [5][]float64
	for _, x := range v {
		b := int((x - low) * scale)
		for i := range wanted {
			if wanted[i] == b {
				held[i] = append(held[i], x)
				break
			}
		}
	}
	for i := range q {
		owner := i
		for owner > 0 && wanted[owner-1] == wanted[i] {
			owner--
		}
		if owner == i {
			slices.Sort(held[i])
		}
		q[i] = held[owner][rank(i, len(v))-first[i]]
	}
	return q
}

func rank(i, n int) int { return int(chances[i] * float64(n)) }
