package photo

import "math"

// Area is that of a polygon, by the shoelace formula.
func Area(p []Point) float64 {
	sum := 0.0
	for i := range p {
		j := (i + 1) % len(p)
		sum += p[i].X*p[j].Y - p[j].X*p[i].Y
	}
	return math.Abs(sum) / 2
}

// Bounds are the corners of the box around points.
func Bounds(p []Point) (lo, hi Point) {
	lo, hi = Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for _, q := range p {
		lo.X, lo.Y = math.Min(lo.X, q.X), math.Min(lo.Y, q.Y)
		hi.X, hi.Y = math.Max(hi.X, q.X), math.Max(hi.Y, q.Y)
	}
	return lo, hi
}

// Inside tells whether a point lies within a polygon.
func Inside(p []Point, q Point) bool {
	in := false
	for i, j := 0, len(p)-1; i < len(p); j, i = i, i+1 {
		if (p[i].Y > q.Y) != (p[j].Y > q.Y) && q.X < (p[j].X-p[i].X)*(q.Y-p[i].Y)/(p[j].Y-p[i].Y)+p[i].X {
			in = !in
		}
	}
	return in
}

// Moved maps every corner of a polygon.
func Moved(p []Point, h *Homography) []Point {
	out := make([]Point, len(p))
	for i := range p {
		out[i] = h.Map(p[i])
	}
	return out
}
