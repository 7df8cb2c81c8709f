package chart

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"strings"
	"time"
)

// Plane shows where a water stands by two quantities at once, over lines along
// which a third stays the same.
type Plane struct {
	Name  string // "pH and alkalinity, north window"
	X, Y  Axis
	Lines []Isoline // in order of what they stand for
	Third string    // what the lines stand for, with its unit: "CO2, µatm"
	Spots []Spot    // oldest first; the last is where the water stands
	Goal  *Spot     // where it would come to rest, nil when nobody knows
	// GoalWords name the goal in the legend and the description.
	GoalWords string
	Zone      *time.Location
}

// Axis is one of the two quantities.
type Axis struct {
	Name, Unit string
	Decimals   int
	Band       Band
}

// Isoline is a line along which the third quantity stays the same.
type Isoline struct {
	Label  string
	Main   bool // drawn stronger: open air
	Points [][2]float64
}

// Spot is a water by both quantities.
type Spot struct {
	At       time.Time
	X, Y     float64
	SDX, SDY float64
}

// spotsShown is how many spots a plane draws, the newest.
const spotsShown = 60

// PlaneFigure is the picture for a phone and for a wide page, with legend and
// table. It has no span to choose, so no script.
func PlaneFigure(p Plane, id string) template.HTML {
	p = p.tidy()
	s := &pen{}
	s.add(`<figure class="chart still"><div class="chart-plot">`, p.large(Phone, id), p.large(Wide, id), `</div>`)
	p.legend(s)
	s.add(`<details class="chart-table"><summary>The same as a table</summary>`)
	p.table(s)
	s.add(`</details></figure>`)
	return template.HTML(s.String())
}

// tidy leaves out what is no number and more than can be seen.
func (p Plane) tidy() Plane {
	if p.Zone == nil {
		p.Zone = time.UTC
	}
	var kept []Spot
	for _, s := range p.Spots {
		if finite(s.X, s.Y) {
			s.SDX, s.SDY = spread(s.SDX), spread(s.SDY)
			kept = append(kept, s)
		}
	}
	p.Spots = kept[max(0, len(kept)-spotsShown):]
	if p.Goal != nil && !finite(p.Goal.X, p.Goal.Y) {
		p.Goal = nil
	}
	p.X.Band, p.Y.Band = p.X.Band.tidy(), p.Y.Band.tidy()
	return p
}

// reach is what one axis makes room for: the spots with the newest one's doubt,
// the goal and the band.
func (p Plane) reach(a Axis, of func(Spot) (v, sd float64)) (low, high float64) {
	core, wide := newRange(), newRange()
	core.add(a.Band.Low, a.Band.Aim, a.Band.High)
	for i, s := range p.Spots {
		v, sd := of(s)
		core.add(v)
		if i == len(p.Spots)-1 {
			wide.add(v-2*sd, v+2*sd)
		}
	}
	if p.Goal != nil {
		v, _ := of(*p.Goal)
		core.add(v)
	}
	if core.empty() {
		for _, l := range p.Lines {
			for _, q := range l.Points {
				v, _ := of(Spot{X: q[0], Y: q[1]})
				core.add(v)
			}
		}
	}
	return core.roomFor(wide, 2*math.Pow(10, -float64(a.Decimals)))
}

func ofX(s Spot) (v, sd float64) { return s.X, s.SDX }
func ofY(s Spot) (v, sd float64) { return s.Y, s.SDY }

// field places both quantities in a drawing.
type field struct {
	frame
	first, last float64 // of the horizontal axis
}

func (p Plane) field(shape Shape) field {
	f := field{frame: frame{width: 360, height: 340, em: 12}}
	if shape == Wide {
		f.width, f.height, f.em = 880, 440, 14
	}
	f.low, f.high = p.reach(p.Y, ofY)
	f.first, f.last = p.reach(p.X, ofX)
	f.top, f.bottom = 2.4*f.em, f.height-2.9*f.em
	f.left = f.valueGutter() + 8
	widest := 0.0
	for _, l := range p.Lines {
		widest = math.Max(widest, f.textWidth(l.Label))
	}
	f.right = f.width - 10 - widest
	return f
}

// across is the place of a value on the horizontal axis, held within the plot.
func (f field) across(v float64) float64 {
	w := (v - f.first) / (f.last - f.first)
	return f.left + math.Min(math.Max(w, 0), 1)*(f.right-f.left)
}

func (p Plane) large(shape Shape, id string) string {
	f := p.field(shape)
	s := &pen{}
	key := html.EscapeString(id + "-" + shape.String())
	fmt.Fprintf(s, `<svg class="drawing plane %s" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title %[4]s-desc">`,
		shape, coord(f.width), coord(f.height), key)
	fmt.Fprintf(s, `<title id="%s-title">%s</title>`, key, html.EscapeString(firstUp(p.Name)))
	fmt.Fprintf(s, `<desc id="%s-desc">%s</desc>`, key, html.EscapeString(p.describe()))
	p.bands(s, f)
	p.axes(s, f)
	p.lines(s, f)
	p.spots(s, f)
	if len(p.Spots) == 0 {
		s.label("nothing", "middle", (f.left+f.right)/2, (f.top+f.bottom)/2, "no readings of both to draw")
	}
	s.add(`</svg>`)
	return s.String()
}

// bands washes the band of each quantity; where both hold, the wash is double
// and framed.
func (p Plane) bands(s *pen, f field) {
	x, y := p.X.Band, p.Y.Band
	hasX, hasY := !math.IsNaN(x.Low) || !math.IsNaN(x.High), !math.IsNaN(y.Low) || !math.IsNaN(y.High)
	left, right := f.across(or(x.Low, f.first)), f.across(or(x.High, f.last))
	top, bottom := f.y(or(y.High, f.high)), f.y(or(y.Low, f.low))
	if hasX {
		s.rectangle("band half", left, f.top, right-left, f.bottom-f.top)
	}
	if hasY {
		s.rectangle("band half", f.left, top, f.right-f.left, bottom-top)
	}
	if hasX && hasY && right > left && bottom > top {
		d := &path{}
		d.polyline([]point{{left, top}, {right, top}, {right, bottom}, {left, bottom}})
		d.close()
		s.path("edge", d)
	}
}

func or(v, otherwise float64) float64 {
	if math.IsNaN(v) {
		return otherwise
	}
	return v
}

// axes draws the rules of the upright axis and the figures of both.
func (p Plane) axes(s *pen, f field) {
	f.grid(s, withUnit(firstUp(p.Y.Name), scaleWords(p.Y)))
	s.line("axis", f.left, f.bottom, f.right, f.bottom)
	ticks := &path{}
	for _, m := range valueTicks(f.first, f.last, int((f.right-f.left)/(5*f.em))) {
		x := f.across(m.value)
		ticks.move(x, f.bottom)
		ticks.line(x, f.bottom+4)
		if half := f.textWidth(m.label) / 2; x-half > 0 && x+half < f.width {
			s.label("tick", "middle", x, f.bottom+4+.95*f.em, m.label)
		}
	}
	s.path("axis", ticks)
	s.label("unit", "start", f.left, f.bottom+4+2.15*f.em, withUnit(firstUp(p.X.Name), scaleWords(p.X)))
}

// scaleWords set a unit that only names a scale apart from the name.
func scaleWords(a Axis) string {
	if a.Unit == "" {
		return ""
	}
	return "(" + a.Unit + ")"
}

func firstUp(s string) string {
	if s == "" || strings.HasPrefix(s, "pH") {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
