package growth

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// curve is a law of growth: its value and how that changes with each figure.
type curve struct {
	name  string
	k     int
	value func(p []float64, t float64) (y float64, grad []float64)
	start func(t, y []float64) []float64
}

// The laws that are fitted.
var (
	none = curve{"none", 1,
		func(p []float64, _ float64) (float64, []float64) { return p[0], []float64{1} },
		func(_, y []float64) []float64 { return []float64{stat.Mean(y, nil)} }}
	linear = curve{"linear", 2,
		func(p []float64, t float64) (float64, []float64) { return p[0] + p[1]*t, []float64{1, t} },
		func(t, y []float64) []float64 {
			a, b := stat.LinearRegression(t, y, nil, false)
			return []float64{a, b}
		}}
	exponential = curve{"exponential", 2,
		func(p []float64, t float64) (float64, []float64) {
			e := math.Exp(p[1] * t)
			return p[0] * e, []float64{e, p[0] * t * e}
		},
		func(t, y []float64) []float64 {
			a, b := stat.LinearRegression(t, logs(y), nil, false)
			return []float64{math.Exp(a), b}
		}}
	logistic = curve{"levelling off", 3,
		func(p []float64, t float64) (float64, []float64) {
			e := math.Exp((p[1] - t) / p[2])
			d := 1 + e
			return p[0] / d, []float64{1 / d, -p[0] * e / (d * d) / p[2], p[0] * e / (d * d) * (p[1] - t) / (p[2] * p[2])}
		},
		startLogistic}
)

// startLogistic takes a ceiling a little above the most and a line through the logits.
func startLogistic(t, y []float64) []float64 {
	top := 0.0
	for _, v := range y {
		top = math.Max(top, v)
	}
	top *= 1.1
	z := make([]float64, len(y))
	for i, v := range y {
		z[i] = math.Log(math.Max(v, 1e-12) / (top - v))
	}
	a, b := stat.LinearRegression(t, z, nil, false)
	if b <= 0 {
		b = 1 / math.Max(t[len(t)-1]-t[0], 1)
	}
	return []float64{top, -a / b, 1 / b}
}

// fitted is a law with its figures.
type fitted struct {
	curve
	p         []float64
	cov       *mat.SymDense
	rss, sd   float64
	n, df     int
	criterion float64 // Akaike's, corrected; infinite where the figures are too few
}

// errNoFit says that a law cannot be fitted.
var errNoFit = errors.New("this law of growth cannot be fitted to these figures")

// fit finds the figures of least squares, of the logarithms when logged, by damped
// Gauss-Newton steps (Levenberg & Marquardt).
func fit(c curve, t, y []float64, logged bool) (*fitted, error) {
	if len(t) <= c.k {
		return nil, errNoFit
	}
	p := c.start(t, y)
	damp, rss := 1e-3, math.Inf(1)
	var a *mat.SymDense
	for range 500 {
		s, h, g := squares(c, p, t, y, logged)
		if math.IsNaN(s) || math.IsInf(s, 0) {
			return nil, errNoFit
		}
		rss, a = s, h
		moved := false
		for range 40 {
			step, ok := damped(h, g, damp)
			if !ok {
				damp *= 10
				continue
			}
			next, most := make([]float64, c.k), 0.0
			for i := range next {
				next[i] = p[i] + step[i]
				most = math.Max(most, math.Abs(step[i])/(math.Abs(p[i])+1e-12))
			}
			if v, _, _ := squares(c, next, t, y, logged); v <= s {
				p, damp, moved = next, damp/10, most > 1e-13
				break
			}
			damp *= 10
			if damp > 1e12 {
				break
			}
		}
		if !moved {
			break
		}
	}
	return conclude(c, p, a, rss, len(t))
}

func conclude(c curve, p []float64, a *mat.SymDense, rss float64, n int) (*fitted, error) {
	f := &fitted{curve: c, p: p, rss: rss, n: n, df: n - c.k, criterion: math.Inf(1)}
	f.sd = math.Sqrt(rss / float64(f.df))
	var ch mat.Cholesky
	even, by := equal(a, 0)
	if !ch.Factorize(even) {
		return nil, errNoFit
	}
	f.cov = mat.NewSymDense(c.k, nil)
	if err := ch.InverseTo(f.cov); err != nil {
		return nil, errNoFit
	}
	for i := range c.k {
		for j := i; j < c.k; j++ {
			f.cov.SetSym(i, j, f.cov.At(i, j)*by[i]*by[j]*f.sd*f.sd)
		}
	}
	if k := float64(c.k + 1); float64(n)-k-1 > 0 { // the scatter is a figure too
		f.criterion = float64(n)*math.Log(math.Max(rss, 1e-300)/float64(n)) + 2*k + 2*k*(k+1)/(float64(n)-k-1)
	}
	return f, nil
}

// squares adds up the misses, and gives the products of the changes and their sum with the misses.
func squares(c curve, p, t, y []float64, logged bool) (float64, *mat.SymDense, []float64) {
	h, g, s := mat.NewSymDense(c.k, nil), make([]float64, c.k), 0.0
	for i := range t {
		v, d := c.value(p, t[i])
		miss := y[i] - v
		if logged {
			if v <= 0 {
				return math.Inf(1), h, g
			}
			miss = math.Log(y[i]) - math.Log(v)
			for k := range d {
				d[k] /= v
			}
		}
		s += miss * miss
		for a := range c.k {
			g[a] += d[a] * miss
			for b := a; b < c.k; b++ {
				h.SetSym(a, b, h.At(a, b)+d[a]*d[b])
			}
		}
	}
	return s, h, g
}

func damped(h *mat.SymDense, g []float64, damp float64) ([]float64, bool) {
	m, by := equal(h, damp)
	b := make([]float64, len(g))
	for i := range b {
		b[i] = g[i] * by[i]
	}
	var ch mat.Cholesky
	var x mat.VecDense
	if !ch.Factorize(m) || ch.SolveVecTo(&x, mat.NewVecDense(len(b), b)) != nil {
		return nil, false
	}
	for i := range b {
		b[i] = x.AtVec(i) * by[i]
	}
	return b, true
}

// equal brings figures of all sizes to the same: a matrix with ones (and what damps) on
// its diagonal, and what each row was multiplied by.
func equal(h *mat.SymDense, damp float64) (*mat.SymDense, []float64) {
	n := h.SymmetricDim()
	by := make([]float64, n)
	for i := range n {
		by[i] = 1 / math.Sqrt(math.Max(h.At(i, i), 1e-300))
	}
	m := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			m.SetSym(i, j, h.At(i, j)*by[i]*by[j])
		}
		m.SetSym(i, i, m.At(i, i)+damp)
	}
	return m, by
}

// at is the law's value and its standard error.
func (f *fitted) at(t float64) (y, se float64) {
	y, d := f.value(f.p, t)
	v := mat.NewVecDense(f.k, d)
	return y, math.Sqrt(math.Max(mat.Inner(v, f.cov, v), 0))
}

func logs(v []float64) []float64 {
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = math.Log(math.Max(x, 1e-300))
	}
	return out
}
