package effect

import (
	"fmt"
	"math"

	"driftline/stats"
)

// leastForNoise is how many figures without any change tell a spread and a
// correlation; fewer tell neither.
const leastForNoise = 8

// NoiseOf tells how figures scatter while nothing is changed: the spread of one
// and the correlation a day apart, by restricted likelihood over a level, and a
// trend where there is no comparison. All points must be from before the change.
// Intervals and counts are told as logarithms.
func NoiseOf(a Ask) (Noise, int, error) {
	figures := a.averaged(a.Treated)
	if len(a.Comparison) > 0 {
		figures = pair(figures, a.averaged(a.Comparison)).figures
	}
	if len(figures) < leastForNoise {
		return Noise{}, len(figures), fmt.Errorf("%s so far: expected %d or more to tell how they scatter", plural(len(figures), "figure"), leastForNoise)
	}
	var d stats.Design
	for _, f := range figures {
		v, row := f.value, []float64{1}
		if a.Outcome.Ratio() {
			v = math.Log(math.Max(v, 0.5))
		}
		if len(a.Comparison) == 0 && !a.NoTrend {
			row = append(row, f.day/100)
		}
		d.T, d.Y, d.X = append(d.T, f.day), append(d.Y, v), append(d.X, row)
	}
	fit, err := stats.FitGLS(d, stats.ContinuousTime, stats.REML)
	if err != nil {
		return Noise{}, len(figures), fmt.Errorf("how the figures scatter cannot be told: %w", err)
	}
	if !(fit.Sigma > 0) {
		return Noise{}, len(figures), fmt.Errorf("the figures so far are all alike: how they scatter cannot be told")
	}
	return Noise{SD: fit.Sigma, Phi: math.Min(fit.Phi, 0.999)}, len(figures), nil
}

// Mixed is the correlation between the estimated effects of two changes under a
// plan of measuring: near 1 or -1, the two cannot be told apart. other tells when
// the other change is on.
func (d Design) Mixed(other func(day float64) bool) float64 {
	m := d.matrix()
	i := 0
	for _, b := range append([]Design{d}, d.Also...) {
		for _, day := range b.Days {
			v := 0.0
			if other(day) {
				v = 1
			}
			m.X[i] = append(m.X[i], v)
			m.Y[i] = float64(i % 7) // any figures do: only the design counts
			i++
		}
	}
	if len(m.X) <= len(m.X[0]) {
		return 1
	}
	fit, err := stats.FitGLS(m, stats.Independent, stats.REML)
	if err != nil {
		return 1
	}
	last := len(m.X[0]) - 1
	return fit.Vcov[changeColumn][last] / math.Sqrt(fit.Vcov[changeColumn][changeColumn]*fit.Vcov[last][last])
}
