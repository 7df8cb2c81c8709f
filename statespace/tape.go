package statespace

// Tape records a run of a filter forward, so that Back and Smooth can go back
// over it. Call its methods in place of the filter's own.
type Tape struct {
	F     *Filter
	steps []step
	terms []Term    // of the observed combinations, one after the other
	nums  []float64 // what the steps hold, one after the other
	marks int
}

type stepKind uint8

const (
	stepMove    stepKind = iota // K×N numbers: the matrix
	stepObserve                 // N+2 numbers: the gain, the surprise and its variance
	stepMark                    // N+N×N numbers: mean and covariance
)

type step struct {
	kind  stepKind
	terms uint8 // observe: how many
}

// NewTape records what happens to the filter from now on.
func NewTape(f *Filter) *Tape { return &Tape{F: f} }

// Reset begins anew with another filter and keeps the memory.
func (t *Tape) Reset(f *Filter) {
	t.F, t.marks = f, 0
	t.steps, t.terms, t.nums = t.steps[:0], t.terms[:0], t.nums[:0]
}

// Move is Filter.Move, recorded.
func (t *Tape) Move(F, c, q []float64) {
	t.steps = append(t.steps, step{kind: stepMove})
	t.nums = append(t.nums, F[:t.F.K*t.F.N]...)
	t.F.Move(F, c, q)
}

// Observe is Filter.Observe, recorded.
func (t *Tape) Observe(h []Term, y, r float64) (surprise, variance float64) {
	surprise, variance = t.F.gain(h, y, r)
	if variance <= 0 {
		return surprise, variance
	}
	t.steps = append(t.steps, step{kind: stepObserve, terms: uint8(len(h))})
	t.terms = append(t.terms, h...)
	for _, v := range t.F.g {
		t.nums = append(t.nums, v/variance)
	}
	t.nums = append(t.nums, surprise, variance)
	t.F.apply(surprise, 1/variance)
	return surprise, variance
}

// Mark asks for the smoothed belief at this moment and returns its number.
func (t *Tape) Mark() int {
	t.steps = append(t.steps, step{kind: stepMark})
	t.nums = append(append(t.nums, t.F.X...), t.F.P...)
	t.marks++
	return t.marks - 1
}

// Back goes back over the tape and shows the smoothed belief at each mark, the
// last one first. The belief is good until the visit ends.
func (t *Tape) Back(visit func(mark int, b *Smoothed)) {
	n, k := t.F.N, t.F.K
	b := &Smoothed{adjoint: newAdjoint(n, k), gain: make([]float64, n)}
	nums, terms, mark := t.nums, t.terms, t.marks
	pop := func(count int) []float64 {
		top := nums[len(nums)-count:]
		nums = nums[:len(nums)-count]
		return top
	}
	for i := len(t.steps) - 1; i >= 0; i-- {
		switch s := t.steps[i]; s.kind {
		case stepMove:
			b.move(pop(k * n))
		case stepObserve:
			at := len(terms) - int(s.terms)
			last := pop(n + 2)
			b.observe(terms[at:], last[:n], last[n], last[n+1])
			terms = terms[:at]
		case stepMark:
			top := pop(n + n*n)
			b.x, b.P = top[:n], top[n:]
			mark--
			visit(mark, b)
		}
	}
}

// Smooth returns the belief at each mark given everything on the tape.
func (t *Tape) Smooth() []*Filter {
	out := make([]*Filter, t.marks)
	t.Back(func(mark int, b *Smoothed) { out[mark] = b.filter() })
	return out
}

// Smoothed is the belief at a mark given everything on the tape: mean x − P·l and
// covariance P − P·L·P, of which only what is asked for is worked out.
type Smoothed struct {
	adjoint
	x, P, gain []float64
}

// Combine returns the mean and the variance of a combination of states.
func (b *Smoothed) Combine(h []Term) (mean, variance float64) {
	n := b.n
	clear(b.gain) // P·h
	for _, t := range h {
		mean += t.Coef * b.x[t.State]
		for j, p := range b.P[t.State*n : t.State*n+n] {
			b.gain[j] += t.Coef * p
		}
	}
	for _, t := range h {
		variance += t.Coef * b.gain[t.State]
	}
	for i, g := range b.gain {
		mean -= g * b.l[i]
		sum := 0.0
		for j, v := range b.L[i*n : i*n+n] {
			sum += v * b.gain[j]
		}
		variance -= g * sum
	}
	return mean, max(variance, 0)
}

func (b *Smoothed) filter() *Filter {
	n := b.n
	f := NewFilter(n, b.k)
	for i := range n {
		f.X[i] = b.x[i]
		for j := range n {
			f.X[i] -= b.P[i*n+j] * b.l[j]
			s := 0.0
			for m := range n {
				s += b.P[i*n+m] * b.L[m*n+j]
			}
			b.tmp[i*n+j] = s
		}
	}
	for i := range n {
		for j := range n {
			s := b.P[i*n+j]
			for m := range n {
				s -= b.tmp[i*n+m] * b.P[m*n+j]
			}
			f.P[i*n+j] = s
		}
	}
	return f
}
