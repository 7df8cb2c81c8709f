package chart

import (
	"fmt"
	"html"
	"math"
	"strings"
)

// lines draws the lines of the third quantity, each named where it leaves the
// plot on the right or at the top.
func (p Plane) lines(s *pen, f field) {
	thin, strong := &path{}, &path{}
	side, above := []float64{}, &slots{}
	above.take(0, 4+f.textWidth(withUnit(p.Y.Name, scaleWords(p.Y))))
	for _, strength := range []bool{true, false} { // the main line is named first
		for _, l := range p.Lines {
			if l.Main != strength {
				continue
			}
			d, class := thin, "tick"
			if l.Main {
				d, class = strong, "tick main"
			}
			end, drawn := f.trace(d, l.Points)
			if !drawn {
				continue
			}
			switch half := f.textWidth(l.Label) / 2; {
			case end.x >= f.right-1 && apartFrom(side, end.y, 1.15*f.em):
				side = append(side, end.y)
				s.label(class, "start", f.right+5, end.y+.34*f.em, l.Label)
			case end.x < f.right-1 && end.y <= f.top+1 && above.take(end.x-half, end.x+half):
				s.label(class, "middle", end.x, f.top-.4*f.em, l.Label)
			}
		}
	}
	s.path("isoline", thin)
	s.path("isoline main", strong)
}

func apartFrom(taken []float64, y, room float64) bool {
	for _, t := range taken {
		if math.Abs(t-y) < room {
			return false
		}
	}
	return true
}

// trace adds the part of a line that lies within the plot and tells where its
// last piece ends.
func (f field) trace(d *path, points [][2]float64) (end point, drawn bool) {
	var last point
	for i := 1; i < len(points); i++ {
		if !finite(points[i-1][0], points[i-1][1], points[i][0], points[i][1]) {
			continue
		}
		a, b, ok := clip(points[i-1], points[i], [4]float64{f.first, f.last, f.low, f.high})
		if !ok {
			continue
		}
		from, to := point{f.across(a[0]), f.y(a[1])}, point{f.across(b[0]), f.y(b[1])}
		if !drawn || from != last {
			d.move(from.x, from.y)
		}
		d.line(to.x, to.y)
		last, end, drawn = to, to, true
	}
	return end, drawn
}

// clip is the part of a straight line within a box of left, right, low and
// high (Liang and Barsky, ACM Transactions on Graphics 3(1), 1984).
func clip(a, b [2]float64, box [4]float64) (from, to [2]float64, ok bool) {
	enter, leave := 0.0, 1.0
	for axis := range 2 {
		d := b[axis] - a[axis]
		low, high := box[2*axis], box[2*axis+1]
		if d == 0 {
			if a[axis] < low || a[axis] > high {
				return from, to, false
			}
			continue
		}
		t0, t1 := (low-a[axis])/d, (high-a[axis])/d
		if t0 > t1 {
			t0, t1 = t1, t0
		}
		enter, leave = math.Max(enter, t0), math.Min(leave, t1)
	}
	if enter > leave {
		return from, to, false
	}
	at := func(t float64) [2]float64 { return [2]float64{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])} }
	return at(enter), at(leave), true
}

// spots draws where the water has been, where it stands with its doubt, and
// where it would come to rest.
func (p Plane) spots(s *pen, f field) {
	n := len(p.Spots)
	if n == 0 {
		return
	}
	past := &path{}
	for _, q := range p.Spots[:n-1] {
		past.shape(f.across(q.X), f.y(q.Y), glyphOf(0, 2.6))
	}
	s.path("dot past", past)
	now := p.Spots[n-1]
	x, y := f.across(now.X), f.y(now.Y)
	if p.Goal != nil {
		gx, gy := f.across(p.Goal.X), f.y(p.Goal.Y)
		s.line("way", x, y, gx, gy)
		d := &path{}
		d.shape(gx, gy, glyphOf(3, 4))
		s.path("goal", d)
	}
	bar := &path{}
	bar.move(f.across(now.X-now.SDX), y)
	bar.line(f.across(now.X+now.SDX), y)
	bar.move(x, f.y(now.Y-now.SDY))
	bar.line(x, f.y(now.Y+now.SDY))
	s.path("bar now", bar)
	d := &path{}
	d.shape(x, y, glyphOf(0, 4.2))
	s.path("end", d)
}

