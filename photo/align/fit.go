package align

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"

	"driftline/photo"
)

// sampled finds the homography most matches agree on to within some pixels, by trying
// fours of them, the likely ones first.
func sampled(ms []match, within float64, rng *rand.Rand) (best photo.Homography, score float64) {
	const tries = 3000
	if len(ms) < 4 {
		return photo.Same, 0
	}
	for try := range tries {
		pool := min(len(ms), 12+try*len(ms)/(tries/2))
		var from, to [4]photo.Point
		for i := range 4 {
			m := &ms[rng.IntN(pool)]
			from[i], to[i] = m.from, m.to
		}
		h, ok := photo.Through(from, to)
		if !ok || !plausible(&h, from) {
			continue
		}
		if s := agreement(&h, ms, within); s > score {
			best, score = h, s
			for range 2 { // around a good one a better one is near
				if r, _, ok := refit(&best, ms, within/2, 3); ok {
					if s := agreement(&r, ms, within); s > score {
						best, score = r, s
					}
				}
			}
		}
	}
	return best, score
}

// plausible refuses maps that turn the picture over or change its size much.
func plausible(h *photo.Homography, at [4]photo.Point) bool {
	for _, p := range at {
		w := h[6]*p.X + h[7]*p.Y + h[8]
		if w < 0.3 || w > 3 {
			return false
		}
		j := jacobian(h, p)
		det := j[0]*j[3] - j[1]*j[2]
		if det < 0.15 || det > 6 {
			return false
		}
	}
	return true
}

// jacobian is how a step in the frame moves the image of a point.
func jacobian(h *photo.Homography, p photo.Point) [4]float64 {
	w := h[6]*p.X + h[7]*p.Y + h[8]
	q := h.Map(p)
	return [4]float64{(h[0] - q.X*h[6]) / w, (h[1] - q.X*h[7]) / w, (h[3] - q.Y*h[6]) / w, (h[4] - q.Y*h[7]) / w}
}

func agreement(h *photo.Homography, ms []match, within float64) float64 {
	sum, t2 := 0.0, within*within
	for i := range ms {
		q := h.Map(ms[i].from)
		dx, dy := q.X-ms[i].to.X, q.Y-ms[i].to.Y
		if e := dx*dx + dy*dy; e < t2 {
			sum += ms[i].weight * (1 - e/t2)
		}
	}
	return sum
}

// fitted is what a fit says of itself.
type fitted struct {
	cov     *mat.SymDense // of the eight figures, in normalised coordinates
	norm    norm
	counts  float64 // sum of the weights of how well matches fit, 0 to 1 each
	scatter float64 // px, of a coordinate
}

// norm brings coordinates to about -1 to 1.
type norm struct{ cx, cy, s float64 }

func (n norm) in(p photo.Point) photo.Point {
	return photo.Point{X: (p.X - n.cx) / n.s, Y: (p.Y - n.cy) / n.s}
}

func (n norm) matrix() photo.Homography {
	return photo.Homography{1 / n.s, 0, -n.cx / n.s, 0, 1 / n.s, -n.cy / n.s, 0, 0, 1}
}

func normOf(ms []match) norm {
	var n norm
	for i := range ms {
		n.cx += ms[i].to.X
		n.cy += ms[i].to.Y
	}
	n.cx, n.cy = n.cx/float64(len(ms)), n.cy/float64(len(ms))
	for i := range ms {
		n.s = math.Max(n.s, math.Max(math.Abs(ms[i].to.X-n.cx), math.Abs(ms[i].to.Y-n.cy)))
	}
	n.s = math.Max(n.s, 1)
	return n
}

