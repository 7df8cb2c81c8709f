package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Misfits tells how far each figure of a design lies from what all others say it
// should be, in standard errors of that prediction, errors correlated phi to the
// time between (0 to below 1). Each follows a t law with n-p-1 degrees of freedom
// when the design holds (Cook & Weisberg 1982, Residuals and Influence in
// Regression, section 2.2, with correlated errors). It fails as FitGLS does.
func Misfits(d Design, phi float64) ([]float64, error) {
	w, err := newWork(d)
	if err != nil {
		return nil, err
	}
	if w.n-w.p < 2 || !(phi >= 0 && phi < 1) {
		return nil, ErrSingular
	}
	s := w.solve(func(gap float64) float64 { return math.Pow(phi, gap) })
	if !s.ok {
		return nil, ErrSingular
	}
	return w.misfits(s, phi), nil
}

func (w *work) misfits(s solution, phi float64) []float64 {
	n, p := w.n, w.p
	r, scale := make([]float64, n+1), make([]float64, n+1)
	scale[0] = 1
	for i := 1; i < n; i++ {
		r[i] = math.Pow(phi, w.gaps[i])
		scale[i] = math.Sqrt(max(1-r[i]*r[i], 1e-12))
	}
	// white is row i of the whitened design and residual.
	white := func(i, j int) float64 {
		value := func(k int) float64 {
			if j < p {
				return w.rows[k][j]
			}
			e := w.rows[k][p]
			for m := range p {
				e -= w.rows[k][m] * s.b[m]
			}
			return e
		}
		if i == 0 {
			return value(0)
		}
		return (value(i) - r[i]*value(i-1)) / scale[i]
	}
	// inverse is row i of the inverse correlation times column j.
	inverse := func(i, j int) float64 {
		v := white(i, j) / scale[i]
		if i+1 < n {
			v -= r[i+1] * white(i+1, j) / scale[i+1]
		}
		return v
	}
	out := make([]float64, n)
	df := float64(n - p)
	sigma := math.Sqrt(s.rss / df)
	g := make([]float64, p)
	for i := range n {
		q := 1 / (scale[i] * scale[i])
		if i+1 < n {
			q += r[i+1] * r[i+1] / (scale[i+1] * scale[i+1])
		}
		for j := range p {
			g[j] = inverse(i, j)
		}
		for j := range p {
			for k := range p {
				q -= g[j] * s.inv[j*p+k] * g[k]
			}
		}
		if q <= 1e-12 || sigma == 0 {
			continue // the only figure of its kind: nothing else says what it should be
		}
		t := inverse(i, p) / (sigma * math.Sqrt(q))
		out[i] = t * math.Sqrt((df-1)/max(df-t*t, 1e-9))
	}
	return out
}

// MisfitLimit is how large the largest of n misfits of a design is by chance with
// the given probability at most (Bonferroni).
func MisfitLimit(n, columns int, probability float64) float64 {
	return distuv.StudentsT{Sigma: 1, Nu: float64(n - columns - 1)}.Quantile(1 - probability/2/float64(n))
}
