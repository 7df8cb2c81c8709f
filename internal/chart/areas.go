package chart

import (
	"math"
	"time"
)

// band draws the wash, its edges and the aim.
func (p Picture) band(s *pen, f frame) {
	low, high := p.Band.Low, p.Band.High
	if math.IsNaN(low) && math.IsNaN(high) {
		p.aim(s, f)
		return
	}
	top, bottom := f.top, f.bottom
	if !math.IsNaN(high) {
		top = f.y(high)
	}
	if !math.IsNaN(low) {
		bottom = f.y(low)
	}
	s.rectangle("band", f.left, top, f.right-f.left, bottom-top)
	edges := &path{}
	for _, v := range []float64{low, high} {
		if !math.IsNaN(v) {
			edges.move(f.left, f.y(v))
			edges.line(f.right, f.y(v))
		}
	}
	s.path("edge", edges)
	p.aim(s, f)
}

func (p Picture) aim(s *pen, f frame) {
	if !math.IsNaN(p.Band.Aim) {
		s.line("aim", f.left, f.y(p.Band.Aim), f.right, f.y(p.Band.Aim))
	}
}

// fan draws the forecast, widest step first, and its middle line.
func (p Picture) fan(s *pen, f frame) {
	if len(p.Fan) == 0 {
		return
	}
	step := func(class string, high, low func(Day) float64) {
		d := &path{}
		d.ribbon(edgeLine(p.fanLine(f, high), false), edgeLine(p.fanLine(f, low), true))
		s.path(class, d)
	}
	step("fan", func(d Day) float64 { return d.P95 }, func(d Day) float64 { return d.P05 })
	step("fan", func(d Day) float64 { return d.P90 }, func(d Day) float64 { return d.P10 })
	step("fan", func(d Day) float64 { return d.P75 }, func(d Day) float64 { return d.P25 })
	p.levelLine(s, f, "middle", thinLine(p.fanLine(f, func(d Day) float64 { return d.P50 })))
}

func (p Picture) fanLine(f frame, of func(Day) float64) []point {
	return f.points(len(p.Fan), func(i int) (time.Time, float64) { return p.Fan[i].At, of(p.Fan[i]) })
}

// ribbon draws the doubt of the smoothed level: nine chances in ten.
func (p Picture) ribbon(s *pen, f frame) {
	line := func(of func(Level) float64) []point {
		return f.points(len(p.Levels), func(i int) (time.Time, float64) { return p.Levels[i].At, of(p.Levels[i]) })
	}
	d := &path{}
	d.ribbon(edgeLine(line(Level.high), false), edgeLine(line(Level.low), true))
	s.path("ribbon", d)
}

// level draws the smoothed level.
func (p Picture) level(s *pen, f frame) {
	line := f.points(len(p.Levels), func(i int) (time.Time, float64) { return p.Levels[i].At, p.Levels[i].Mean })
	p.levelLine(s, f, "level", thinLine(line))
}

// levelLine draws a line, its parts outside the band apart.
func (p Picture) levelLine(s *pen, f frame, class string, line []point) {
	top, bottom := math.Inf(-1), math.Inf(1)
	if !math.IsNaN(p.Band.High) {
		top = f.y(p.Band.High)
	}
	if !math.IsNaN(p.Band.Low) {
		bottom = f.y(p.Band.Low)
	}
	inside, outside := split(line, top, bottom)
	s.path(class, inside)
	s.path(class+" out", outside)
}

// split cuts a line where it crosses the top or the bottom edge.
func split(line []point, top, bottom float64) (inside, outside *path) {
	inside, outside = &path{}, &path{}
	var last *path
	for i := 1; i < len(line); i++ {
		for _, piece := range pieces(line[i-1], line[i], top, bottom) {
			d := inside
			if middle := (piece[0].y + piece[1].y) / 2; middle < top || middle > bottom {
				d = outside
			}
			if d != last {
				d.move(piece[0].x, piece[0].y)
			}
			d.line(piece[1].x, piece[1].y)
			last = d
		}
	}
	return inside, outside
}

// pieces are the parts of a straight line between its crossings of the edges.
func pieces(a, b point, top, bottom float64) [][2]point {
	cuts := []float64{0}
	first, second := top, bottom
	if a.y > b.y {
		first, second = bottom, top
	}
	for _, edge := range []float64{first, second} {
		if w := (edge - a.y) / (b.y - a.y); w > 0 && w < 1 {
			cuts = append(cuts, w)
		}
	}
	cuts = append(cuts, 1)
	parts := make([][2]point, 0, 3)
	at := func(w float64) point { return point{a.x + w*(b.x-a.x), a.y + w*(b.y-a.y)} }
	for i := 1; i < len(cuts); i++ {
		parts = append(parts, [2]point{at(cuts[i-1]), at(cuts[i])})
	}
	return parts
}
