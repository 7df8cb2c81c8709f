package outline

import (
	"math"

	"driftline/photo"
)

// smooth lays a closed curve through the corners of a polygon (centripetal Catmull &
// Rom) and gives points on it at even distances: a hand that clicks corners means a
// curve, and straight chords between them cut off what bulges.
func smooth(p []photo.Point, n int) []photo.Point {
	const fine = 16
	var dense []photo.Point
	for i := range p {
		a, b, c, d := p[(i+len(p)-1)%len(p)], p[i], p[(i+1)%len(p)], p[(i+2)%len(p)]
		for k := range fine {
			dense = append(dense, between(a, b, c, d, float64(k)/fine))
		}
	}
	return even(dense, n)
}

// between is a point between b and c on a centripetal curve through four points.
func between(a, b, c, d photo.Point, u float64) photo.Point {
	knot := func(t float64, p, q photo.Point) float64 {
		return t + math.Max(math.Sqrt(math.Hypot(q.X-p.X, q.Y-p.Y)), 1e-6)
	}
	t0 := 0.0
	t1 := knot(t0, a, b)
	t2 := knot(t1, b, c)
	t3 := knot(t2, c, d)
	t := t1 + u*(t2-t1)
	mix := func(p, q photo.Point, from, to float64) photo.Point {
		w := (t - from) / (to - from)
		return photo.Point{X: p.X + w*(q.X-p.X), Y: p.Y + w*(q.Y-p.Y)}
	}
	a1, a2, a3 := mix(a, b, t0, t1), mix(b, c, t1, t2), mix(c, d, t2, t3)
	b1, b2 := mix(a1, a2, t0, t2), mix(a2, a3, t1, t3)
	return mix(b1, b2, t1, t2)
}

// even places n points at even distances along a closed line.
func even(p []photo.Point, n int) []photo.Point {
	total := length(p)
	out := make([]photo.Point, 0, n)
	step, at, next := total/float64(n), 0.0, 0.0
	for i := range p {
		a, b := p[i], p[(i+1)%len(p)]
		d := math.Hypot(b.X-a.X, b.Y-a.Y)
		for next < at+d-1e-12 && len(out) < n {
			w := (next - at) / d
			out = append(out, photo.Point{X: a.X + w*(b.X-a.X), Y: a.Y + w*(b.Y-a.Y)})
			next += step
		}
		at += d
	}
	for len(out) < n {
		out = append(out, p[len(p)-1])
	}
	return out
}

func length(p []photo.Point) float64 {
	sum := 0.0
	for i := range p {
		j := (i + 1) % len(p)
		sum += math.Hypot(p[j].X-p[i].X, p[j].Y-p[i].Y)
	}
	return sum
}

// normals point outwards at each point of a closed line.
func normals(p []photo.Point) []photo.Point {
	n := len(p)
	turn := 0.0
	for i := range p {
		j := (i + 1) % n
		turn += p[i].X*p[j].Y - p[j].X*p[i].Y
	}
	side := 1.0
	if turn < 0 {
		side = -1
	}
	out := make([]photo.Point, n)
	const reach = 2
	for i := range p {
		a, b := p[(i+n-reach)%n], p[(i+reach)%n]
		dx, dy := b.X-a.X, b.Y-a.Y
		d := math.Max(math.Hypot(dx, dy), 1e-9)
		out[i] = photo.Point{X: side * dy / d, Y: -side * dx / d}
	}
	return out
}
