package chart

import (
	"fmt"
	"html"
	"html/template"
	"math"
)

// Flows is what comes in and where it goes, as ribbons whose widths are to scale.
type Flows struct {
	Name string // "nitrogen"
	Unit string // "g a day"
	In   []Stream
	Out  []Stream
}

// Stream is one way in or out. A negative amount goes the other way and is drawn
// on the other side.
type Stream struct {
	Name   string
	Amount float64
	Words  string // the amount with its doubt
	Open   bool   // not known by itself: what is left over
}

// FlowsFigure draws it for a phone and for a wide page.
func FlowsFigure(f Flows, id string) template.HTML {
	f = f.tidy()
	s := &pen{}
	s.add(`<figure class="chart still"><div class="chart-plot">`)
	f.draw(s, 360, 12, Phone, id)
	f.draw(s, 720, 13, Wide, id)
	s.add(`</div></figure>`)
	return template.HTML(s.String())
}

// tidy puts negative streams on the other side and leaves out what is nothing.
func (f Flows) tidy() Flows {
	out := Flows{Name: f.Name, Unit: f.Unit}
	place := func(s Stream, in bool) {
		if !finite(s.Amount) || s.Amount == 0 {
			return
		}
		if s.Amount < 0 {
			s.Amount, in = -s.Amount, !in
		}
		if in {
			out.In = append(out.In, s)
		} else {
			out.Out = append(out.Out, s)
		}
	}
	for _, s := range f.In {
		place(s, true)
	}
	for _, s := range f.Out {
		place(s, false)
	}
	return out
}

func total(streams []Stream) (sum float64) {
	for _, s := range streams {
		sum += s.Amount
	}
	return sum
}

// side lays streams out from the top, each with room for its label.
func side(streams []Stream, scale, least, top, gap float64) (tops []float64, bottom float64) {
	y := top
	for _, s := range streams {
		tops = append(tops, y)
		y += math.Max(s.Amount*scale, least) + gap
	}
	return tops, y - gap
}

func (f Flows) draw(s *pen, width, em float64, shape Shape, id string) {
	const thick = 110.0 // of all that comes in
	all := math.Max(total(f.In), total(f.Out))
	scale := 0.0
	if all > 0 {
		scale = thick / all
	}
	least, gap, top := 2.4*em, .4*em, .6*em
	inTops, inEnd := side(f.In, scale, least, top, gap)
	outTops, outEnd := side(f.Out, scale, least, top, gap)
	height := math.Max(math.Max(inEnd, outEnd), top+thick) + .6*em
	key := html.EscapeString(id + "-" + shape.String())
	fmt.Fprintf(s, `<svg class="drawing flows %s" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title %[4]s-desc">`, shape, coord(width), coord(height), key)
	fmt.Fprintf(s, `<title id="%s-title">%s</title><desc id="%[1]s-desc">%[3]s</desc>`, key, html.EscapeString(firstUp(f.Name)+", in and out"), html.EscapeString(f.describe()))
	left, middle, bar, right := .36*width, .47*width, .03*width, .62*width
	trunk := (height - thick) / 2
	f.ribbons(s, f.In, inTops, scale, trunk, middle, left, "stream in")
	f.ribbons(s, f.Out, outTops, scale, trunk, middle+bar, right, "stream")
	s.rectangle("trunk", middle, trunk, bar, math.Max(all*scale, 1))
	label := func(x float64, anchor string, tops []float64, streams []Stream) {
		for i, st := range streams {
			y := tops[i] + math.Max(st.Amount*scale/2, 0) + .1*em
			if st.Amount*scale < least {
				y = tops[i] + .75*em
			}
			s.label("context", anchor, x, y, st.Name)
			s.label("tick", anchor, x, y+1.05*em, st.Words)
		}
	}
	label(left-.5*em, "end", inTops, f.In)
	label(right+.5*em, "start", outTops, f.Out)
	if len(f.In)+len(f.Out) == 0 {
		s.label("nothing", "middle", width/2, height/2, "nothing to show")
	}
	s.add(`</svg>`)
}

// ribbons run from the trunk to where a stream is labelled.
func (f Flows) ribbons(s *pen, streams []Stream, tops []float64, scale, trunk, from, to float64, class string) {
	y := trunk
	half := (from + to) / 2
	for i, st := range streams {
		w := st.Amount * scale
		c := class
		if st.Open {
			c += " open"
		}
		fmt.Fprintf(s, `<path class="%s" d="M%s %sC%s %s %s %s %s %sL%s %sC%s %s %s %s %s %sZ"/>`, c,
			coord(from), coord(y), coord(half), coord(y), coord(half), coord(tops[i]), coord(to), coord(tops[i]),
			coord(to), coord(tops[i]+w), coord(half), coord(tops[i]+w), coord(half), coord(y+w), coord(from), coord(y+w))
		y += w
	}
}

func (f Flows) describe() string {
	say := func(streams []Stream) string {
		var words []string
		for _, s := range streams {
			words = append(words, s.Name+" "+s.Words)
		}
		if len(words) == 0 {
			return "nothing"
		}
		return joined(words)
	}
	return "In: " + say(f.In) + ". Out: " + say(f.Out) + "."
}

func joined(words []string) string {
	out := ""
	for i, w := range words {
		if i > 0 {
			out += "; "
		}
		out += w
	}
	return out
}
