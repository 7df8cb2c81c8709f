package effect

import "math"

// Peek is an interval that may be looked at as often as one likes while figures
// come in: it holds the effect at all looks together with 95 % probability, and is
// wider for it. It is the confidence sequence of a normal mixture (Robbins 1970,
// Ann. Math. Statist. 41:1397), mixed over effects about as large as what matters;
// the standard error it widens is that of the look.
func (a Ask) Peek(r Result) (low, high float64) {
	l, h := r.average.Interval(0.95)
	se := (h - l) / 2 / 1.959964 // the normal quantile of 97.5 %: a short series' t law keeps it wide
	centre := r.average.Mean()
	scale := a.least()
	if scale == 0 {
		scale = 3 * se
	}
	half := mixture(se, scale)
	low, high = centre-half, centre+half
	if a.Outcome.Ratio() {
		low, high = math.Exp(low), math.Exp(high)
	}
	return low, high
}

// mixture is half the width of the sequence at a look whose estimate has the
// standard error se, mixed with a normal law of the spread scale.
func mixture(se, scale float64) float64 {
	v, m := se*se, scale*scale
	return math.Sqrt(v * (v + m) / m * math.Log((v+m)/(v*sure*sure)))
}
