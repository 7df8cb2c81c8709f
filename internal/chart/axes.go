package chart

import (
	"math"
	"slices"
	"strings"
	"time"
)

// grid draws the rules of the value axis with their figures and the unit.
func (f frame) grid(s *pen, unit string) {
	rules := &path{}
	for _, m := range f.valueTicks() {
		y := f.y(m.value)
		rules.move(f.left, y)
		rules.line(f.right, y)
		s.label("tick", "end", f.left-6, y+.34*f.em, m.label)
	}
	s.path("grid", rules)
	s.label("unit", "start", 4, f.em+2, unit)
}

// calendar draws the time axis: days of months, months of years, in the zone of the tank.
func (p Picture) calendar(s *pen, f frame) {
	most := int((f.right - f.left) / (2.4 * f.em))
	stops := timeTicks(Span{p.From, p.To}, p.Zone, f.x, f.textWidth, most)
	base := f.bottom + stripHeight + 2
	s.line("axis", f.left, f.bottom, f.right, f.bottom)
	ticks := &path{}
	for _, t := range stops {
		x := f.x(t.at)
		ticks.move(x, base)
		ticks.line(x, base+4)
		if half := f.textWidth(t.label) / 2; x-half > 0 && x+half < f.width {
			s.label("tick", "middle", x, base+4+.95*f.em, t.label)
		}
	}
	s.path("axis", ticks)
	p.contexts(s, f, stops, base+4+2.05*f.em)
}

// note is a context of the time axis and where it is written.
type note struct {
	x    float64
	text string
}

func (n note) short() string {
	if i := strings.LastIndexByte(n.text, ' '); i > 0 {
		return n.text[:i]
	}
	return n.text
}

func (n note) year() string { return n.text[len(n.short()):] }

// contexts writes the month or the year below the stop where it begins.
func (p Picture) contexts(s *pen, f frame, stops []stop, y float64) {
	year := ""
	for _, n := range f.notes(stops) {
		text := n.text
		if year != "" && n.year() == year {
			text = n.short() // the year stands further left
		}
		if n.year() != "" {
			year = n.year()
		}
		s.label("tick context", "start", n.x, y, text)
	}
}

// notes places the contexts. Where two would touch, the earlier loses its year
// or gives way altogether.
func (f frame) notes(stops []stop) []note {
	var notes []note
	was := ""
	for _, t := range stops {
		if t.within == was {
			continue
		}
		was = t.within
		n := note{math.Max(f.x(t.at)-f.textWidth(t.label)/2, 2), t.within}
		if n.x+f.textWidth(n.text) > f.width {
			continue
		}
		if k := len(notes) - 1; k >= 0 {
			last := &notes[k]
			if last.x+f.textWidth(last.text)+4 > n.x {
				last.text = last.short()
			}
			if last.x+f.textWidth(last.text)+4 > n.x {
				notes = notes[:k]
			}
		}
		notes = append(notes, n)
	}
	return notes
}

// edges are the figures of the band for the right margin.
func (p Picture) edges(shape Shape) []mark {
	var all []mark
	add := func(word string, v float64) {
		if math.IsNaN(v) {
			return
		}
		label := number(v, p.Decimals)
		if shape == Wide {
			label = word + " " + label
		}
		all = append(all, mark{v, label})
	}
	add("high", p.Band.High)
	add(p.aimName(), p.Band.Aim)
	add("low", p.Band.Low)
	return all
}

// edgeLabels writes the figures of the band, the aim only where it has room.
func (p Picture) edgeLabels(s *pen, f frame, shape Shape) {
	room := 1.15 * f.em
	taken := []float64{}
	write := func(m mark, class string, y float64) {
		for _, t := range taken {
			if math.Abs(t-y) < room {
				return
			}
		}
		taken = append(taken, y)
		s.label(class, "start", f.right+5, y+.34*f.em, m.label)
	}
	all := p.edges(shape)
	for _, m := range all {
		if m.value == p.Band.High || m.value == p.Band.Low {
			write(m, "edge-label", f.y(m.value)+p.apart(m.value, f, room))
		}
	}
	for _, m := range all {
		if m.value == p.Band.Aim {
			write(m, "edge-label aim-label", f.y(m.value))
		}
	}
}

// apart moves the figures of a narrow band away from each other.
func (p Picture) apart(v float64, f frame, room float64) float64 {
	gap := f.y(p.Band.Low) - f.y(p.Band.High)
	if math.IsNaN(gap) || gap >= room {
		return 0
	}
	push := (room-gap)/2 + .1
	if v == p.Band.High {
		return -push
	}
	return push
}

