package chart

import (
	"fmt"
	"html"
	"html/template"
)

// size of the picture in a row
const (
	smallWidth  = 160
	smallHeight = 44
)

// Small is the picture for a row: band, level, fan and today, nothing else.
// Its words stand in aria-label.
func Small(p Picture) template.HTML {
	p = p.tidy()
	f := frame{width: smallWidth, height: smallHeight, left: 5, right: smallWidth - 5,
		top: 5, bottom: smallHeight - 7, em: 10, from: p.From, to: p.To}
	p.Readings = trusted(p.Readings)
	f.low, f.high = p.reach()
	s := &pen{}
	fmt.Fprintf(s, `<svg class="drawing small" viewBox="0 0 %d %d" width="%[1]d" height="%[2]d" preserveAspectRatio="xMinYMid" role="img" aria-label="%s">`,
		smallWidth, smallHeight, html.EscapeString(p.glance()))
	p.band(s, f)
	p.fan(s, f)
	if !p.Today.IsZero() {
		s.line("today", f.x(p.Today), 0, f.x(p.Today), smallHeight)
	}
	p.level(s, f)
	if len(p.Levels) == 0 {
		p.readings(s, f)
	}
	p.end(s, f)
	s.add(`</svg>`)
	return template.HTML(s.String())
}

// end is a dot where the level stands today.
func (p Picture) end(s *pen, f frame) {
	if n := len(p.Levels); n > 0 {
		d := &path{}
		d.shape(f.x(p.Levels[n-1].At), f.y(p.Levels[n-1].Mean), glyphOf(0, 2.4))
		s.path("end", d)
	}
}

func trusted(all []Reading) []Reading {
	var kept []Reading
	for _, r := range all {
		if !r.Misread {
			kept = append(kept, r)
		}
	}
	return kept
}
