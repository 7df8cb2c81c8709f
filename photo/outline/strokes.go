package outline

import (
	"errors"
	"math"

	"driftline/photo"
)

const (
	strokeSide = 150  // cells across what strokes are judged in
	around     = 0.75 // of the strokes' own size, on each side of them
	likelier   = 0.35 // weight of what the colours say of a cell
	together   = 1.6  // cost of a border between two cells of the same colour
)

// ErrNoStroke says that nothing was marked as inside.
var ErrNoStroke = errors.New("no stroke inside; draw at least one across what is to be outlined")

// FromStrokes finds an outline from strokes drawn inside it and outside it, in pixels of
// the full picture, by a least cut through a graph of cells. Without strokes outside,
// the rim of the neighbourhood is taken for outside.
func FromStrokes(l *photo.Light, by float64, in, out [][]photo.Point) (Result, error) {
	var marks []photo.Point
	for _, s := range in {
		marks = append(marks, s...)
	}
	if len(marks) == 0 {
		return Result{}, ErrNoStroke
	}
	g := newCells(l, by, marks)
	inside, outside := g.mark(in), g.mark(out)
	if len(outside) < 20 {
		for i := range g.tints {
			if x, y := i%g.w, i/g.w; x == 0 || y == 0 || x == g.w-1 || y == g.h-1 {
				outside = append(outside, i)
			}
		}
	}
	side := g.cut(inside, outside)
	edge := trace(side, g.w, g.h, inside[0])
	if len(edge) < 8 {
		return Result{}, ErrTooSmall
	}
	rough := make([]photo.Point, len(edge))
	for i, p := range edge {
		rough[i] = photo.Point{X: g.lo.X + (p.X+0.5)*g.size, Y: g.lo.Y + (p.Y+0.5)*g.size}
	}
	n := max(len(rough)/4, 12)
	return Refine(l, by, even(rough, n), Options{})
}

// cells are a grid over the neighbourhood of strokes, in full pixels.
type cells struct {
	w, h  int
	lo    photo.Point
	size  float64
	tints []tint
}

func newCells(l *photo.Light, by float64, marks []photo.Point) *cells {
	lo, hi := photo.Bounds(marks)
	wide := math.Max(math.Max(hi.X-lo.X, hi.Y-lo.Y), 40*by)
	most := photo.Point{X: float64(l.W)*by - 1, Y: float64(l.H)*by - 1}
	lo = photo.Point{X: math.Max(lo.X-around*wide, 0), Y: math.Max(lo.Y-around*wide, 0)}
	hi = photo.Point{X: math.Min(hi.X+around*wide, most.X), Y: math.Min(hi.Y+around*wide, most.Y)}
	g := &cells{lo: lo, size: math.Max(math.Max(hi.X-lo.X, hi.Y-lo.Y)/strokeSide, by)}
	g.w, g.h = max(int((hi.X-lo.X)/g.size), 3), max(int((hi.Y-lo.Y)/g.size), 3)
	for y := range g.h {
		for x := range g.w {
			px, py := lo.X+(float64(x)+0.5)*g.size, lo.Y+(float64(y)+0.5)*g.size
			g.tints = append(g.tints, tintOf(near(l, (px+0.5)/by-0.5, (py+0.5)/by-0.5)))
		}
	}
	return g
}

// mark lists the cells under strokes.
func (g *cells) mark(strokes [][]photo.Point) []int {
	var out []int
	seen := map[int]bool{}
	put := func(p photo.Point) {
		x, y := int((p.X-g.lo.X)/g.size), int((p.Y-g.lo.Y)/g.size)
		if x < 0 || y < 0 || x >= g.w || y >= g.h || seen[y*g.w+x] {
			return
		}
		seen[y*g.w+x] = true
		out = append(out, y*g.w+x)
	}
	for _, s := range strokes {
		for i, p := range s {
			put(p)
			if i == 0 {
				continue
			}
			n := int(math.Hypot(p.X-s[i-1].X, p.Y-s[i-1].Y)/g.size) + 1
			for k := range n {
				w := float64(k) / float64(n)
				put(photo.Point{X: s[i-1].X + w*(p.X-s[i-1].X), Y: s[i-1].Y + w*(p.Y-s[i-1].Y)})
			}
		}
	}
	return out
}

// cut says of every cell whether it is inside.
func (g *cells) cut(inside, outside []int) []bool {
	pick := func(at []int) []tint {
		var out []tint
		for _, i := range at {
			out = append(out, g.tints[i])
		}
		return thin(out)
	}
	a, b := learn(pick(inside)), learn(pick(outside))
	scale := g.roughness()
	n := newNetwork(g.w, g.h)
	for i, v := range g.tints {
		odds := math.Max(-2*mostOdds, math.Min(2*mostOdds, a.log(v)-b.log(v)))
		n.excess[i] = likelier * odds
		x, y := i%g.w, i/g.w
		if x+1 < g.w {
			n.right[i] = together * math.Exp(-apart(v, g.tints[i+1])/scale)
		}
		if y+1 < g.h {
			n.down[i] = together * math.Exp(-apart(v, g.tints[i+g.w])/scale)
		}
	}
	const certain = 1e6
	for _, i := range outside {
		n.excess[i] = -certain
	}
	for _, i := range inside {
		n.excess[i] = certain
	}
	return n.cut()
}

func apart(a, b tint) float64 {
	d := 0.0
	for c := range 3 {
		d += (a[c] - b[c]) * (a[c] - b[c])
	}
	return d
}

// roughness is twice the mean square difference of neighbours.
func (g *cells) roughness() float64 {
	sum, n := 0.0, 0
	for i := range g.tints {
		if i%g.w+1 < g.w {
			sum += apart(g.tints[i], g.tints[i+1])
			n++
		}
	}
	return 2*sum/float64(max(n, 1)) + 1e-6
}

// trace walks around the cells that hang together with one, outer edge only (Moore's
// neighbourhood).
func trace(side []bool, w, h, from int) []photo.Point {
	in := connected(side, w, h, from)
	at := func(x, y int) bool { return x >= 0 && y >= 0 && x < w && y < h && in[y*w+x] }
	sx, sy := -1, -1
	for i, v := range in {
		if v {
			sx, sy = i%w, i/w
			break
		}
	}
	if sx < 0 {
		return nil
	}
	dirs := [8][2]int{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}}
	out := []photo.Point{{X: float64(sx), Y: float64(sy)}}
	x, y, d := sx, sy, 0
	for range 8 * w * h {
		found := false
		for k := range 8 {
			e := (d + 5 + k) % 8 // beginning behind to the left
			if nx, ny := x+dirs[e][0], y+dirs[e][1]; at(nx, ny) {
				x, y, d, found = nx, ny, e, true
				break
			}
		}
		if !found || x == sx && y == sy {
			break
		}
		out = append(out, photo.Point{X: float64(x), Y: float64(y)})
	}
	return out
}

func connected(side []bool, w, h, from int) []bool {
	in := make([]bool, len(side))
	if from < 0 || from >= len(side) || !side[from] {
		return in
	}
	in[from] = true
	for stack := []int{from}; len(stack) > 0; {
		i := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		x, y := i%w, i/w
		for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			nx, ny := x+d[0], y+d[1]
			if j := ny*w + nx; nx >= 0 && ny >= 0 && nx < w && ny < h && side[j] && !in[j] {
				in[j] = true
				stack = append(stack, j)
			}
		}
	}
	return in
}
