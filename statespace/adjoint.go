package statespace

// adjoint carries the vector l and the matrix L of Bierman's recursion backwards.
type adjoint struct {
	n, k    int
	l, L    []float64
	tmp, lt []float64
}

func newAdjoint(n, k int) adjoint {
	return adjoint{n: n, k: k,
		l: make([]float64, n), L: make([]float64, n*n),
		tmp: make([]float64, n*n), lt: make([]float64, n)}
}

// move applies l ← Fᵀl and L ← FᵀLF for the matrix whose first k rows are F
// and whose other rows are those of the identity.
func (a *adjoint) move(F []float64) {
	n, k := a.n, a.k
	clear(a.lt[:k])
	copy(a.lt[k:], a.l[k:])
	for i := range k {
		for j, v := range F[i*n : i*n+n] {
			a.lt[j] += v * a.l[i]
		}
	}
	copy(a.l, a.lt)
	for i := range n { // tmp = L·F
		row, out := a.L[i*n:i*n+n], a.tmp[i*n:i*n+n]
		clear(out[:k])
		copy(out[k:], row[k:])
		for m := range k {
			if row[m] == 0 {
				continue
			}
			for j, v := range F[m*n : m*n+n] {
				out[j] += row[m] * v
			}
		}
	}
	clear(a.L[:k*n]) // L = Fᵀ·tmp
	copy(a.L[k*n:], a.tmp[k*n:])
	for m := range k {
		row := a.tmp[m*n : m*n+n]
		for i, v := range F[m*n : m*n+n] {
			if v == 0 {
				continue
			}
			for j, w := range row {
				a.L[i*n+j] += v * w
			}
		}
	}
}

// observe applies l ← (I−gh')ᵀl − h·v/s and L ← (I−gh')ᵀL(I−gh') + hh'/s.
func (a *adjoint) observe(h []Term, g []float64, v, s float64) {
	n := a.n
	gl, gLg := 0.0, 0.0
	for i := range n {
		gl += g[i] * a.l[i]
		sum := 0.0
		for j, w := range a.L[i*n : i*n+n] {
			sum += w * g[j]
		}
		a.lt[i] = sum // L·g
		gLg += g[i] * sum
	}
	for _, t := range h {
		a.l[t.State] -= t.Coef * (gl + v/s)
	}
	for _, t := range h {
		for j := range n {
			a.L[t.State*n+j] -= t.Coef * a.lt[j]
			a.L[j*n+t.State] -= t.Coef * a.lt[j]
		}
	}
	for _, t := range h {
		for _, u := range h {
			a.L[t.State*n+u.State] += t.Coef * u.Coef * (gLg + 1/s)
		}
	}
}