// describe tells what the picture shows.
func (p Plane) describe() string {
	n := len(p.Spots)
	if n == 0 {
		return "There are no readings of " + p.X.Name + " and " + p.Y.Name + " together."
	}
	now := p.Spots[n-1]
	parts := []string{fmt.Sprintf("The newest of %s: %s, %s.", plural(n, "point", "points"), p.X.says(now.X, now.SDX), p.Y.says(now.Y, now.SDY))}
	if p.Goal != nil {
		parts = append(parts, firstUp(p.GoalWords)+": "+p.X.says(p.Goal.X, 0)+", "+p.Y.says(p.Goal.Y, 0)+".")
	}
	for _, a := range []Axis{p.X, p.Y} {
		if b := a.bandWords(); b != "" {
			parts = append(parts, "The band of "+a.Name+" is "+b+".")
		}
	}
	if len(p.Lines) > 1 {
		parts = append(parts, "The lines stand for "+p.Third+", from "+p.Lines[0].Label+" to "+p.Lines[len(p.Lines)-1].Label+".")
	}
	return strings.Join(parts, " ")
}

func (a Axis) picture() Picture { return Picture{Unit: a.Unit, Decimals: a.Decimals, Band: a.Band} }

func (a Axis) bandWords() string { return a.picture().bandWords() }

func (a Axis) says(v, sd float64) string {
	return a.Name + " " + a.picture().doubted(Doubted{v, sd})
}

func (p Plane) legend(s *pen) {
	s.add(`<ul class="chart-legend">`)
	item := func(key, words string) {
		s.add(`<li><svg class="drawing key" viewBox="-9 -7 18 14" aria-hidden="true">`, key, `</svg>`, html.EscapeString(words), `</li>`)
	}
	if n := len(p.Spots); n > 0 {
		item(key("bar now", "M-8 0h16M0-6v12")+key("end", "M0 0"+glyphOf(0, 4)), "now, with its doubt (one standard deviation)")
		if n > 1 {
			item(key("dot past", "M0 0"+glyphOf(0, 2.6)), "earlier")
		}
	}
	if p.Goal != nil {
		item(key("way", "M-9 0h18")+key("goal", "M0 0"+glyphOf(3, 4)), p.GoalWords)
	}
	if len(p.Lines) > 0 {
		item(key("isoline", "M-9 5l18-10"), p.Third)
	}
	for _, l := range p.Lines {
		if l.Main {
			item(key("isoline main", "M-9 5l18-10"), "open air")
			break
		}
	}
	if p.X.bandWords() != "" || p.Y.bandWords() != "" {
		item(key("band", "M-9-5h18v10h-18z")+key("edge", "M-9-5h18v10h-18z"), "the bands")
	}
	s.add(`</ul>`)
}

// table gives every spot, newest first.
func (p Plane) table(s *pen) {
	if len(p.Spots) == 0 {
		s.add(`<p>`, html.EscapeString(p.describe()), `</p>`)
		return
	}
	column := func(a Axis) string { return html.EscapeString(withUnit(firstUp(a.Name), scaleWords(a))) }
	head(s, "Readings taken together, newest first", "When", column(p.X), column(p.Y))
	for i := len(p.Spots) - 1; i >= 0; i-- {
		q := p.Spots[i]
		row(s, q.At.In(p.Zone).Format("2 Jan 2006, 15:04"), plusMinus(Doubted{q.X, q.SDX}, p.X.Decimals), plusMinus(Doubted{q.Y, q.SDY}, p.Y.Decimals))
	}
	s.add(`</tbody></table>`)
}
