package chart

import (
	"html"
	"math"
	"strconv"
	"strings"
)

// pen writes SVG. It never writes a colour or a style, only classes.
type pen struct{ strings.Builder }

// add writes strings as they are.
func (p *pen) add(parts ...string) {
	for _, s := range parts {
		p.WriteString(s)
	}
}

func (p *pen) path(class string, d *path) {
	if len(d.b) > 0 {
		p.add(`<path class="`, class, `" d="`, string(d.b), `"/>`)
	}
}

// line draws one straight line, rectangle likewise.
func (p *pen) line(class string, x1, y1, x2, y2 float64) {
	d := &path{}
	d.move(x1, y1)
	d.line(x2, y2)
	p.path(class, d)
}

func (p *pen) rectangle(class string, x, y, w, h float64) {
	p.add(`<rect class="`, class, `" x="`, coord(x), `" y="`, coord(y), `" width="`, coord(w), `" height="`, coord(h), `"/>`)
}

// label writes text; the anchor is start, middle or end.
func (p *pen) label(class, anchor string, x, y float64, text string) {
	if anchor != "start" {
		class += " at-" + anchor
	}
	p.add(`<text class="`, class, `" x="`, coord(x), `" y="`, coord(y), `">`, html.EscapeString(text), `</text>`)
}

// tenths is a length in tenths of a unit, the fineness of every drawing.
func tenths(v float64) int { return int(math.Round(v * 10)) }

func coord(v float64) string { return string(appendTenths(nil, tenths(v))) }

func appendTenths(b []byte, n int) []byte {
	if n < 0 {
		b, n = append(b, '-'), -n
	}
	if n >= 10 || n == 0 {
		b = strconv.AppendInt(b, int64(n/10), 10)
	}
	if n%10 != 0 {
		b = append(b, '.', byte('0'+n%10))
	}
	return b
}

// path is the data of an SVG path: absolute moves, relative lines, in tenths,
// so that rounding never adds up along a line.
type path struct {
	b      []byte
	x, y   int
	inLine bool
}

func (p *path) move(x, y float64) {
	p.x, p.y, p.inLine = tenths(x), tenths(y), false
	p.b = append(p.b, 'M')
	p.b = appendTenths(p.b, p.x)
	p.b = append(p.b, ' ')
	p.b = appendTenths(p.b, p.y)
}

func (p *path) line(x, y float64) {
	dx, dy := tenths(x)-p.x, tenths(y)-p.y
	p.x, p.y = p.x+dx, p.y+dy
	if !p.inLine {
		p.b, p.inLine = append(p.b, 'l'), true
	} else if dx >= 0 {
		p.b = append(p.b, ' ')
	}
	p.b = appendTenths(p.b, dx)
	if dy >= 0 {
		p.b = append(p.b, ' ')
	}
	p.b = appendTenths(p.b, dy)
}

// shape adds a small figure given in relative commands, its start at x, y.
func (p *path) shape(x, y float64, relative string) {
	p.move(x, y)
	p.b = append(p.b, relative...)
}

func (p *path) close() { p.b, p.inLine = append(p.b, 'z'), false }

// point is a place in the drawing.
type point struct{ x, y float64 }

func (p *path) polyline(points []point) {
	for i, q := range points {
		if i == 0 {
			p.move(q.x, q.y)
		} else {
			p.line(q.x, q.y)
		}
	}
}

// ribbon is the area between two lines over the same stretch.
func (p *path) ribbon(upper, lower []point) {
	if len(upper) == 0 || len(lower) == 0 {
		return
	}
	p.polyline(upper)
	for i := len(lower) - 1; i >= 0; i-- {
		p.line(lower[i].x, lower[i].y)
	}
	p.close()
}
