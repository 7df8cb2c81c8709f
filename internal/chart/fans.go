package chart

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"time"
)

// Fans is one quantity under several plans, each a panel of its own on one scale.
type Fans struct {
	Name     string // "alkalinity"
	Unit     string
	Decimals int
	Zone     *time.Location
	Band     Band
	Panels   []Panel
}

// Panel is the quantity under one plan.
type Panel struct {
	Plan string
	Days []Day // P10 and P90 are not drawn
	Says string
}

// FanPanels draws each panel by itself, for the page to set side by side.
func FanPanels(f Fans, id string) []template.HTML {
	low, high := f.scale()
	out := make([]template.HTML, len(f.Panels))
	for i := range f.Panels {
		s := &pen{}
		f.panel(s, i, low, high, fmt.Sprintf("%s-%d", id, i))
		out[i] = template.HTML(s.String())
	}
	return out
}

// scale is one for all panels: the band and the fans' middle halves whole, the rest
// as far as there is room.
func (f Fans) scale() (low, high float64) {
	core, wide := newRange(), newRange()
	band := f.Band.tidy()
	core.add(band.Low, band.Aim, band.High)
	for _, p := range f.Panels {
		for _, d := range p.Days {
			core.add(d.P25, d.P50, d.P75)
			wide.add(d.P05, d.P95)
		}
	}
	return core.roomFor(wide, math.Pow(10, -float64(f.Decimals)))
}

func (f Fans) panel(s *pen, i int, low, high float64, id string) {
	p := f.Panels[i]
	g := frame{width: 260, height: 150, em: 12, low: low, high: high}
	g.top, g.bottom = 8, g.height-2.1*g.em
	widest := 2 * g.em
	for _, m := range valueTicks(low, high, 4) {
		widest = math.Max(widest, g.textWidth(m.label))
	}
	g.left, g.right = widest+8, g.width-4
	if n := len(p.Days); n > 0 {
		g.from, g.to = p.Days[0].At, p.Days[n-1].At
	}
	one := Picture{Name: f.Name, Unit: f.Unit, Decimals: f.Decimals, Band: f.Band.tidy(), Fan: p.Days, From: g.from, To: g.to, Zone: f.Zone}
	key := html.EscapeString(id)
	fmt.Fprintf(s, `<svg class="drawing panel" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title %[3]s-desc">`, coord(g.width), coord(g.height), key)
	fmt.Fprintf(s, `<title id="%s-title">%s</title><desc id="%[1]s-desc">%[3]s</desc>`, key, html.EscapeString(firstUp(f.Name)+", "+p.Plan), html.EscapeString(p.Says))
	one.band(s, g)
	for _, m := range valueTicks(low, high, 4) {
		s.line("grid", g.left, g.y(m.value), g.right, g.y(m.value))
		s.label("tick", "end", g.left-4, g.y(m.value)+.34*g.em, m.label)
	}
	one.panelFan(s, g)
	s.line("axis", g.left, g.bottom, g.right, g.bottom)
	if f.Zone != nil && len(p.Days) > 0 {
		s.label("tick", "start", g.left, g.bottom+1.2*g.em, g.from.In(f.Zone).Format("2 Jan"))
		s.label("tick", "end", g.right, g.bottom+1.2*g.em, g.to.In(f.Zone).Format("2 Jan"))
	}
	s.add(`</svg>`)
}

// panelFan is the fan of nine chances in ten, of one in two, and the middle.
func (p Picture) panelFan(s *pen, g frame) {
	step := func(high, low func(Day) float64) {
		d := &path{}
		d.ribbon(edgeLine(p.fanLine(g, high), false), edgeLine(p.fanLine(g, low), true))
		s.path("fan", d)
	}
	step(func(d Day) float64 { return d.P95 }, func(d Day) float64 { return d.P05 })
	step(func(d Day) float64 { return d.P75 }, func(d Day) float64 { return d.P25 })
	p.levelLine(s, g, "middle", thinLine(p.fanLine(g, func(d Day) float64 { return d.P50 })))
}
