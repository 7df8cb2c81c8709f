package outline

import (
	"errors"
	"math"

	"driftline/photo"
)

// Options say how a rough outline came about. The zero value is one drawn by hand.
type Options struct {
	// Carried is an outline of an earlier photograph, which what it is around may have
	// outgrown.
	Carried bool
}

// Result is an outline.
type Result struct {
	Polygon []photo.Point
	// Sure is how clearly the picture shows the edge, on average over it: 0 not at all, 1
	// clearly.
	Sure float64
}

// ErrTooSmall says that an outline is around too little.
var ErrTooSmall = errors.New("the outline is around fewer than 200 pixels of the working picture; nothing can be measured so small")

const (
	leastArea  = 200.0 // working pixels
	cutEvery   = 3.0   // working pixels along the outline
	stepAcross = 0.5   // working pixels across it
	mostOdds   = 2.5   // of one sample: a single colour says no more
	alike      = 0.14  // neighbouring samples say the same again
	edgeWeight = 1.5
	bend       = 0.9 // cost of a jump by one pixel from cut to cut
)

// Refine moves a rough outline to the edge that the picture shows. Coordinates are those
// of the full picture, of which one pixel of the light is by wide.
func Refine(l *photo.Light, by float64, rough []photo.Point, o Options) (Result, error) {
	if len(rough) < 3 {
		return Result{}, errors.New("an outline of fewer than 3 points; expected the corners of a polygon")
	}
	p := make([]photo.Point, len(rough))
	for i, q := range rough {
		p[i] = photo.Point{X: (q.X+0.5)/by - 0.5, Y: (q.Y+0.5)/by - 0.5}
	}
	area := photo.Area(p)
	if area < leastArea {
		return Result{}, ErrTooSmall
	}
	n := max(int(length(p)/cutEvery), 32)
	start := even(p, n)
	if !o.Carried {
		start = smooth(p, n)
	}
	radius := math.Sqrt(area / math.Pi)
	drawn := 1.6 + 0.012*radius // how far people draw beside an edge, one standard deviation: judgement
	if o.Carried {
		drawn = 2 + 0.035*radius
	}
	out, sure := moved(l, start, drawn, radius)
	if o.Carried { // what has grown is followed in two steps: the first finds the way
		out, sure = moved(l, even(out, n), drawn, radius)
	}
	for i, p := range out {
		out[i] = photo.Point{X: (p.X+0.5)*by - 0.5, Y: (p.Y+0.5)*by - 0.5}
	}
	return Result{Polygon: out, Sure: sure}, nil
}

// moved lays a line along the best path of the ribbon around it.
func moved(l *photo.Light, at []photo.Point, drawn, radius float64) ([]photo.Point, float64) {
	r := newRibbon(l, at, drawn, radius)
	path, sure := r.best()
	out := make([]photo.Point, len(at))
	for i := range out {
		d := r.offset(path[i])
		out[i] = photo.Point{X: at[i].X + d*r.normal[i].X, Y: at[i].Y + d*r.normal[i].Y}
	}
	return out, sure
}

// ribbon is the neighbourhood of an outline, cut across at each of its points.
type ribbon struct {
	at, normal []photo.Point
	half       int // samples to either side that the edge may lie at
	cost       [][]float64
	odds       float64 // mean size of what the colours say
}

func (r *ribbon) offset(k float64) float64 { return (k - float64(r.half)) * stepAcross }

func newRibbon(l *photo.Light, at []photo.Point, drawn, radius float64) *ribbon {
	r := &ribbon{at: at, normal: normals(at), half: int(math.Min(3.2*drawn, 0.6*radius) / stepAcross)}
	margin := int(math.Max(3, 0.12*radius) / stepAcross)
	tints := r.sample(l, r.half+margin)
	inside, outside := r.models(l, tints, margin, radius)
	r.cost = make([][]float64, len(at))
	for i := range at {
		r.cost[i] = r.cutCost(tints[i], margin, inside, outside, drawn)
	}
	return r
}

// sample reads the tints of all cuts, so many samples to either side.
func (r *ribbon) sample(l *photo.Light, reach int) [][]tint {
	out := make([][]tint, len(r.at))
	for i := range r.at {
		out[i] = make([]tint, 2*reach+1)
		for k := range out[i] {
			d := float64(k-reach) * stepAcross
			out[i][k] = tintOf(near(l, r.at[i].X+d*r.normal[i].X, r.at[i].Y+d*r.normal[i].Y))
		}
	}
	return out
}

// near is the light about a place, a little blurred.
func near(l *photo.Light, x, y float64) (v [3]float64) {
	for _, d := range [5][3]float64{{0, 0, 0.4}, {0.8, 0, 0.15}, {-0.8, 0, 0.15}, {0, 0.8, 0.15}, {0, -0.8, 0.15}} {
		px, py := min(max(x+d[0], 0), float64(l.W-1)), min(max(y+d[1], 0), float64(l.H-1))
		a, _ := l.At(px, py)
		for c := range 3 {
			v[c] += d[2] * a[c]
		}
	}
	return v
}

