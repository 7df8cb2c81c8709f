package chart

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"
)

// glyphs are the marks of the kits in order of first use, in relative path
// commands for a mark of the given half size, from its centre.
var glyphs = []func(r float64) string{
	func(r float64) string { // circle
		return rel("m", -r, 0) + arc(r) + arc(-r) + "z"
	},
	func(r float64) string {
		return rel("m", -.88*r, -.88*r) + rel("h", 1.76*r) + rel("v", 1.76*r) + rel("h", -1.76*r) + "z"
	},
	func(r float64) string { return rel("m", 0, -1.25*r) + rel("l", 1.2*r, 2.1*r) + rel("h", -2.4*r) + "z" },
	func(r float64) string {
		return rel("m", 0, -1.3*r) + rel("l", 1.3*r, 1.3*r, -1.3*r, 1.3*r, -1.3*r, -1.3*r) + "z"
	},
	func(r float64) string {
		return rel("m", -1.2*r, -.4*r) + rel("h", 2.4*r) + rel("v", .8*r) + rel("h", -2.4*r) + "z"
	},
	func(r float64) string {
		return rel("m", -.4*r, -1.2*r) + rel("h", .8*r) + rel("v", 2.4*r) + rel("h", -.8*r) + "z"
	},
	func(r float64) string {
		return rel("m", -1.2*r, -1.05*r) + rel("h", 2.4*r) + rel("l", -1.2*r, 2.1*r) + "z"
	},
}

func rel(command string, vs ...float64) string {
	b := []byte(command)
	for i, v := range vs {
		if n := tenths(v); i > 0 && n >= 0 {
			b = append(b, ' ')
		}
		b = appendTenths(b, tenths(v))
	}
	return string(b)
}

// arc is a half circle of radius r to the right, or to the left when negative.
func arc(r float64) string {
	size := coord(math.Abs(r))
	return "a" + size + " " + size + " 0 0 1 " + coord(2*r) + " 0"
}

// kits are the instruments in the order of their marks.
func (p Picture) kits() []string {
	names := slices.Clone(p.Kits)
	first := map[string]time.Time{}
	for _, r := range p.Readings {
		if t, ok := first[r.Kit]; !ok || r.At.Before(t) {
			first[r.Kit] = r.At
		}
	}
	var missing []string
	for kit := range first {
		if !slices.Contains(names, kit) {
			missing = append(missing, kit)
		}
	}
	slices.SortFunc(missing, func(a, b string) int {
		return cmp.Or(first[a].Compare(first[b]), cmp.Compare(a, b))
	})
	return append(names, missing...)
}

func glyphOf(kit int, r float64) string { return glyphs[kit%len(glyphs)](r) }

// fullDot is half the size of a mark that has room.
const fullDot = 3.4

// dotSize shrinks the marks of a crowd.
func (f frame) dotSize(n int) float64 {
	room := (f.right - f.left) / math.Max(float64(n), 1)
	switch {
	case room > 5:
		return fullDot
	case room > 1.5:
		return 2.6
	}
	return 1.9
}

// readings draws the bars of doubt, then the marks, then what is hollow. In a
// crowd the bar is part of the mark, which halves the size of the drawing.
func (p Picture) readings(s *pen, f frame) {
	shown := thinReadings(p.Readings, func(r Reading) int { return int(f.x(r.At)) })
	size := f.dotSize(len(shown))
	crowded := size < fullDot
	if !crowded {
		s.path("bar", bars(shown, f))
	}
	for k, kit := range p.Kits {
		sure, doubtful := &path{}, &path{}
		for _, r := range shown {
			switch {
			case r.Kit != kit || r.Below:
			case r.Misread:
				doubtful.shape(f.x(r.At), f.y(r.Value), glyphOf(k, size))
			case crowded:
				sure.shape(f.x(r.At), f.y(r.Value), barIn(r, f)+glyphOf(k, size))
			default:
				sure.shape(f.x(r.At), f.y(r.Value), glyphOf(k, size))
			}
		}
		s.path("dot", sure)
		s.path("dot hollow", doubtful)
	}
	s.path("cross", crosses(shown, f, size))
	s.path("below", carets(shown, f))
	s.path("far", farMarks(shown, f))
}

