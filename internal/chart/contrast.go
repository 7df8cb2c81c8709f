package chart

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"time"
)

// Contrast is what a trial watched, with and without the change: the figures, what
// the model takes them to be without it, and what the change did.
type Contrast struct {
	Name     string // "settled waste, reading room minus prep room"
	Unit     string
	Decimals int
	Zone     *time.Location
	Today    time.Time // zero when the trial is over
	Spots    []Mark    // oldest first
	On       []Span    // when the change is on
	Settling []Span    // when figures count for nothing
	Without  []Plain   // fitted, oldest first
	// Effect and its interval, in Unit, or as a ratio; NaN while nothing is to be shown.
	Effect, Low, High float64
	Ratio             bool
	Matters           float64 // the least that would matter; 0 when not said
	Rise              bool    // a rise is hoped for
}

// Mark is one figure of a trial.
type Mark struct {
	At       time.Time
	Value    float64
	On       bool // the change was on
	Misread  bool
	Settling bool
	Open     bool // an interval that is not over: at least so much
}

// Plain is a figure at a moment.
type Plain struct {
	At    time.Time
	Value float64
}

// ContrastFigure is the picture over time for a phone and for a wide page, with its
// legend.
func ContrastFigure(c Contrast, id string) template.HTML {
	c = c.tidy()
	s := &pen{}
	s.add(`<figure class="chart still"><div class="chart-plot">`)
	c.draw(s, frame{width: 360, height: 240, em: 12}, Phone, id)
	c.draw(s, frame{width: 720, height: 270, em: 13}, Wide, id)
	s.add(`</div>`)
	c.legend(s)
	s.add(`</figure>`)
	return template.HTML(s.String())
}

func (c Contrast) tidy() Contrast {
	kept := c.Spots[:0:0]
	for _, m := range c.Spots {
		if finite(m.Value) {
			kept = append(kept, m)
		}
	}
	c.Spots = kept
	line := c.Without[:0:0]
	for _, p := range c.Without {
		if finite(p.Value) {
			line = append(line, p)
		}
	}
	c.Without = line
	return c
}

func (c Contrast) shown() bool { return finite(c.Effect, c.Low, c.High) && len(c.Without) > 0 }

// with is a figure under the change, for an effect.
func (c Contrast) with(without, effect float64) float64 {
	if c.Ratio {
		return without * effect
	}
	return without + effect
}

func (c Contrast) place(f frame) frame {
	core, wide := newRange(), newRange()
	for i, m := range c.Spots {
		core.add(m.Value)
		if i == 0 || m.At.Before(f.from) {
			f.from = m.At
		}
		if i == 0 || m.At.After(f.to) {
			f.to = m.At
		}
	}
	for _, s := range c.On {
		if f.from.IsZero() || s.From.Before(f.from) {
			f.from = s.From
		}
		if s.To.After(f.to) {
			f.to = s.To
		}
	}
	for _, p := range c.Without {
		core.add(p.Value)
		if c.shown() {
			core.add(c.with(p.Value, c.Effect))
			wide.add(c.with(p.Value, c.Low), c.with(p.Value, c.High))
		}
	}
	if !f.to.After(f.from) {
		f.to = f.from.Add(day)
	}
	pad := f.to.Sub(f.from) / 40
	f.from, f.to = f.from.Add(-pad), f.to.Add(pad)
	f.low, f.high = core.roomFor(wide, math.Pow(10, -float64(c.Decimals)))
	f.top, f.bottom = 3.2*f.em, f.height-stripHeight-2.9*f.em
	f.left, f.right = f.valueGutter()+8, f.width-8
	return f
}

func (c Contrast) draw(s *pen, room frame, shape Shape, id string) {
	f := c.place(room)
	key := html.EscapeString(id + "-" + shape.String())
	fmt.Fprintf(s, `<svg class="drawing contrast %s" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title %[4]s-desc">`, shape, coord(f.width), coord(f.height), key)
	fmt.Fprintf(s, `<title id="%s-title">%s</title><desc id="%[1]s-desc">%[3]s</desc>`, key, html.EscapeString(firstUp(c.Name)), html.EscapeString(c.describe()))
	c.stretches(s, f)
	f.grid(s, c.Unit)
	Picture{From: f.from, To: f.to, Zone: c.zone()}.calendar(s, f)
	c.lines(s, f)
	c.spots(s, f)
	if len(c.Spots) == 0 {
		s.label("nothing", "middle", (f.left+f.right)/2, (f.top+f.bottom)/2, "no figures yet")
	}
	if !c.Today.IsZero() && c.Today.Before(f.to) && c.Today.After(f.from) {
		s.line("today", f.x(c.Today), f.top, f.x(c.Today), f.bottom)
	}
	s.add(`</svg>`)
}

func (c Contrast) zone() *time.Location {
	if c.Zone == nil {
		return time.UTC
	}
	return c.Zone
}

