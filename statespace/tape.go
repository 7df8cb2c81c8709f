package statespace

// Tape records a run of a filter forward, so that Smooth can go back over it.
// Call its methods in place of the filter's own.
type Tape struct {
	F     *Filter
	steps []step
	marks int
}

type stepKind uint8

const (
	stepMove stepKind = iota
	stepObserve
	stepMark
)

type step struct {
	kind stepKind
	F    []float64 // move: the K×N matrix
	h    []Term    // observe
	g    []float64 // observe: gain; mark: mean
	P    []float64 // mark: covariance
	v, s float64   // observe: surprise and its variance
}

// NewTape records what happens to the filter from now on.
func NewTape(f *Filter) *Tape { return &Tape{F: f} }

// Move is Filter.Move, recorded.
func (t *Tape) Move(F, c, q []float64) {
	t.steps = append(t.steps, step{kind: stepMove, F: append([]float64(nil), F...)})
	t.F.Move(F, c, q)
}

// Observe is Filter.Observe, recorded.
func (t *Tape) Observe(h []Term, y, r float64) (surprise, variance float64) {
	surprise, variance = t.F.gain(h, y, r)
	if variance <= 0 {
		return surprise, variance
	}
	g := make([]float64, t.F.N)
	for i, v := range t.F.g {
		g[i] = v / variance
	}
	t.steps = append(t.steps, step{kind: stepObserve, h: append([]Term(nil), h...), g: g, v: surprise, s: variance})
	t.F.apply(surprise, 1/variance)
	return surprise, variance
}

// Mark asks for the smoothed belief at this moment and returns its number.
func (t *Tape) Mark() int {
	t.steps = append(t.steps, step{
		kind: stepMark,
		g:    append([]float64(nil), t.F.X...),
		P:    append([]float64(nil), t.F.P...),
	})
	t.marks++
	return t.marks - 1
}

// Smooth returns the belief at each mark given everything on the tape.
func (t *Tape) Smooth() []*Filter {
	out := make([]*Filter, t.marks)
	a := newAdjoint(t.F.N, t.F.K)
	next := t.marks - 1
	for i := len(t.steps) - 1; i >= 0; i-- {
		s := &t.steps[i]
		switch s.kind {
		case stepMove:
			a.move(s.F)
		case stepObserve:
			a.observe(s.h, s.g, s.v, s.s)
		case stepMark:
			out[next] = a.smoothed(s.g, s.P)
			next--
		}
	}
	return out
}

// adjoint carries the vector l and the matrix L of Bierman's recursion backwards.
type adjoint struct {
	n, k    int
	l, L    []float64
	tmp, lt []float64
}

func newAdjoint(n, k int) *adjoint {
	return &adjoint{n: n, k: k,
		l: make([]float64, n), L: make([]float64, n*n),
		tmp: make([]float64, n*n), lt: make([]float64, n)}
}

// move applies l ← Fᵀl and L ← FᵀLF for the matrix whose first k rows are F
// and whose other rows are those of the identity.
func (a *adjoint) move(F []float64) {
	n, k := a.n, a.k
	at := func(i, j int) float64 {
		if i < k {
			return F[i*n+j]
		}
		if i == j {
			return 1
		}
		return 0
	}
	for j := range n {
		s := 0.0
		for i := range n {
			s += at(i, j) * a.l[i]
		}
		a.lt[j] = s
	}
	copy(a.l, a.lt)
	for i := range n { // tmp = L·F
		for j := range n {
			s := 0.0
			for m := range k {
				s += a.L[i*n+m] * F[m*n+j]
			}
			if j >= k {
				s += a.L[i*n+j]
			}
			a.tmp[i*n+j] = s
		}
	}
	for i := range n { // L = Fᵀ·tmp
		for j := range n {
			s := 0.0
			for m := range k {
				s += F[m*n+i] * a.tmp[m*n+j]
			}
			if i >= k {
				s += a.tmp[i*n+j]
			}
			a.L[i*n+j] = s
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
		for j := range n {
			sum += a.L[i*n+j] * g[j]
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

// smoothed is x − P·l with covariance P − P·L·P.
func (a *adjoint) smoothed(x, P []float64) *Filter {
	n := a.n
	f := NewFilter(n, a.k)
	for i := range n {
		f.X[i] = x[i]
		for j := range n {
			f.X[i] -= P[i*n+j] * a.l[j]
			s := 0.0
			for m := range n {
				s += P[i*n+m] * a.L[m*n+j]
			}
			a.tmp[i*n+j] = s
		}
	}
	for i := range n {
		for j := range n {
			s := P[i*n+j]
			for m := range n {
				s -= a.tmp[i*n+m] * P[m*n+j]
			}
			f.P[i*n+j] = s
		}
	}
	return f
}