// bars are the doubt of a reading by its kit: one standard deviation each way.
func bars(shown []Reading, f frame) *path {
	d := &path{}
	for _, r := range shown {
		if r.SD <= 0 || r.Below || r.Misread {
			continue
		}
		d.move(f.x(r.At), f.y(r.Value+r.SD))
		d.line(f.x(r.At), f.y(r.Value-r.SD))
	}
	return d
}

// barIn is the bar in relative commands that end where they begin.
func barIn(r Reading, f frame) string {
	if r.SD <= 0 {
		return ""
	}
	up, down := f.y(r.Value)-f.y(r.Value+r.SD), f.y(r.Value-r.SD)-f.y(r.Value)
	if up, down = math.Floor(2*up)/2, math.Floor(2*down)/2; up+down <= 0 {
		return ""
	}
	return rel("m", 0, -up) + rel("v", up+down) + rel("m", 0, -down)
}

// crosses strike out the likely misreads.
func crosses(shown []Reading, f frame, size float64) *path {
	d := &path{}
	arm := size + 1.6
	mark := rel("m", -arm, -arm) + rel("l", 2*arm, 2*arm) + rel("m", 0, -2*arm) + rel("l", -2*arm, 2*arm)
	for _, r := range shown {
		if r.Misread {
			d.shape(f.x(r.At), f.y(r.Value), mark)
		}
	}
	return d
}

// carets point down from the limit of the kit.
func carets(shown []Reading, f frame) *path {
	d := &path{}
	mark := rel("m", -4, 0) + rel("h", 8) + rel("m", -7.2, 2.6) + rel("l", 3.2, 4, 3.2, -4)
	for _, r := range shown {
		if r.Below {
			d.shape(f.x(r.At), f.y(r.Value), mark)
		}
	}
	return d
}

// farMarks point to readings that lie beyond the picture.
func farMarks(shown []Reading, f frame) *path {
	d := &path{}
	for _, r := range shown {
		switch {
		case r.Value > f.high:
			d.shape(f.x(r.At), f.top, rel("m", -4, -6)+rel("l", 4, -5, 4, 5))
		case r.Value < f.low:
			d.shape(f.x(r.At), f.bottom, rel("m", -4, -11)+rel("l", 4, 4, 4, -4))
		}
	}
	return d
}

// deedMarks are the shapes on the lower edge, by kind, from the middle of the strip.
var deedMarks = map[DeedKind]string{
	Dose:        rel("m", 0, -5) + rel("v", 10),
	WaterChange: rel("m", -4.4, -4) + rel("h", 8.8) + rel("l", -4.4, 8) + "z",
	TopOff:      rel("m", -2, 0) + arc(2) + arc(-2) + "z",
	Setting:     rel("m", -3, -3) + rel("h", 6) + rel("v", 6) + rel("h", -6) + "z",
	OtherDeed:   rel("m", -3.4, 0) + rel("h", 6.8) + rel("m", -3.4, -3.4) + rel("v", 6.8),
}

var deedClasses = map[DeedKind]string{
	Dose: "deed", WaterChange: "deed full", TopOff: "deed full", Setting: "deed boxed", OtherDeed: "deed",
}

// deeds draws the marks on the lower edge, of a kind only as many as can be told apart.
func (p Picture) deeds(s *pen, f frame) {
	for kind := Dose; kind <= Setting; kind++ {
		d := &path{}
		last, gap := math.Inf(-1), 5.0
		if kind == Dose {
			gap = 3
		}
		for _, deed := range p.Deeds {
			if x := f.x(deed.At); deed.Kind == kind && x-last >= gap {
				d.shape(x, f.bottom+stripHeight/2.0+1, deedMarks[kind])
				last = x
			}
		}
		s.path(deedClasses[kind], d)
	}
}

// KindOf reads the kind of a deed from the first words of its label.
func KindOf(label string) DeedKind {
	word, _, _ := strings.Cut(strings.ToLower(label), ",")
	switch strings.TrimSpace(word) {
	case "dose":
		return Dose
	case "water change":
		return WaterChange
	case "top-off":
		return TopOff
	case "setting":
		return Setting
	}
	return OtherDeed
}
