package chart

import (
	"math"
	"slices"
	"time"
)

// Picture is all that a drawing of one quantity shows. Figures are in Unit.
type Picture struct {
	Name     string // "alkalinity, north window"
	Unit     string
	Decimals int // of a figure in words
	Zone     *time.Location
	From, To time.Time // span drawn; when both are zero, chosen from the data
	Today    time.Time // the moment from which the fan starts
	State    string    // the word for how it stands; may be empty
	Now      Doubted
	Band     Band
	AimName  string // what the aim is called; "aim" when empty
	Readings []Reading
	Derived  bool     // the readings are worked out from others of their moment
	Kits     []string // in the order of their marks; order of first reading when empty
	Levels   []Level  // smoothed, oldest first
	Fan      []Day
	Deeds    []Deed
	Leaves   time.Time // zero when leaving the band is not likely
	FromZero bool      // the axis begins at nothing

	changes []kitChange
}

// Doubted is a figure with one standard deviation of doubt.
type Doubted struct{ Mean, SD float64 }

// Band is where the quantity should be; NaN for a limit that does not apply.
type Band struct{ Low, Aim, High float64 }

// NoBand has no limit on either side.
func NoBand() Band { return Band{math.NaN(), math.NaN(), math.NaN()} }

// Reading is one test result.
type Reading struct {
	At      time.Time
	Value   float64
	SD      float64
	Kit     string
	Below   bool // under the kit's limit Value
	Misread bool // likely a misread
}

// Level is the estimated level at a moment.
type Level struct {
	At       time.Time
	Mean, SD float64
}

// Day is the forecast for a moment: quantiles of the true level.
type Day struct {
	At                                time.Time
	P05, P10, P25, P50, P75, P90, P95 float64
}

// Deed is something done that moved the quantity, or may have.
type Deed struct {
	At    time.Time
	Kind  DeedKind
	Label string // "dose, 40 g magnesium chloride"
}

// DeedKind decides the shape of a deed's mark.
type DeedKind int

// The kinds of deed, in the order of the legend.
const (
	Dose DeedKind = iota
	WaterChange
	TopOff
	OtherDeed
	Setting // last, so that it lies on top
)

// nine chances in ten of a normal lie within this many standard deviations
const ninetySDs = 1.6449

func (l Level) low() float64  { return l.Mean - ninetySDs*l.SD }
func (l Level) high() float64 { return l.Mean + ninetySDs*l.SD }

func finite(vs ...float64) bool {
	for _, v := range vs {
		if math.IsNaN(v) || math.Abs(v) > 1e12 {
			return false
		}
	}
	return true
}

// Span is a stretch of time.
type Span struct{ From, To time.Time }

// usualPast is how much of the past a picture shows unless told otherwise.
const usualPast = 90 * 24 * time.Hour

const day = 24 * time.Hour

// Extent is everything there is to draw, from the first reading, level or deed
// to the end of the forecast.
func (p Picture) Extent() Span {
	s := Span{p.Today, p.Today}
	reach := func(t time.Time) {
		if t.IsZero() {
			return
		}
		if s.From.IsZero() || t.Before(s.From) {
			s.From = t
		}
		if s.To.IsZero() || t.After(s.To) {
			s.To = t
		}
	}
	for _, r := range p.Readings {
		reach(r.At)
	}
	for _, l := range p.Levels {
		reach(l.At)
	}
	for _, d := range p.Fan {
		reach(d.At)
	}
	for _, d := range p.Deeds {
		reach(d.At)
	}
	return s.widened()
}

// widened gives a span of no length some.
func (s Span) widened() Span {
	if s.From.IsZero() && s.To.IsZero() {
		s = Span{time.Unix(0, 0).UTC(), time.Unix(0, 0).UTC()}
	}
	if s.To.Before(s.From) {
		s.From, s.To = s.To, s.From
	}
	if s.To.Sub(s.From) < time.Hour {
		s = Span{s.From.Add(-day), s.To.Add(day)}
	}
	return s
}

// span is what the picture shows.
func (p Picture) span() Span {
	if p.To.After(p.From) {
		return Span{p.From, p.To}.widened()
	}
	return p.Past(usualPast)
}

// Past is the span from so long before today to as much of the forecast as
// keeps the past the larger part.
func (p Picture) Past(length time.Duration) Span {
	all := p.Extent()
	if p.Today.IsZero() {
		return all
	}
	from := p.Today.Add(-length)
	if all.From.After(from) {
		from = all.From
	}
	if week := p.Today.Add(-7 * day); from.After(week) {
		from = week
	}
	to := p.Today.Add(p.Today.Sub(from) / 2)
	if fortnight := p.Today.Add(14 * day); to.Before(fortnight) {
		to = fortnight
	}
	if to.After(all.To) {
		to = all.To
	}
	return Span{from, to}.widened()
}

// Between is the same picture for another span.
func (p Picture) Between(s Span) Picture {
	p.From, p.To = s.From, s.To
	return p
}

// tidy is the picture as drawn: its span settled, in order, without anything
// outside the span or that is no number.
func (p Picture) tidy() Picture {
	s := p.span()
	p.From, p.To = s.From, s.To
	if p.Zone == nil {
		p.Zone = time.UTC
	}
	p.Decimals = min(max(p.Decimals, 0), 6)
	p.Band = p.Band.tidy()
	p.Kits, p.changes = p.kits(), p.kitChanges()
	p.Readings = within(p.Readings, s, func(r Reading) (time.Time, bool) { return r.At, finite(r.Value) })
	for i := range p.Readings {
		p.Readings[i].SD = spread(p.Readings[i].SD)
	}
	p.Deeds = within(p.Deeds, s, func(d Deed) (time.Time, bool) { return d.At, true })
	p.Levels = cutLevels(p.Levels, s)
	p.Fan = cutFan(p.Fan, s)
	return p
}

// spread is a standard deviation fit to draw.
func spread(sd float64) float64 {
	if !finite(sd) || sd < 0 {
		return 0
	}
	return sd
}

func (b Band) tidy() Band {
	for _, v := range []*float64{&b.Low, &b.Aim, &b.High} {
		if !finite(*v) {
			*v = math.NaN()
		}
	}
	if b.Low > b.High {
		b.Low, b.High = b.High, b.Low
	}
	return b
}

// within is a sorted copy of what is usable and inside the span.
func within[T any](all []T, s Span, look func(T) (time.Time, bool)) []T {
	var kept []T
	for _, v := range all {
		at, ok := look(v)
		if ok && !at.IsZero() && !at.Before(s.From) && !at.After(s.To) {
			kept = append(kept, v)
		}
	}
	slices.SortStableFunc(kept, func(a, b T) int {
		ta, _ := look(a)
		tb, _ := look(b)
		return ta.Compare(tb)
	})
	return kept
}