// stretches are washes for the time with the change, paler where figures do not
// count.
func (c Contrast) stretches(s *pen, f frame) {
	for i, on := range c.On {
		a, b := f.x(on.From), f.x(on.To)
		if on.To.IsZero() {
			b = f.right
		}
		s.rectangle("stretch", a, f.top, b-a, f.bottom-f.top)
		s.line("turn", a, f.top-4, a, f.bottom)
		if i == 0 {
			anchor, at := "start", a+2
			if f.right-a < f.textWidth("with the change") {
				anchor, at = "end", b
			}
			s.label("turn-label", anchor, at, f.top-6, "with the change")
		}
	}
	for _, on := range c.Settling {
		a, b := f.x(on.From), f.x(on.To)
		s.rectangle("settling", a, f.top, b-a, f.bottom-f.top)
	}
}

// lines draw what it would have been, and what it came to with its doubt.
func (c Contrast) lines(s *pen, f frame) {
	if len(c.Without) == 0 {
		return
	}
	var without []point
	for _, p := range c.Without {
		without = append(without, point{f.x(p.At), f.y(p.Value)})
	}
	for _, on := range c.On {
		if !c.shown() {
			break
		}
		var high, low, line []point
		for _, p := range c.Without {
			if p.At.Before(on.From) || !on.To.IsZero() && p.At.After(on.To) {
				continue
			}
			x := f.x(p.At)
			high, low = append(high, point{x, f.y(c.with(p.Value, c.High))}), append(low, point{x, f.y(c.with(p.Value, c.Low))})
			line = append(line, point{x, f.y(c.with(p.Value, c.Effect))})
		}
		d := &path{}
		d.ribbon(high, low)
		s.path("ribbon", d)
		d = &path{}
		d.polyline(line)
		s.path("level", d)
	}
	d := &path{}
	d.polyline(without)
	s.path("middle", d)
}

func (c Contrast) spots(s *pen, f frame) {
	r := f.dotSize(len(c.Spots))
	for _, m := range c.Spots {
		x, y := f.x(m.At), f.y(m.Value)
		d := &path{}
		switch {
		case m.Misread:
			d.shape(x, y, rel("m", -r, -r)+rel("l", 2*r, 2*r)+rel("m", -2*r, 0)+rel("l", 2*r, -2*r))
			s.path("cross", d)
			continue
		case m.Open:
			d.shape(x, y, rel("m", -r, r)+rel("l", r, -2*r, r, 2*r))
			s.path("below", d)
			continue
		}
		d.shape(x, y, glyphOf(0, r))
		class := "dot hollow"
		if m.On && !m.Settling {
			class = "dot"
		}
		if m.Settling {
			class = "past"
		}
		s.path(class, d)
	}
}

func (c Contrast) legend(s *pen) {
	s.add(`<ul class="chart-legend">`)
	item := func(key, words string) {
		s.add(`<li><svg class="drawing key" viewBox="-9 -7 18 14" aria-hidden="true">`, key, `</svg>`, html.EscapeString(words), `</li>`)
	}
	mark := func(class string) string { return key(class, "M0 0"+glyphOf(0, fullDot)) }
	item(mark("dot hollow"), "without the change")
	item(mark("dot"), "with it")
	var misread, settling, open bool
	for _, m := range c.Spots {
		misread, settling, open = misread || m.Misread, settling || m.Settling && !m.Misread, open || m.Open
	}
	if settling {
		item(mark("past"), "settling, does not count")
	}
	if misread {
		item(key("cross", "M-3-3l6 6M-3 3l6-6"), "taken for a misread")
	}
	if open {
		item(key("below", "M-3 3l3-6 3 6"), "not over yet, at least so long")
	}
	if len(c.Without) > 0 {
		item(key("middle", "M-9 0h18"), "what it would be without")
	}
	if c.shown() {
		item(key("ribbon", "M-9-5h18v10h-18z")+key("level", "M-9 0h18"), "what it came to, 95 chances in 100")
	}
	s.add(`</ul>`)
}

// describe is the picture in a sentence or two.
func (c Contrast) describe() string {
	if len(c.Spots) == 0 {
		return "No figures yet."
	}
	with := 0
	for _, m := range c.Spots {
		if m.On && !m.Settling && !m.Misread {
			with++
		}
	}
	text := fmt.Sprintf("%d figures, %d of them with the change.", len(c.Spots), with)
	if c.shown() {
		text += fmt.Sprintf(" The change made %s, 95 chances in 100 between %s and %s.", c.effect(c.Effect), number(c.Low, c.Decimals), c.effect(c.High))
	}
	return text
}

func (c Contrast) effect(v float64) string {
	if c.Ratio {
		return number(v, 2) + " times"
	}
	return withUnit(number(v, c.Decimals), c.Unit)
}
