package chart

import (
	"fmt"
	"html"
	"html/template"
	"math"
)

// SwayFigure is the answer of a trial on a line: what would not matter as a wash
// around no effect, the effect with its interval, the hoped way to the right.
func SwayFigure(c Contrast, id string) template.HTML {
	if !finite(c.Effect, c.Low, c.High) {
		return ""
	}
	s := &pen{}
	s.add(`<figure class="chart still"><div class="chart-plot">`)
	c.sway(s, 360, 12, Phone, id)
	c.sway(s, 720, 13, Wide, id)
	s.add(`</div></figure>`)
	return template.HTML(s.String())
}

// SwaySmall is the same for a row of a list.
func SwaySmall(c Contrast) template.HTML {
	if !finite(c.Effect, c.Low, c.High) {
		return ""
	}
	s := &pen{}
	l := c.scaleOf(6, 154)
	s.add(`<svg class="drawing small sway" viewBox="0 0 160 44" role="img" aria-label="`, html.EscapeString(c.swayWords()), `">`)
	c.swayMarks(s, l, 8, 36, 3)
	s.add(`</svg>`)
	return template.HTML(s.String())
}

// swayScale places effects on a line, the hoped way to the right; ratios by their
// logarithm.
type swayScale struct {
	left, right float64
	reach       float64
	flip, ratio bool
}

func (c Contrast) scaleOf(left, right float64) swayScale {
	l := swayScale{left: left, right: right, flip: !c.Rise, ratio: c.Ratio}
	for _, v := range []float64{c.Effect, c.Low, c.High} {
		l.reach = math.Max(l.reach, math.Abs(l.of(v)))
	}
	l.reach = math.Max(l.reach, 1.5*math.Abs(l.of(c.least())))
	if l.reach == 0 {
		l.reach = 1
	}
	l.reach *= 1.08
	return l
}

// least is the difference that matters on the side of a rise.
func (c Contrast) least() float64 {
	if c.Matters > 0 {
		return c.Matters
	}
	if c.Ratio {
		return 1
	}
	return 0
}

func (l swayScale) of(v float64) float64 {
	if l.ratio {
		v = math.Log(math.Max(v, 1e-9))
	}
	if l.flip {
		return -v
	}
	return v
}

func (l swayScale) back(w float64) float64 {
	if l.flip {
		w = -w
	}
	if l.ratio {
		return math.Exp(w)
	}
	return w
}

func (l swayScale) x(v float64) float64 { return l.at(l.of(v)) }

func (l swayScale) at(w float64) float64 {
	return l.left + (w/l.reach+1)/2*(l.right-l.left)
}

func (c Contrast) swayMarks(s *pen, l swayScale, top, bottom, r float64) {
	if c.Matters > 0 {
		a, b := l.at(-math.Abs(l.of(c.Matters))), l.at(math.Abs(l.of(c.Matters)))
		s.rectangle("band", a, top, b-a, bottom-top)
	}
	s.line("axis", l.at(0), top-2, l.at(0), bottom+2)
	middle := (top + bottom) / 2
	a, b := l.x(c.Low), l.x(c.High)
	s.line("level", a, middle, b, middle)
	s.line("level", a, middle-r-1, a, middle+r+1)
	s.line("level", b, middle-r-1, b, middle+r+1)
	d := &path{}
	d.shape(l.x(c.Effect), middle, glyphOf(0, r+1))
	s.path("dot", d)
}

func (c Contrast) sway(s *pen, width, em float64, shape Shape, id string) {
	height := 8.4 * em
	l := c.scaleOf(12, width-12)
	key := html.EscapeString(id + "-" + shape.String())
	fmt.Fprintf(s, `<svg class="drawing sway %s" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title">`, shape, coord(width), coord(height), key)
	fmt.Fprintf(s, `<title id="%s-title">%s</title>`, key, html.EscapeString(firstUp(c.swayWords())))
	top, bottom := 2.2*em, 5*em
	c.swayMarks(s, l, top, bottom, 3.5)
	s.label("unit", "start", 4, em+2, "the other way")
	s.label("unit", "end", width-4, em+2, "the hoped way")
	s.line("axis", l.left, bottom+2, l.right, bottom+2)
	c.swayTicks(s, l, bottom+2, em)
	if c.Matters > 0 {
		s.label("tick", "middle", l.at(0), bottom+3.1*em, "would not matter")
	}
	s.add(`</svg>`)
}

func (c Contrast) swayTicks(s *pen, l swayScale, y, em float64) {
	for _, v := range []float64{-.75, 0, .75} {
		w := v * l.reach
		x := l.at(w)
		s.line("axis", x, y, x, y+4)
		label := signed(l.back(w), c.Decimals)
		if c.Ratio {
			label = number(l.back(w), 2)
		}
		if v == 0 {
			label = "no effect"
		}
		s.label("tick", "middle", x, y+4+.95*em, withUnit(label, map[bool]string{true: c.swayUnit()}[v != 0]))
	}
}

func (c Contrast) swayUnit() string {
	if c.Ratio {
		return "times"
	}
	return c.Unit
}

func signed(v float64, decimals int) string {
	if v > 0 {
		return "+" + number(v, decimals)
	}
	return number(v, decimals)
}

func (c Contrast) swayWords() string {
	return fmt.Sprintf("effect %s, 95 chances in 100 between %s and %s", c.effect(c.Effect), number(c.Low, c.Decimals), c.effect(c.High))
}
