package colour

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"

	"driftline/photo"
	"driftline/stats"
)

// Correction takes the light of a photograph to what it would have been under the
// light of the reference.
type Correction struct {
	Matrix [12]float64 // 3 by 4, row by row: light of the reference from that of the photograph and 1
	gains  *field      // smooth over the reference; nil when there is none
	Cells  int         // that it rests on
	// Doubt is how far the colour of a small place is off after the correction, one
	// standard deviation of each of L*, a*, b*, from the places that fit.
	Doubt Lab
}

// field is a gain for each channel on a coarse grid over the reference.
type field struct {
	w, h int
	by   float64 // full pixels of the reference to a cell
	log  [][3]float64
}

const (
	gridSide  = 160  // cells across the reference
	leastSeen = 200  // cells that must overlap
	dim       = 0.02 // light that is added before logarithms are taken: the dark is noise
	reach     = 0.05 // of the grid's side, standard deviation of the smoothing of the local gain
	trust     = 3.0  // of the matrix, in cells, against the local gain
)

// ErrNoOverlap says that two pictures share too little.
var ErrNoOverlap = errors.New("the pictures overlap in too small a part to compare their light")

// cell is a place of both pictures.
type cell struct {
	x, y     int
	from, to [3]float64
}

// Fit finds the correction of a photograph that lies over the reference by h, pixels of
// the full pictures; by is how many of these one pixel of the given light is wide, in
// each. What is judged later, such as a colony, is to be left out, in full pixels of the
// reference: its own change of colour must not be corrected away. Nil leaves nothing out.
func Fit(ref, frame *photo.Light, refBy, frameBy float64, h photo.Homography, out func(photo.Point) bool) (*Correction, error) {
	inv, err := h.Inverse()
	if err != nil {
		return nil, err
	}
	down := inv.Scaled(refBy, frameBy)
	size := math.Max(float64(max(ref.W, ref.H))/gridSide, 1)
	w, hh := int(float64(ref.W)/size), int(float64(ref.H)/size)
	var cells []cell
	for y := range hh {
		for x := range w {
			middle := photo.Point{X: (float64(x)+0.5)*size*refBy - 0.5, Y: (float64(y)+0.5)*size*refBy - 0.5}
			if out != nil && out(middle) {
				continue
			}
			if c, ok := newCell(ref, frame, &down, x, y, size); ok {
				cells = append(cells, c)
			}
		}
	}
	if len(cells) < leastSeen {
		return nil, ErrNoOverlap
	}
	c := &Correction{Cells: len(cells)}
	if c.Matrix, err = matrixOf(cells); err != nil {
		return nil, err
	}
	c.gains = c.local(cells, w, hh, size*refBy)
	c.doubt(cells)
	return c, nil
}

// doubt takes the middle size of what the correction leaves, which what changed in the
// scene does not move much.
func (c *Correction) doubt(cells []cell) {
	var l, a, b []float64
	for i := range cells {
		k := &cells[i]
		at := photo.Point{X: (float64(k.x)+0.5)*c.gains.by - 0.5, Y: (float64(k.y)+0.5)*c.gains.by - 0.5}
		p, q := FromLight(c.Apply(k.from, at)), FromLight(k.to)
		l, a, b = append(l, math.Abs(p.L-q.L)), append(a, math.Abs(p.A-q.A)), append(b, math.Abs(p.B-q.B))
	}
	const normal = 1.4826 // of a normal law: its deviation over the median of its sizes
	c.Doubt = Lab{normal * stats.Median(l), normal * stats.Median(a), normal * stats.Median(b)}
}

// leastPatches is how many patches of a card a matrix needs.
const leastPatches = 6

// ErrFewPatches says that a card shows too little.
var ErrFewPatches = errors.New("a card needs 6 patches that are neither black nor blown out; fewer were read")

