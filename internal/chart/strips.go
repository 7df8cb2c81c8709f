package chart

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"time"
)

// Strips are several figures one under the other on one axis of time.
type Strips struct {
	Name     string // "food, nutrients and signs"
	Zone     *time.Location
	From, To time.Time
	Rows     []Strip
}

// Strip is one of them: a line with its doubt, dots, or bars from nothing.
type Strip struct {
	Name, Unit string
	Decimals   int
	Line       []Doubtful
	Dots       []Plain
	Steps      []Plain // a line without doubt
	Band       Band
	Ceiling    float64 // the scale reaches from 0 to it; 0 lets the figures decide
}

// Doubtful is a figure with its standard deviation at a moment.
type Doubtful struct {
	At       time.Time
	Mean, SD float64
}

// StripsFigure draws them for a phone and for a wide page.
func StripsFigure(p Strips, id string) template.HTML {
	s := &pen{}
	s.add(`<figure class="chart still"><div class="chart-plot">`)
	p.draw(s, frame{width: 360, em: 12}, Phone, id)
	p.draw(s, frame{width: 720, em: 13}, Wide, id)
	s.add(`</div></figure>`)
	return template.HTML(s.String())
}

const stripRoom = 62.0

func (p Strips) draw(s *pen, f frame, shape Shape, id string) {
	f.height = stripRoom*float64(len(p.Rows)) + stripHeight + 6 + 2.6*f.em
	key := html.EscapeString(id + "-" + shape.String())
	fmt.Fprintf(s, `<svg class="drawing strips %s" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title %[4]s-desc">`, shape, coord(f.width), coord(f.height), key)
	fmt.Fprintf(s, `<title id="%s-title">%s</title><desc id="%[1]s-desc">%[3]s</desc>`, key, html.EscapeString(firstUp(p.Name)), html.EscapeString(p.describe()))
	f.from, f.to = p.From, p.To
	f.left, f.right = 3.2*f.em, f.width-8
	for i, row := range p.Rows {
		f.top = stripRoom*float64(i) + 1.5*f.em
		f.bottom = f.top + stripRoom - 2*f.em
		row.draw(s, f, p)
	}
	Picture{From: f.from, To: f.to, Zone: p.zone()}.calendar(s, f)
	s.add(`</svg>`)
}

func (p Strips) zone() *time.Location {
	if p.Zone == nil {
		return time.UTC
	}
	return p.Zone
}

// scale is from nothing to the largest figure, or the ceiling.
func (row Strip) scale() (low, high float64) {
	if row.Ceiling > 0 {
		return 0, row.Ceiling
	}
	core, wide := newRange(), newRange()
	core.add(0)
	for _, d := range row.Line {
		core.add(d.Mean)
		wide.add(d.Mean+z90*d.SD, math.Max(d.Mean-z90*d.SD, 0))
	}
	for _, list := range [][]Plain{row.Dots, row.Steps} {
		for _, d := range list {
			core.add(d.Value)
		}
	}
	low, high = core.roomFor(wide, math.Pow(10, -float64(row.Decimals)))
	return math.Max(low, 0), high
}

func (row Strip) draw(s *pen, f frame, p Strips) {
	f.low, f.high = row.scale()
	one := Picture{Name: row.Name, Unit: row.Unit, Decimals: row.Decimals, Band: row.Band}
	if row.Band != (Band{}) {
		one.band(s, clipBand(one, &f))
	}
	name := firstUp(row.Name)
	if row.Unit != "" {
		name += ", " + row.Unit
	}
	s.label("context", "start", f.left, f.top-.35*f.em, name)
	for _, m := range valueTicks(f.low, f.high, 2) {
		s.line("grid", f.left, f.y(m.value), f.right, f.y(m.value))
		s.label("tick", "end", f.left-4, f.y(m.value)+.34*f.em, m.label)
	}
	s.line("axis", f.left, f.bottom, f.right, f.bottom)
	inside := func(at time.Time) bool { return !at.Before(p.From) && !at.After(p.To) }
	var high, low, line []point
	for _, d := range row.Line {
		if !inside(d.At) || !finite(d.Mean, d.SD) {
			continue
		}
		x := f.x(d.At)
		high, low = append(high, point{x, f.y(math.Min(d.Mean+z90*d.SD, f.high))}), append(low, point{x, f.y(math.Max(d.Mean-z90*d.SD, f.low))})
		line = append(line, point{x, f.y(math.Min(d.Mean, f.high))})
	}
	d := &path{}
	d.ribbon(high, low)
	s.path("ribbon", d)
	d = &path{}
	d.polyline(line)
	s.path("level", d)
	d = &path{}
	var steps []point
	for _, v := range row.Steps {
		if inside(v.At) && finite(v.Value) {
			steps = append(steps, point{f.x(v.At), f.y(math.Min(v.Value, f.high))})
		}
	}
	d.polyline(steps)
	s.path("level", d)
	row.dots(s, f, inside)
	if len(line)+len(steps)+len(row.Dots) == 0 {
		s.label("nothing", "middle", (f.left+f.right)/2, (f.top+f.bottom)/2+.3*f.em, "nothing in this span")
	}
}

func (row Strip) dots(s *pen, f frame, inside func(time.Time) bool) {
	r := math.Min(f.dotSize(len(row.Dots)), 3)
	for _, v := range row.Dots {
		if !inside(v.At) || !finite(v.Value) {
			continue
		}
		fmt.Fprintf(s, `<circle class="dot" cx="%s" cy="%s" r="%s"/>`, coord(f.x(v.At)), coord(f.y(math.Min(v.Value, f.high))), coord(r))
	}
}

// clipBand holds the band within the strip.
func clipBand(p Picture, f *frame) frame {
	g := *f
	if !math.IsNaN(p.Band.High) && p.Band.High > f.high {
		g.high = math.Max(g.high, p.Band.High)
		f.high = g.high
	}
	return g
}

func (p Strips) describe() string {
	text := ""
	for _, row := range p.Rows {
		first, last, n := row.ends()
		if text += firstUp(row.Name); n == 0 {
			text += ": nothing in this span. "
			continue
		}
		text += fmt.Sprintf(": from %s to %s. ", withUnit(number(first, row.Decimals), row.Unit), withUnit(number(last, row.Decimals), row.Unit))
	}
	return text
}

func (row Strip) ends() (first, last float64, n int) {
	var all []float64
	for _, d := range row.Line {
		all = append(all, d.Mean)
	}
	for _, list := range [][]Plain{row.Steps, row.Dots} {
		for _, d := range list {
			all = append(all, d.Value)
		}
	}
	if len(all) == 0 {
		return 0, 0, 0
	}
	return all[0], all[len(all)-1], len(all)
}