// refit makes a homography exact by weighing each match by how well it fits, after
// Geman & McClure: w = 1/(1+(e/scale)²)², by Gauss-Newton steps.
func refit(h *photo.Homography, ms []match, scale float64, steps int) (photo.Homography, *fitted, bool) {
	if len(ms) < 8 {
		return *h, nil, false
	}
	n := normOf(ms)
	in := n.matrix()
	out, err := in.Inverse()
	if err != nil {
		return *h, nil, false
	}
	cur := in.Times(h)
	cur = cur.Times(&out) // frame in the same normalised coordinates
	scale /= n.s
	var f fitted
	for range steps {
		var a [8][8]float64
		var b [8]float64
		f = fitted{norm: n}
		sum, squares := 0.0, 0.0
		for i := range ms {
			p, to := n.in(ms[i].from), n.in(ms[i].to)
			w := cur[6]*p.X + cur[7]*p.Y + 1
			q := cur.Map(p)
			ex, ey := to.X-q.X, to.Y-q.Y
			e2 := ex*ex + ey*ey
			k := 1 / (1 + e2/(scale*scale))
			k *= k
			f.counts += k
			k *= ms[i].weight
			sum += k
			squares += k * e2 / 2
			jx := [8]float64{p.X / w, p.Y / w, 1 / w, 0, 0, 0, -q.X * p.X / w, -q.X * p.Y / w}
			jy := [8]float64{0, 0, 0, p.X / w, p.Y / w, 1 / w, -q.Y * p.X / w, -q.Y * p.Y / w}
			for r := range 8 {
				b[r] += k * (jx[r]*ex + jy[r]*ey)
				for c := r; c < 8; c++ {
					a[r][c] += k * (jx[r]*jx[c] + jy[r]*jy[c])
				}
			}
		}
		step, cov, ok := solve8(&a, &b)
		if !ok || sum <= 0 {
			return *h, nil, false
		}
		for i := range 8 {
			cur[i] += step[i]
		}
		f.scatter = math.Sqrt(squares / sum)
		scaleSym(cov, f.scatter*f.scatter*sum/math.Max(f.counts, 1e-9))
		f.cov = cov
	}
	f.scatter *= n.s
	back := out.Times(&cur)
	back = back.Times(&in)
	if !finite(back[:]) {
		return *h, nil, false
	}
	return back, &f, true
}

func scaleSym(m *mat.SymDense, by float64) {
	n := m.SymmetricDim()
	for i := range n {
		for j := i; j < n; j++ {
			m.SetSym(i, j, m.At(i, j)*by)
		}
	}
}

func finite(v []float64) bool {
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

func solve8(a *[8][8]float64, b *[8]float64) (step [8]float64, cov *mat.SymDense, ok bool) {
	m := mat.NewSymDense(8, nil)
	for r := range 8 {
		for c := r; c < 8; c++ {
			m.SetSym(r, c, a[r][c])
		}
	}
	var ch mat.Cholesky
	if !ch.Factorize(m) {
		return step, nil, false
	}
	var x mat.VecDense
	if err := ch.SolveVecTo(&x, mat.NewVecDense(8, b[:])); err != nil {
		return step, nil, false
	}
	cov = mat.NewSymDense(8, nil)
	if err := ch.InverseTo(cov); err != nil {
		return step, nil, false
	}
	for i := range 8 {
		step[i] = x.AtVec(i)
	}
	return step, cov, true
}

// doubtAt is the standard deviation of the image of a point of the frame, px.
func (f *fitted) doubtAt(h *photo.Homography, p photo.Point) float64 {
	in := f.norm.matrix()
	out, err := in.Inverse()
	if err != nil {
		return math.Inf(1)
	}
	cur := in.Times(h)
	cur = cur.Times(&out)
	q := f.norm.in(p)
	w := cur[6]*q.X + cur[7]*q.Y + 1
	to := cur.Map(q)
	total := 0.0
	for _, j := range [2][8]float64{
		{q.X / w, q.Y / w, 1 / w, 0, 0, 0, -to.X * q.X / w, -to.X * q.Y / w},
		{0, 0, 0, q.X / w, q.Y / w, 1 / w, -to.Y * q.X / w, -to.Y * q.Y / w},
	} {
		v := mat.NewVecDense(8, j[:])
		total += mat.Inner(v, f.cov, v)
	}
	return math.Sqrt(total) * f.norm.s
}
