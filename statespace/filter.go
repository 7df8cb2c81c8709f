package statespace

import "math"

// Term is one coefficient of a linear combination of states.
type Term struct {
	State int
	Coef  float64
}

// Filter is a Gaussian belief over N states, the first K of which move.
type Filter struct {
	N, K int
	X    []float64 // mean
	P    []float64 // covariance, N×N by rows
	m    []float64 // K×N, scratch
	g    []float64 // N, scratch
}

// NewFilter returns a belief of all zeros over n states of which the first k move.
func NewFilter(n, k int) *Filter {
	return &Filter{
		N: n, K: k,
		X: make([]float64, n), P: make([]float64, n*n),
		m: make([]float64, k*n), g: make([]float64, n),
	}
}

// Clone returns an independent copy.
func (f *Filter) Clone() *Filter {
	c := NewFilter(f.N, f.K)
	copy(c.X, f.X)
	copy(c.P, f.P)
	return c
}

// Set gives a state a mean and a variance, independent of the others.
func (f *Filter) Set(state int, mean, variance float64) {
	f.X[state] = mean
	for j := range f.N {
		f.P[state*f.N+j] = 0
		f.P[j*f.N+state] = 0
	}
	f.P[state*f.N+state] = variance
}

// Var returns the variance of a state.
func (f *Filter) Var(state int) float64 { return f.P[state*f.N+state] }

// Loosen adds to the variance of a state that wanders on its own, such as the
// bias of an ageing instrument. It needs no place on a tape.
func (f *Filter) Loosen(state int, variance float64) { f.P[state*f.N+state] += variance }

// Combine returns the mean and the variance of a combination of states.
func (f *Filter) Combine(h []Term) (mean, variance float64) {
	for _, a := range h {
		mean += a.Coef * f.X[a.State]
		for _, b := range h {
			variance += a.Coef * b.Coef * f.P[a.State*f.N+b.State]
		}
	}
	return mean, max(variance, 0)
}

// Move replaces the moving states by F·x + c with noise of covariance q: F is
// K×N, c has K entries and q is K×K, all by rows. It passes over zeros in F,
// which are most of it.
func (f *Filter) Move(F, c, q []float64) {
	n, k := f.N, f.K
	f.multiply(F, c)
	copy(f.X[:k], f.g[:k])
	for i := range k {
		row := f.m[i*n : i*n+n]
		for j := i; j < k; j++ { // moving block
			s := q[i*k+j]
			for l, v := range F[j*n : j*n+n] {
				if v != 0 {
					s += row[l] * v
				}
			}
			f.P[i*n+j], f.P[j*n+i] = s, s
		}
		copy(f.P[i*n+k:i*n+n], row[k:])
		for j := k; j < n; j++ {
			f.P[j*n+i] = row[j]
		}
	}
}

// multiply leaves F·P in the scratch matrix and F·x + c in the scratch vector.
func (f *Filter) multiply(F, c []float64) {
	n := f.N
	clear(f.m)
	for i := range f.K {
		row, mean := f.m[i*n:i*n+n], c[i]
		for l, v := range F[i*n : i*n+n] {
			if v == 0 {
				continue
			}
			mean += v * f.X[l]
			for j, p := range f.P[l*n : l*n+n][:len(row)] {
				row[j] += v * p
			}
		}
		f.g[i] = mean
	}
}

// Observe folds in a reading y of the combination h whose noise has variance r.
// It returns the surprise of the reading and its variance before it was known.
// A variance of nothing at all (r and the belief both exact) changes nothing.
func (f *Filter) Observe(h []Term, y, r float64) (surprise, variance float64) {
	surprise, variance = f.gain(h, y, r)
	if variance <= 0 {
		return surprise, variance
	}
	f.apply(surprise, 1/variance)
	return surprise, variance
}

// gain leaves P·h in the scratch vector.
func (f *Filter) gain(h []Term, y, r float64) (surprise, variance float64) {
	n := f.N
	surprise, variance = y, r
	clear(f.g)
	for _, t := range h {
		surprise -= t.Coef * f.X[t.State]
		for j, p := range f.P[t.State*n : t.State*n+n] {
			f.g[j] += t.Coef * p
		}
	}
	for _, t := range h {
		variance += t.Coef * f.g[t.State]
	}
	return surprise, variance
}

// apply moves the mean by g·surprise·w and takes g·gᵀ·w from the covariance.
func (f *Filter) apply(surprise, w float64) {
	n := f.N
	for i := range n {
		gw := f.g[i] * w
		f.X[i] += gw * surprise
		for j := i; j < n; j++ {
			v := f.P[i*n+j] - gw*f.g[j]
			f.P[i*n+j], f.P[j*n+i] = v, v
		}
	}
}

// Absorb makes the combination h have the given mean and variance and carries
// the other states along as their covariance with it says. It is how a reading
// whose error is not Gaussian is folded in once the moments of its posterior are
// known; the variance may grow.
func (f *Filter) Absorb(h []Term, mean, variance float64) {
	surprise, was := f.gain(h, mean, 0)
	if was <= 0 {
		return
	}
	n := f.N
	w := (1 - variance/was) / was
	for i := range n {
		f.X[i] += f.g[i] * surprise / was
		for j := i; j < n; j++ {
			v := f.P[i*n+j] - w*f.g[i]*f.g[j]
			f.P[i*n+j], f.P[j*n+i] = v, v
		}
	}
}

// LogDensity is the natural logarithm of the normal density at distance d from
// the mean.
func LogDensity(d, variance float64) float64 {
	return -0.5 * (math.Log(2*math.Pi*variance) + d*d/variance)
}
