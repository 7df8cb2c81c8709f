package stats

import "math"

// Averager works out one coefficient of one design for many sets of figures: all
// that does not hang on the figures is done once.
type Averager struct {
	df, gap float64
	at      []prepared
	law     law
}

// prepared is a design at one correlation.
type prepared struct {
	phi     float64
	r       []float64 // correlation with the figure before
	scale   []float64 // that makes what is left of a figure one of unit spread
	basis   []float64 // whitened X made orthonormal, row by row
	pick    []float64 // the coefficient of the figures in that basis
	se      float64   // for a residual sum of squares of 1
	weight  float64   // what of its log weight does not hang on the figures
	columns int
}

// NewAverager prepares a design, whose figures do not matter. It fails as FitGLS
// does.
func NewAverager(d Design, coefficient int) (*Averager, error) {
	d.Y = make([]float64, len(d.T))
	a, err := prepare(d, coefficient)
	if err != nil {
		return nil, err
	}
	a.law = tableOf(a.df)
	return a, nil
}

func prepare(d Design, coefficient int) (*Averager, error) {
	w, err := newWork(d)
	if err != nil {
		return nil, err
	}
	a := &Averager{df: float64(w.n - w.p), gap: MedianGap(d.T), law: student{Sigma: 1, Nu: float64(w.n - w.p)}}
	for i := range correlated {
		phi := (float64(i) + 0.5) / correlated * strongest
		if p, ok := w.prepare(phi, a.gap, coefficient); ok {
			a.at = append(a.at, p)
		}
	}
	if len(a.at) == 0 {
		return nil, ErrSingular
	}
	return a, nil
}

func (w *work) prepare(phi, gap float64, coefficient int) (prepared, bool) {
	rate := -math.Log(phi) / gap
	correlation := func(g float64) float64 { return math.Exp(-g * rate) }
	s := w.solve(correlation)
	if !s.ok {
		return prepared{}, false
	}
	p := prepared{phi: phi, columns: w.p, r: make([]float64, w.n), scale: make([]float64, w.n), basis: make([]float64, w.n*w.p),
		pick: make([]float64, w.p), se: math.Sqrt(s.inv[coefficient*w.p+coefficient] / float64(w.n-w.p)),
		weight: -s.logR/2 - s.logXRX/2 + (priorA-1)*math.Log(phi) + (priorB-1)*math.Log(1-phi)}
	for i := range w.n {
		p.scale[i] = 1
		if i > 0 {
			p.r[i] = correlation(w.gaps[i])
			p.scale[i] = 1 / math.Sqrt(max(1-p.r[i]*p.r[i], closest))
		}
		for j := range w.p {
			for k := range j + 1 {
				x := w.rows[i][k]
				if i > 0 {
					x -= p.r[i] * w.rows[i-1][k]
				}
				p.basis[i*w.p+j] += s.half[j*w.p+k] * x * p.scale[i]
			}
		}
	}
	for j := range w.p {
		p.pick[j] = s.half[j*w.p+coefficient]
	}
	return p, true
}

// Of works the coefficient out for figures at the design's times.
func (a *Averager) Of(y []float64) Average {
	out := Average{DF: a.df, Gap: a.gap, parts: make([]part, len(a.at)), law: a.law}
	top := math.Inf(-1)
	for i := range a.at {
		p := &a.at[i]
		mean, rss := p.solve(y)
		score := p.weight - a.df/2*math.Log(max(rss, 1e-300))
		out.parts[i] = part{score, mean, p.se * math.Sqrt(rss), p.phi}
		top = max(top, score)
	}
	total := 0.0
	for i := range out.parts {
		out.parts[i].weight = math.Exp(out.parts[i].weight - top)
		total += out.parts[i].weight
	}
	for i := range out.parts {
		out.parts[i].weight /= total
		out.PhiMean += out.parts[i].weight * out.parts[i].phi
	}
	return out
}

// solve gives the coefficient and the residual sum of squares.
func (p *prepared) solve(y []float64) (mean, rss float64) {
	var z [most]float64
	c := p.columns
	before := 0.0
	for i, v := range y {
		white := (v - p.r[i]*before) * p.scale[i]
		before = v
		rss += white * white
		for j, q := range p.basis[i*c : i*c+c] {
			z[j] += q * white
		}
	}
	for j := range c {
		mean += p.pick[j] * z[j]
		rss -= z[j] * z[j]
	}
	return mean, max(rss, 0)
}
