package chart

import (
	"fmt"
	"html"
	"html/template"
	"math"
)

// Saw is the course of a level under something done again and again: a slow way,
// and a step each time.
type Saw struct {
	Name     string // "magnesium, north window"
	Unit     string
	Decimals int
	Band     Band
	Teeth    []Tooth // oldest first; two at the moment of a step
	// After and Before are where it settles: right after a step, and right before
	// the next. NaN where it does not.
	After, Before float64
}

// Tooth is the level at a moment.
type Tooth struct{ Day, Mean, SD float64 }

// z90 spans nine chances in ten of a normal law.
const z90 = 1.6449

// SawFigure is the picture for a phone and for a wide page, with its legend.
func SawFigure(p Saw, id string) template.HTML {
	p = p.tidy()
	s := &pen{}
	s.add(`<figure class="chart still"><div class="chart-plot">`)
	p.draw(s, frame{width: 360, height: 220, em: 12}, Phone, id)
	p.draw(s, frame{width: 720, height: 250, em: 13}, Wide, id)
	s.add(`</div>`)
	p.legend(s)
	s.add(`</figure>`)
	return template.HTML(s.String())
}

// tidy leaves out what is no number.
func (p Saw) tidy() Saw {
	p.Band = p.Band.tidy()
	kept := p.Teeth[:0:0]
	for _, t := range p.Teeth {
		if finite(t.Day, t.Mean) {
			kept = append(kept, Tooth{t.Day, t.Mean, spread(t.SD)})
		}
	}
	p.Teeth = kept
	return p
}

func (p Saw) settles() bool { return finite(p.After, p.Before) }

func (p Saw) days() float64 {
	if len(p.Teeth) == 0 {
		return 1
	}
	return math.Max(p.Teeth[len(p.Teeth)-1].Day, 1)
}

// place settles the frame of a drawing.
func (p Saw) place(f frame, shape Shape) field {
	core, wide := newRange(), newRange()
	core.add(p.Band.Low, p.Band.Aim, p.Band.High)
	if p.settles() {
		core.add(p.After, p.Before)
	}
	for _, t := range p.Teeth {
		core.add(t.Mean)
		wide.add(t.Mean-z90*t.SD, t.Mean+z90*t.SD)
	}
	f.low, f.high = core.roomFor(wide, math.Pow(10, -float64(p.Decimals)))
	f.top, f.bottom = 2*f.em, f.height-2.9*f.em
	f.left = f.valueGutter() + 8
	f.right = f.width - 8 - f.edgeGutter(Picture{Band: p.Band, Decimals: p.Decimals}, shape)
	return field{frame: f, first: 0, last: p.days()}
}

func (p Saw) draw(s *pen, room frame, shape Shape, id string) {
	f := p.place(room, shape)
	key := html.EscapeString(id + "-" + shape.String())
	fmt.Fprintf(s, `<svg class="drawing saw %s" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title %[4]s-desc">`, shape, coord(f.width), coord(f.height), key)
	fmt.Fprintf(s, `<title id="%s-title">%s</title><desc id="%[1]s-desc">%[3]s</desc>`, key, html.EscapeString(firstUp(p.Name)), html.EscapeString(p.describe()))
	band := Picture{Band: p.Band, Decimals: p.Decimals, Unit: p.Unit}
	band.band(s, f.frame)
	f.grid(s, p.Unit)
	p.weeks(s, f)
	p.course(s, f, band)
	band.edgeLabels(s, f.frame, shape)
	s.add(`</svg>`)
}

// weeks writes the time axis: weeks from today.
func (p Saw) weeks(s *pen, f field) {
	s.line("axis", f.left, f.bottom, f.right, f.bottom)
	last := p.days() / 7
	ticks := &path{}
	for _, m := range valueTicks(0, last, int((f.right-f.left)/(4*f.em))) {
		if m.value != math.Round(m.value) {
			continue
		}
		x := f.across(m.value * 7)
		ticks.move(x, f.bottom)
		ticks.line(x, f.bottom+4)
		s.label("tick", "middle", x, f.bottom+4+.95*f.em, number(m.value, 0))
	}
	s.path("axis", ticks)
	s.label("unit", "start", f.left, f.bottom+4+2.15*f.em, "weeks from today")
}

// course draws the doubt, where it settles, and the level over both.
func (p Saw) course(s *pen, f field, band Picture) {
	var high, low, line []point
	for _, t := range p.Teeth {
		x, sd := f.across(t.Day), z90*t.SD
		high, low, line = append(high, point{x, f.y(t.Mean + sd)}), append(low, point{x, f.y(t.Mean - sd)}), append(line, point{x, f.y(t.Mean)})
	}
	d := &path{}
	d.ribbon(high, low)
	s.path("ribbon", d)
	if p.settles() {
		s.line("settled", f.left, f.y(p.After), f.right, f.y(p.After))
		s.line("settled", f.left, f.y(p.Before), f.right, f.y(p.Before))
	}
	band.levelLine(s, f.frame, "level", line)
}

func (p Saw) legend(s *pen) {
	s.add(`<ul class="chart-legend">`)
	item := func(key, words string) {
		s.add(`<li><svg class="drawing key" viewBox="-9 -7 18 14" aria-hidden="true">`, key, `</svg>`, html.EscapeString(words), `</li>`)
	}
	item(key("ribbon", "M-9-5h18v10h-18z")+key("level", "M-9 0h18"), "level, nine chances in ten")
	if p.settles() {
		item(key("settled", "M-9-3h18M-9 3h18"), "where it settles, after a change and before the next")
	}
	s.add(`</ul>`)
}

// describe is the picture in one sentence.
func (p Saw) describe() string {
	if len(p.Teeth) == 0 {
		return "Nothing to draw."
	}
	first, last := p.Teeth[0], p.Teeth[len(p.Teeth)-1]
	text := fmt.Sprintf("From %s to %s in %s weeks.", withUnit(number(first.Mean, p.Decimals), p.Unit), withUnit(number(last.Mean, p.Decimals), p.Unit), number(p.days()/7, 0))
	if p.settles() {
		text += fmt.Sprintf(" It settles between %s and %s.", number(math.Min(p.After, p.Before), p.Decimals), withUnit(number(math.Max(p.After, p.Before), p.Decimals), p.Unit))
	}
	return text
}
