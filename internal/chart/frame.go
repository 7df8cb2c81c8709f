package chart

import (
	"math"
	"time"
	"unicode/utf8"
)

// Shape is the page a large picture is drawn for.
type Shape int

// The shapes: a phone held upright, and anything wider than about 640 px.
const (
	Phone Shape = iota
	Wide
)

func (s Shape) String() string { return [...]string{"phone", "wide"}[s] }

// frame places values and times in a drawing.
type frame struct {
	width, height            float64
	left, right, top, bottom float64 // edges of the plot
	em                       float64 // the largest size of its labels
	from, to                 time.Time
	low, high                float64
}

// stripHeight is the room under the plot for the marks of deeds.
const stripHeight = 15

func newFrame(p Picture, shape Shape) frame {
	f := frame{width: 360, height: 300, em: 12, from: p.From, to: p.To}
	if shape == Wide {
		f.width, f.height, f.em = 880, 370, 14
	}
	f.low, f.high = p.reach()
	f.top = 2.4 * f.em
	f.bottom = f.height - stripHeight - 2.9*f.em
	f.left = f.valueGutter() + 8
	f.right = f.width - 8 - f.edgeGutter(p, shape)
	return f
}

// valueGutter is the room the longest label of the value axis takes.
func (f frame) valueGutter() float64 {
	widest := 2 * f.em
	for _, m := range f.valueTicks() {
		widest = math.Max(widest, f.textWidth(m.label))
	}
	return widest + 6
}

// edgeGutter is the room at the right for the figures of the band.
func (f frame) edgeGutter(p Picture, shape Shape) float64 {
	widest := 0.0
	for _, e := range p.edges(shape) {
		widest = math.Max(widest, f.textWidth(e.label))
	}
	return widest + 4
}

func (f frame) valueTicks() []mark {
	return valueTicks(f.low, f.high, int((f.height-100)/(3.2*f.em)))
}

// textWidth is a safe estimate of how wide a label is set.
func (f frame) textWidth(s string) float64 { return 0.58 * f.em * float64(utf8.RuneCountInString(s)) }

// x is the place of a moment, held within the plot.
func (f frame) x(t time.Time) float64 {
	w := share(f.from, f.to, t)
	return f.left + math.Min(math.Max(w, 0), 1)*(f.right-f.left)
}

// y is the place of a value, held within the plot.
func (f frame) y(v float64) float64 {
	w := (v - f.low) / (f.high - f.low)
	return f.bottom - math.Min(math.Max(w, 0), 1)*(f.bottom-f.top)
}

func (f frame) points(n int, at func(i int) (time.Time, float64)) []point {
	points := make([]point, n)
	for i := range points {
		t, v := at(i)
		points[i] = point{f.x(t), f.y(v)}
	}
	return points
}
