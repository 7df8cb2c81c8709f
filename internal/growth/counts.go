package growth

import (
	"math"
	"slices"
	"time"
)

// Count is how many there were: heads, branches, anemones.
type Count struct {
	At time.Time
	N  float64
}

// OfCounts is the specific rate at which a count grows, in per cent of itself in 30 days,
// by a Poisson law whose logarithm is a straight line, its scatter not taken for less
// than such a law has.
func OfCounts(all []Count) (Interval, error) {
	all = slices.Clone(all)
	slices.SortStableFunc(all, func(a, b Count) int { return a.At.Compare(b.At) })
	if len(all) < 2 || all[len(all)-1].At.Sub(all[0].At) < 24*time.Hour {
		return Interval{}, ErrFew
	}
	t, y := make([]float64, len(all)), make([]float64, len(all))
	sum := 0.0
	for i, c := range all {
		if !(c.N >= 0) || math.IsInf(c.N, 0) {
			return Interval{}, ErrFew
		}
		t[i], y[i] = c.At.Sub(all[0].At).Hours()/24, c.N
		sum += c.N
	}
	if sum == 0 {
		return Interval{}, ErrFew
	}
	a, b := math.Log(sum/float64(len(y))), 0.0
	var saa, sab, sbb float64
	for range 50 { // Fisher's scoring
		saa, sab, sbb = 0, 0, 0
		var ga, gb float64
		for i := range t {
			mu := math.Exp(math.Min(a+b*t[i], 700))
			saa, sab, sbb = saa+mu, sab+mu*t[i], sbb+mu*t[i]*t[i]
			ga, gb = ga+y[i]-mu, gb+(y[i]-mu)*t[i]
		}
		det := saa*sbb - sab*sab
		if det <= 0 {
			return Interval{}, ErrFew
		}
		da, db := (sbb*ga-sab*gb)/det, (saa*gb-sab*ga)/det
		a, b = a+da, b+db
		if math.Abs(da)+math.Abs(db)*t[len(t)-1] < 1e-12 {
			break
		}
	}
	over := 1.0 // of the scatter over a Poisson law's
	if df := float64(len(t) - 2); df > 0 {
		chi := 0.0
		for i := range t {
			mu := math.Exp(a + b*t[i])
			chi += (y[i] - mu) * (y[i] - mu) / mu
		}
		over = math.Max(chi/df, 1)
	}
	se := math.Sqrt(over * saa / (saa*sbb - sab*sab))
	const z = 1.959964
	return through(Interval{b, b - z*se, b + z*se}, func(r float64) float64 { return 100 * math.Expm1(month*r) }), nil
}
