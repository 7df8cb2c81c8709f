package chart

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"strings"
)

// Steps is a flow from one level to another: what each part gave or took, in
// order. Start.Mean plus every Change.Mean is End.Mean.
type Steps struct {
	Name       string // "Magnesium, north window"
	Unit       string
	Decimals   int
	StartWords string // "level on 1 Jan"
	EndWords   string
	Start, End Doubted
	Parts      []Step
}

// Step is one part of a flow.
type Step struct {
	Words  string // "dose, magnesium chloride, 12 times"
	Change Doubted
}

const (
	stepsWidth = 360
	stepHeight = 34
)

// Draw is the flow as signed bars below each other, each beginning where the
// one before it ended, like the steps of a tide table.
func (s Steps) Draw() template.HTML {
	s = s.tidy()
	p := &pen{}
	height := float64(stepHeight*(len(s.Parts)+2) + 6)
	fmt.Fprintf(p, `<svg class="drawing steps" viewBox="0 0 %d %s" role="img" aria-label="%s">`,
		stepsWidth, coord(height), html.EscapeString(s.describe()))
	x := s.scale()
	s.links(p, x)
	s.level(p, x, 0, s.StartWords, s.Start)
	at := s.Start.Mean
	for i, part := range s.Parts {
		s.part(p, x, float64(stepHeight*(i+1)), at, part)
		at += part.Change.Mean
	}
	s.level(p, x, float64(stepHeight*(len(s.Parts)+1)), s.EndWords, s.End)
	p.add(`</svg>`)
	return template.HTML(p.String())
}

// links join the end of each bar to the start of the next.
func (s Steps) links(p *pen, x func(float64) float64) {
	at, links := s.Start.Mean, &path{}
	links.move(x(at), stepHeight-11)
	for i, part := range s.Parts {
		top := float64(stepHeight * (i + 1))
		links.line(x(at), top+20)
		at += part.Change.Mean
		links.move(x(at), top+26)
	}
	links.line(x(at), float64(stepHeight*(len(s.Parts)+1))+18)
	p.path("link", links)
}

func (s Steps) tidy() Steps {
	s.Decimals = min(max(s.Decimals, 0), 6)
	var parts []Step
	for _, part := range s.Parts {
		if finite(part.Change.Mean) {
			part.Change.SD = spread(part.Change.SD)
			parts = append(parts, part)
		}
	}
	s.Parts = parts
	for _, d := range []*Doubted{&s.Start, &s.End} {
		if !finite(d.Mean) {
			d.Mean = 0
		}
		d.SD = spread(d.SD)
	}
	return s
}

// scale places a level between the margins.
func (s Steps) scale() func(float64) float64 {
	r := newRange()
	at := s.Start.Mean
	r.add(at, s.End.Mean)
	for _, part := range s.Parts {
		at += part.Change.Mean
		r.add(at)
	}
	low, high := r.low, r.high
	if least := math.Max(math.Pow(10, -float64(s.Decimals)), 1e-9*math.Abs(high)); high-low < least {
		low, high = low-least, high+least
	}
	return func(v float64) float64 {
		w := (v - low) / (high - low)
		return 8 + math.Min(math.Max(w, 0), 1)*(stepsWidth-16)
	}
}

// level writes a row with the level itself.
func (s Steps) level(p *pen, x func(float64) float64, top float64, words string, d Doubted) {
	p.label("step-words", "start", 2, top+12, words)
	p.label("step-figure total", "end", stepsWidth-2, top+12, withUnit(plusMinus(d, s.Decimals), s.Unit))
	p.line("step-rule", 2, top+23, stepsWidth-2, top+23)
	mark := &path{}
	mark.shape(x(d.Mean), top+23, rel("m", 0, -5.5)+rel("l", 5, 5.5, -5, 5.5, -5, -5.5)+"z")
	p.path("step-level", mark)
}

// part writes a row with what one source gave or took.
func (s Steps) part(p *pen, x func(float64) float64, top, at float64, part Step) {
	p.label("step-words", "start", 2, top+14, part.Words)
	p.label("step-figure", "end", stepsWidth-2, top+14, s.change(part.Change))
	a, b := x(at), x(at+part.Change.Mean)
	class := "gave"
	if part.Change.Mean < 0 {
		class = "took"
	}
	p.rectangle(class, math.Min(a, b), top+20, math.Max(math.Abs(b-a), .6), 6)
	s.arrow(p, class, a, b, top+23)
}

// arrow shows the direction of a bar without its colour.
func (s Steps) arrow(p *pen, class string, a, b, y float64) {
	if math.Abs(b-a) < 5 {
		return
	}
	d := &path{}
	if b > a {
		d.shape(b, y, rel("m", 0, 0)+rel("l", -5, -6, 0, 12)+"z")
	} else {
		d.shape(b, y, rel("m", 0, 0)+rel("l", 5, -6, 0, 12)+"z")
	}
	p.path(class, d)
}

// change is a signed figure with its doubt.
func (s Steps) change(d Doubted) string {
	words := plusMinus(d, s.Decimals)
	if figure, _, _ := strings.Cut(words, " "); d.Mean > 0 && !isZero(figure) {
		return "+" + words
	}
	return words
}

func (s Steps) describe() string {
	words := s.Name
	if words != "" {
		words += ": "
	}
	words += s.StartWords + " " + withUnit(number(s.Start.Mean, s.Decimals), s.Unit)
	for _, part := range s.Parts {
		words += "; " + part.Words + " " + s.change(part.Change)
	}
	return words + "; " + s.EndWords + " " + withUnit(number(s.End.Mean, s.Decimals), s.Unit) + "."
}
