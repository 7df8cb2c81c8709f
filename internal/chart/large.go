package chart

import (
	"fmt"
	"html"
	"html/template"
	"strconv"
)

// Large is the full picture for a phone or a wide page. The id begins the ids
// of its parts and must be the only one of its kind on the page.
func Large(p Picture, shape Shape, id string) template.HTML {
	return template.HTML(p.tidy().large(shape, id))
}

func (p Picture) large(shape Shape, id string) string {
	f := newFrame(p, shape)
	s := &pen{}
	key := html.EscapeString(id + "-" + shape.String())
	fmt.Fprintf(s, `<svg class="drawing %s" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title %[4]s-desc"`,
		shape, coord(f.width), coord(f.height), key)
	fmt.Fprintf(s, ` data-plot="%s %s %s %s" data-axis="%s %s">`, coord(f.left), coord(f.top),
		coord(f.right-f.left), coord(f.bottom-f.top), plain(f.low), plain(f.high))
	fmt.Fprintf(s, `<title id="%s-title">%s</title>`, key, html.EscapeString(p.title()))
	fmt.Fprintf(s, `<desc id="%s-desc">%s</desc>`, key, html.EscapeString(p.describe()))
	p.band(s, f)
	f.grid(s, p.Unit)
	p.ribbon(s, f)
	p.fan(s, f)
	p.calendar(s, f)
	p.top(s, f)
	p.leaving(s, f)
	p.levelAndReadings(s, f)
	p.deeds(s, f)
	p.edgeLabels(s, f, shape)
	if len(p.Readings)+len(p.Levels)+len(p.Fan) == 0 {
		s.label("nothing", "middle", (f.left+f.right)/2, (f.top+f.bottom)/2, "nothing to draw in this span")
	}
	s.add(`</svg>`)
	return s.String()
}

// levelAndReadings puts the line under a few marks, and over a crowd of them.
func (p Picture) levelAndReadings(s *pen, f frame) {
	if f.dotSize(len(p.Readings)) == fullDot {
		p.level(s, f)
		p.readings(s, f)
		return
	}
	s.add(`<g class="many">`)
	p.readings(s, f)
	s.add(`</g>`)
	p.level(s, f)
}

// plain is a number as scripts read it.
func plain(v float64) string { return strconv.FormatFloat(v, 'g', 8, 64) }