// FromCard finds the correction that takes the light seen on the patches of a card to
// what they are known to be.
func FromCard(seen, known [][3]float64) (*Correction, error) {
	var cells []cell
	for i := range min(len(seen), len(known)) {
		bright, dark := false, true
		for k := range 3 {
			bright = bright || seen[i][k] > 0.93
			dark = dark && seen[i][k] < 0.002
		}
		if !bright && !dark {
			cells = append(cells, cell{from: seen[i], to: known[i]})
		}
	}
	if len(cells) < leastPatches {
		return nil, ErrFewPatches
	}
	m, err := matrixOf(cells)
	if err != nil {
		return nil, err
	}
	return &Correction{Matrix: m, Cells: len(cells)}, nil
}

// newCell averages both pictures over a cell; false where either is dark, bright or not there.
func newCell(ref, frame *photo.Light, down *photo.Homography, x, y int, size float64) (cell, bool) {
	const n = 4
	c := cell{x: x, y: y}
	for j := range n {
		for i := range n {
			px, py := (float64(x)+(float64(i)+0.5)/n)*size-0.5, (float64(y)+(float64(j)+0.5)/n)*size-0.5
			q := down.Map(photo.Point{X: px, Y: py})
			a, ok := frame.At(q.X, q.Y)
			b, also := ref.At(min(max(px, 0), float64(ref.W-1)), min(max(py, 0), float64(ref.H-1)))
			if !ok || !also {
				return c, false
			}
			for k := range 3 {
				c.from[k] += a[k] / (n * n)
				c.to[k] += b[k] / (n * n)
			}
		}
	}
	for k := range 3 {
		if c.from[k] > 0.93 || c.to[k] > 0.93 {
			return c, false
		}
	}
	return c, c.from[0]+c.from[1]+c.from[2] > 0.006 && c.to[0]+c.to[1]+c.to[2] > 0.006
}

// matrixOf fits the matrix, each cell weighed by how well it fits.
func matrixOf(cells []cell) ([12]float64, error) {
	m := gains(cells)
	for round := range 12 {
		scale := 0.35
		if round > 3 {
			scale = math.Max(1.5*spread(cells, &m), 0.04)
		}
		next, err := solve(cells, &m, scale)
		if err != nil {
			return m, err
		}
		m = next
	}
	return m, nil
}

// gains is the first guess: the middle ratio of each channel.
func gains(cells []cell) (m [12]float64) {
	for k := range 3 {
		var all []float64
		for i := range cells {
			all = append(all, math.Log((cells[i].to[k]+dim)/(cells[i].from[k]+dim)))
		}
		m[4*k+k] = math.Exp(stats.Median(all))
	}
	return m
}

func apply(m *[12]float64, v [3]float64) (out [3]float64) {
	for k := range 3 {
		out[k] = m[4*k]*v[0] + m[4*k+1]*v[1] + m[4*k+2]*v[2] + m[4*k+3]
	}
	return out
}

// miss is how far a cell is off, in logarithms of light.
func miss(c *cell, m *[12]float64) (d [3]float64, size float64) {
	v := apply(m, c.from)
	for k := range 3 {
		d[k] = math.Log(math.Max(c.to[k], 0)+dim) - math.Log(math.Max(v[k], 0)+dim)
		size += d[k] * d[k]
	}
	return d, math.Sqrt(size / 3)
}

func spread(cells []cell, m *[12]float64) float64 {
	all := make([]float64, len(cells))
	for i := range cells {
		_, all[i] = miss(&cells[i], m)
	}
	return stats.Median(all)
}

// leaning keeps the matrix near plain gains where the picture says little.
const leaning = 0.002

// solve fits the matrix by least squares weighed by the brightness each error shows at
// and by how well a cell fits (Geman & McClure).
func solve(cells []cell, m *[12]float64, scale float64) (out [12]float64, err error) {
	for k := range 3 {
		a, b := mat.NewSymDense(4, nil), mat.NewVecDense(4, nil)
		total := 0.0
		for i := range cells {
			c := &cells[i]
			_, size := miss(c, m)
			w := 1 / sq(1+sq(size/scale))
			w /= sq(c.to[k] + dim)
			total += w
			row := [4]float64{c.from[0], c.from[1], c.from[2], 1}
			for p := range 4 {
				b.SetVec(p, b.AtVec(p)+w*row[p]*c.to[k])
				for q := p; q < 4; q++ {
					a.SetSym(p, q, a.At(p, q)+w*row[p]*row[q])
				}
			}
		}
		for p := range 4 {
			lean := leaning * total * sq(dim+0.1)
			target := 0.0
			if p == k {
				target = m[4*k+k]
			}
			a.SetSym(p, p, a.At(p, p)+lean)
			b.SetVec(p, b.AtVec(p)+lean*target)
		}
		var ch mat.Cholesky
		var x mat.VecDense
		if !ch.Factorize(a) || ch.SolveVecTo(&x, b) != nil {
			return out, ErrNoOverlap
		}
		for p := range 4 {
			out[4*k+p] = x.AtVec(p)
		}
	}
	return out, nil
}

