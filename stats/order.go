package stats

import "slices"

// MedianGap is the median time between neighbours of times in order, 1 when all
// are at one moment.
func MedianGap(t []float64) float64 {
	gaps := make([]float64, 0, len(t))
	for i := 1; i < len(t); i++ {
		if g := t[i] - t[i-1]; g > 0 {
			gaps = append(gaps, g)
		}
	}
	if len(gaps) == 0 {
		return 1
	}
	return Median(gaps)
}

// Median is the middle of the values, the mean of the middle two when there are
// as many above as below. The slice is sorted.
func Median(v []float64) float64 {
	slices.Sort(v)
	n := len(v)
	return (v[(n-1)/2] + v[n/2]) / 2
}
