package stats

import "math"

// most is the largest number of columns of a design.
const most = 16

// closest is what is left of a figure at the moment of another: what a float can
// hold keeps them apart.
const closest = 1e-12

// work solves one design for many correlations without allocating.
type work struct {
	n, p int
	gaps []float64   // time from the row before; 0 for the first
	rows [][]float64 // X with y as its last column
}

// solution is the least squares at one correlation.
type solution struct {
	ok     bool
	b      [most]float64
	inv    [most * most]float64 // inverse of X'R⁻¹X, p by p
	rss    float64
	logR   float64 // log determinant of R
	logXRX float64
	half   [most * most]float64 // inverse of the lower triangle L, where L L' is X'R⁻¹X
}

func newWork(d Design) (*work, error) {
	if err := d.check(); err != nil {
		return nil, err
	}
	w := &work{n: len(d.Y), p: len(d.X[0]), gaps: make([]float64, len(d.Y)), rows: make([][]float64, len(d.Y))}
	if w.p > most {
		return nil, ErrSingular
	}
	flat := make([]float64, w.n*(w.p+1))
	for i := range w.n {
		w.rows[i] = flat[i*(w.p+1) : (i+1)*(w.p+1)]
		copy(w.rows[i], d.X[i])
		w.rows[i][w.p] = d.Y[i]
		if i > 0 {
			w.gaps[i] = d.T[i] - d.T[i-1]
		}
	}
	return w, nil
}

// solve whitens row by row, for each error depends on the one before only, and
// solves the normal equations by Cholesky.
func (w *work) solve(correlation func(gap float64) float64) solution {
	var s solution
	var a [(most + 1) * (most + 1)]float64
	q := w.p + 1
	var row [most + 1]float64
	for i, x := range w.rows {
		if i == 0 {
			copy(row[:], x)
		} else {
			r := correlation(w.gaps[i])
			left := max(1-r*r, closest)
			scale := 1 / math.Sqrt(left)
			before := w.rows[i-1]
			for j := range q {
				row[j] = (x[j] - r*before[j]) * scale
			}
			s.logR += math.Log(left)
		}
		for j := range q {
			for k := range j + 1 {
				a[j*q+k] += row[j] * row[k]
			}
		}
	}
	return w.normal(s, &a)
}

// normal solves the normal equations held in the lower triangle of a, whose last
// row and column belong to y.
func (w *work) normal(s solution, a *[(most + 1) * (most + 1)]float64) solution {
	p, q := w.p, w.p+1
	var l [most * most]float64
	for j := range p {
		for k := range j + 1 {
			v := a[j*q+k]
			for m := range k {
				v -= l[j*p+m] * l[k*p+m]
			}
			if j == k {
				if v <= 1e-11*a[j*q+j] {
					return s
				}
				l[j*p+j] = math.Sqrt(v)
				s.logXRX += math.Log(v)
			} else {
				l[j*p+k] = v / l[k*p+k]
			}
		}
	}
	var z [most]float64 // L z = X'R⁻¹y
	s.rss = a[p*q+p]
	for j := range p {
		v := a[p*q+j]
		for m := range j {
			v -= l[j*p+m] * z[m]
		}
		z[j] = v / l[j*p+j]
		s.rss -= z[j] * z[j]
	}
	s.rss = max(s.rss, 0)
	invert(p, &l, &s.half, &s.inv)
	for j := range p {
		for k := range p {
			s.b[j] += s.inv[j*p+k] * a[p*q+k]
		}
	}
	s.ok = true
	return s
}

// invert gives the inverse of L, and that of L L'.
func invert(p int, l, li, out *[most * most]float64) {
	for j := range p {
		li[j*p+j] = 1 / l[j*p+j]
		for k := range j {
			v := 0.0
			for m := k; m < j; m++ {
				v -= l[j*p+m] * li[m*p+k]
			}
			li[j*p+k] = v / l[j*p+j]
		}
	}
	for j := range p {
		for k := range p {
			v := 0.0
			for m := max(j, k); m < p; m++ {
				v += li[m*p+j] * li[m*p+k]
			}
			out[j*p+k] = v
		}
	}
}

func (w *work) logLikelihood(s solution, l Likelihood) float64 {
	n, df := float64(w.n), float64(w.n-w.p)
	if l == ML {
		return -n/2*(math.Log(2*math.Pi*s.rss/n)+1) - s.logR/2
	}
	return -df/2*(math.Log(2*math.Pi*s.rss/df)+1) - s.logR/2 - s.logXRX/2
}

func (w *work) fit(s solution, l Likelihood, phi float64) Fit {
	p, df := w.p, w.n-w.p
	f := Fit{DF: df, Phi: phi, LogLikelihood: w.logLikelihood(s, l), Sigma: math.Sqrt(s.rss / float64(df))}
	variance := s.rss / float64(df)
	for j := range p {
		f.Coef = append(f.Coef, s.b[j])
		f.SE = append(f.SE, math.Sqrt(variance*s.inv[j*p+j]))
		f.Vcov = append(f.Vcov, nil)
		for k := range p {
			f.Vcov[j] = append(f.Vcov[j], variance*s.inv[j*p+k])
		}
	}
	if l == ML {
		f.Sigma = math.Sqrt(s.rss / float64(w.n))
	}
	return f
}