// local is what is left smoothly over the picture once the matrix is applied.
func (c *Correction) local(cells []cell, w, h int, by float64) *field {
	f := &field{w: w, h: h, by: by, log: make([][3]float64, w*h)}
	scale := math.Max(1.5*spread(cells, &c.Matrix), 0.04)
	misses := make([][3]float64, len(cells))
	for i := range cells {
		misses[i], _ = miss(&cells[i], &c.Matrix)
	}
	for range 4 {
		var sum [3][]float64
		for k := range 3 {
			sum[k] = make([]float64, w*h)
		}
		weight := make([]float64, w*h)
		for i := range cells {
			at := cells[i].y*w + cells[i].x
			size := 0.0
			for k := range 3 {
				size += sq(misses[i][k] - f.log[at][k])
			}
			v := 1 / sq(1+size/3/sq(scale))
			weight[at] = v
			for k := range 3 {
				sum[k][at] = v * misses[i][k]
			}
		}
		sigma := reach * float64(max(w, h))
		smooth(weight, w, h, sigma)
		own := trust / (2 * math.Pi * sigma * sigma)
		for k := range 3 {
			smooth(sum[k], w, h, sigma)
			for i := range f.log {
				f.log[i][k] = sum[k][i] / (weight[i] + own)
			}
		}
	}
	return f
}

// smooth spreads what stands in the cells, by a Gaussian; nothing comes in from outside.
func smooth(v []float64, w, h int, sigma float64) {
	r := int(3*sigma) + 1
	k := make([]float64, r+1)
	total := 0.0
	for i := range k {
		k[i] = math.Exp(-float64(i*i) / (2 * sigma * sigma))
		total += k[i]
		if i > 0 {
			total += k[i]
		}
	}
	line := make([]float64, max(w, h))
	pass := func(n, step, first int) {
		for i := range n {
			s := 0.0
			for d := -r; d <= r; d++ {
				if j := i + d; j >= 0 && j < n {
					s += k[max(d, -d)] * v[first+j*step]
				}
			}
			line[i] = s / total
		}
		for i := range n {
			v[first+i*step] = line[i]
		}
	}
	for y := range h {
		pass(w, 1, y*w)
	}
	for x := range w {
		pass(h, w, x)
	}
}

// Apply corrects light seen at a place of the reference, full pixels.
func (c *Correction) Apply(v [3]float64, at photo.Point) [3]float64 {
	out := apply(&c.Matrix, v)
	if c.gains != nil {
		g := c.gains.at(at)
		for k := range 3 {
			out[k] = (math.Max(out[k], 0)+dim)*math.Exp(g[k]) - dim
		}
	}
	for k := range 3 {
		out[k] = math.Max(out[k], 0)
	}
	return out
}

func (f *field) at(p photo.Point) (out [3]float64) {
	x, y := min(max((p.X+0.5)/f.by-0.5, 0), float64(f.w-1)), min(max((p.Y+0.5)/f.by-0.5, 0), float64(f.h-1))
	x0, y0 := min(int(x), f.w-2), min(int(y), f.h-2)
	fx, fy := x-float64(x0), y-float64(y0)
	for k := range 3 {
		a, b := f.log[y0*f.w+x0][k], f.log[y0*f.w+x0+1][k]
		d, e := f.log[(y0+1)*f.w+x0][k], f.log[(y0+1)*f.w+x0+1][k]
		out[k] = (a*(1-fx)+b*fx)*(1-fy) + (d*(1-fx)+e*fx)*fy
	}
	return out
}