// slots keeps the labels above the plot from touching.
type slots struct{ taken [][2]float64 }

func (t *slots) take(from, to float64) bool {
	for _, s := range t.taken {
		if from < s[1]+6 && to > s[0]-6 {
			return false
		}
	}
	t.taken = append(t.taken, [2]float64{from, to})
	return true
}

// top draws what stands above the plot: today, then the changes of kit.
func (p Picture) top(s *pen, f frame) {
	t := &slots{}
	t.take(0, 4+f.textWidth(p.Unit))
	if !p.Today.IsZero() && !p.Today.Before(p.From) && !p.Today.After(p.To) {
		x := f.x(p.Today)
		s.line("today", x, f.top-6, x, f.bottom)
		p.above(s, f, t, "today-label", x, "today, "+p.Today.In(p.Zone).Format("2 Jan"))
	}
	for _, c := range p.changes {
		if c.at.Before(p.From) || c.at.After(p.To) {
			continue
		}
		x := f.x(c.at)
		s.line("kit-change", x, f.top, x, f.bottom)
		d := &path{}
		d.shape(x, f.top-5, glyphOf(c.kit, 3.4))
		s.path("dot", d)
		p.above(s, f, t, "kit-label", x, p.Kits[c.kit])
	}
}

// above writes a label centred over x where it fits, pushed in from the margins.
func (p Picture) above(s *pen, f frame, t *slots, class string, x float64, text string) {
	half := f.textWidth(text) / 2
	middle := math.Min(math.Max(x, half+2), f.width-half-2)
	if half*2 < f.width && t.take(middle-half, middle+half) {
		s.label(class, "middle", middle, f.top-1.1*f.em, text)
	}
}

// kitChange is the first reading of another kit than before.
type kitChange struct {
	at  time.Time
	kit int
}

// kitChanges looks at all readings, so that a closer span shows the same ones.
func (p Picture) kitChanges() []kitChange {
	first := map[string]time.Time{}
	for _, r := range p.Readings {
		if t, ok := first[r.Kit]; !ok || r.At.Before(t) {
			first[r.Kit] = r.At
		}
	}
	var all []kitChange
	for k, kit := range p.kits() {
		if t, ok := first[kit]; ok {
			all = append(all, kitChange{t, k})
		}
	}
	slices.SortFunc(all, func(a, b kitChange) int { return a.at.Compare(b.at) })
	return all[min(1, len(all)):]
}

// marksLeaving: when it is out already, the level itself shows it.
func (p Picture) marksLeaving() bool {
	return p.Leaves.Sub(p.Today) >= day && !p.Leaves.Before(p.From) && !p.Leaves.After(p.To)
}

// leaving marks where the chance of having left the band passes one half.
func (p Picture) leaving(s *pen, f frame) {
	if !p.marksLeaving() {
		return
	}
	x := f.x(p.Leaves)
	s.line("leaves", x, f.top, x, f.bottom)
	end := &path{}
	end.shape(x, f.bottom, rel("m", -5, -8)+rel("l", 5, 8, 5, -8)+"z")
	s.path("leaves-mark", end)
	text, anchor, at := f.leavesWords(x, p.Leaves.In(p.Zone).Format("2 Jan"))
	s.label("leaves-label", anchor, at, p.leavesLabelY(f), text)
}

// leavesWords are as long as there is room beside the mark; the short ones may
// reach into the gutter, whose figures their height keeps clear of.
func (f frame) leavesWords(x float64, date string) (text, anchor string, at float64) {
	for _, text := range []string{"even chance, " + date, "even, " + date} {
		if x+6+f.textWidth(text) <= f.width {
			return text, "start", x + 6
		}
	}
	return "even, " + date, "end", x - 6
}

// leavesLabelY is at the end of the plot that the forecast keeps away from,
// clear of the edges of the band.
func (p Picture) leavesLabelY(f frame) float64 {
	y, step := f.bottom-6, -f.em
	for _, d := range p.Fan {
		if !d.At.Before(p.Leaves) {
			if f.y(d.P50) > (f.top+f.bottom)/2 {
				y, step = f.top+f.em, f.em
			}
			break
		}
	}
	for range 3 {
		middle, free := y-.35*f.em, true
		for _, edge := range []float64{p.Band.Low, p.Band.High, p.Band.Aim} {
			if math.Abs(f.y(edge)-middle) < .7*f.em {
				free = false
			}
		}
		if free {
			break
		}
		y += step
	}
	return y
}