// models learn the colours of well inside and well outside.
func (r *ribbon) models(l *photo.Light, tints [][]tint, margin int, radius float64) (inside, outside *mixture) {
	var in, out []tint
	full := len(tints[0])
	skip := int(2 / stepAcross)
	middle := full / 2
	for i := range tints {
		for k := 0; k < middle-r.half/2-skip; k += 2 {
			in = append(in, tints[i][k])
		}
		for k := middle + r.half/2 + skip; k < full; k += 2 {
			out = append(out, tints[i][k])
		}
	}
	lo, hi := photo.Bounds(r.at)
	core := 0.2 * radius
	for y := lo.Y + core; y < hi.Y-core; y += math.Max(1, radius/24) {
		for x := lo.X + core; x < hi.X-core; x += math.Max(1, radius/24) {
			if photo.Inside(r.at, photo.Point{X: x, Y: y}) {
				in = append(in, tintOf(near(l, x, y)))
			}
		}
	}
	return learn(thin(in)), learn(thin(out))
}

// thin keeps at most so many.
func thin(all []tint) []tint {
	const most = 3000
	if len(all) <= most {
		return all
	}
	out := make([]tint, 0, most)
	for i := range most {
		out = append(out, all[i*len(all)/most])
	}
	return out
}

// cutCost is what it costs for the edge to lie at each place of a cut.
func (r *ribbon) cutCost(cut []tint, margin int, inside, outside *mixture, drawn float64) []float64 {
	odds := make([]float64, len(cut)) // for being inside
	for k, v := range cut {
		odds[k] = math.Max(-mostOdds, math.Min(mostOdds, inside.log(v)-outside.log(v)))
		r.odds += math.Abs(odds[k])
	}
	n := 2*r.half + 1
	cost := make([]float64, n)
	sum := 0.0
	for k := range n {
		sum -= alike * odds[margin+k] * stepAcross
		d := r.offset(float64(k))
		cost[k] = sum + d*d/(2*drawn*drawn) - edgeWeight*step(cut, margin+k)
	}
	return cost
}

// step is how much the colour changes across a place of a cut.
func step(cut []tint, k int) float64 {
	const reach = 4
	var d2 float64
	for c := range 3 {
		in, out := 0.0, 0.0
		for j := 1; j <= reach; j++ {
			in += cut[max(k-j, 0)][c]
			out += cut[min(k+j, len(cut)-1)][c]
		}
		d := (in - out) / reach
		d2 += d * d
	}
	return 2 * d2 / (d2 + 0.3)
}

// best is the closed path of least cost, in samples of each cut, found over two turns of
// which the middle counts.
func (r *ribbon) best() (path []float64, sure float64) {
	n, m := len(r.cost), 2*r.half+1
	turns := 2 * n
	from := make([][]int16, turns)
	last, next := append([]float64(nil), r.cost[0]...), make([]float64, m)
	const most = 6
	for i := 1; i < turns; i++ {
		from[i] = make([]int16, m)
		c := r.cost[i%n]
		for k := range m {
			best, at := math.Inf(1), 0
			for j := max(k-most, 0); j <= min(k+most, m-1); j++ {
				d := float64(k-j) * stepAcross
				if v := last[j] + bend*d*d; v < best {
					best, at = v, j
				}
			}
			next[k], from[i][k] = best+c[k], int16(at)
		}
		last, next = next, last
	}
	k := 0
	for j := range m {
		if last[j] < last[k] {
			k = j
		}
	}
	path = make([]float64, n)
	for i := turns - 1; i > 0; i-- {
		if i >= n/2 && i < n/2+n {
			path[i%n] = float64(k)
		}
		k = int(from[i][k])
	}
	for i := range path {
		path[i] = settle(r.cost[i], path[i])
	}
	return path, r.sure(path)
}

// settle moves a place to where a parabola through its neighbours is least.
func settle(cost []float64, at float64) float64 {
	k := int(at)
	if k <= 0 || k >= len(cost)-1 {
		return at
	}
	a, b, c := cost[k-1], cost[k], cost[k+1]
	if bend := a - 2*b + c; bend > 1e-9 {
		return at + math.Max(-0.5, math.Min(0.5, (a-c)/(2*bend)))
	}
	return at
}

// sure is how much dearer it is, on average, to lie two pixels beside the path.
func (r *ribbon) sure(path []float64) float64 {
	beside := int(2 / stepAcross)
	sum := 0.0
	for i, k := range path {
		c, j := r.cost[i], int(k)
		sum += math.Min(c[max(j-beside, 0)], c[min(j+beside, len(c)-1)]) - c[j]
	}
	return 1 - math.Exp(-math.Max(sum/float64(len(path)), 0))
}
