package waterbench

import (
	"fmt"
	"math"
	"strings"
	"time"

	"driftline/units"
)

// How far back the direction of a series looks, and what it needs.
const (
	trendSpan   = 60 * 24 * time.Hour
	trendLeast  = 14 * 24 * time.Hour
	trendPoints = 4
)

// says tells the newest point and where the series has been going.
func (l *logbook) says(s *Series) string {
	if len(s.Points) == 0 {
		return ""
	}
	last := s.Points[len(s.Points)-1]
	f := figure{last.Mean, last.SD}
	text := show(f, s.Unit) + " on " + last.At.In(l.zone).Format("2 Jan 2006") + "; " + l.direction(s) + "."
	if means := seriesSays(s, f); means != "" {
		text += " " + means
	}
	return text
}

// seriesSays is what the newest point means.
func seriesSays(s *Series, f figure) string {
	switch s.Key {
	case "carbon dioxide to air":
		return (&water{}).carbonSays(f)
	case "aragonite":
		return aragoniteSays(f)
	case "un-ionised ammonia":
		return ammoniaSays(f)
	case "oxygen saturation":
		return saturationSays(f)
	}
	switch {
	case s.Low != nil && 1-chanceAbove(f, *s.Low) >= 0.5:
		return sentenceCase(chance(1-chanceAbove(f, *s.Low))) + " below " + limitWords(*s.Low, s.Unit) + "."
	case s.High != nil && chanceAbove(f, *s.High) >= 0.5:
		return sentenceCase(chance(chanceAbove(f, *s.High))) + " above " + limitWords(*s.High, s.Unit) + "."
	}
	return ""
}

// direction is the straight line through the last two months, told only where it
// is beyond twice its doubt.
func (l *logbook) direction(s *Series) string {
	end := s.Points[len(s.Points)-1].At
	from := len(s.Points)
	for from > 0 && end.Sub(s.Points[from-1].At) <= trendSpan {
		from--
	}
	points := s.Points[from:]
	long := end.Sub(points[0].At)
	if len(points) < trendPoints || long < trendLeast {
		return "too few points near it to tell a direction"
	}
	change := rise(points)
	days := fmt.Sprintf("over the %.0f days before", long.Hours()/24)
	switch {
	case math.Abs(change.v) <= 2*change.sd:
		return "no clear change " + days
	case change.v > 0:
		return days + " it rose by " + show(change, s.Unit)
	}
	return days + " it fell by " + show(change.times(-1), s.Unit)
}

// rise is how far a straight line through the points climbs over them: least
// squares, each point alike, doubt from the scatter about the line.
func rise(points []Point) figure {
	var n, sx, sy float64
	t0 := points[0].At
	days := func(p Point) float64 { return p.At.Sub(t0).Hours() / 24 }
	for _, p := range points {
		n, sx, sy = n+1, sx+days(p), sy+p.Mean
	}
	mx, my := sx/n, sy/n
	var sxx, sxy, syy float64
	for _, p := range points {
		dx, dy := days(p)-mx, p.Mean-my
		sxx, sxy, syy = sxx+dx*dx, sxy+dx*dy, syy+dy*dy
	}
	if !(sxx > 0) {
		return figure{}
	}
	slope := sxy / sxx
	left := math.Max(0, syy-slope*sxy)
	long := days(points[len(points)-1])
	return figure{slope * long, math.Sqrt(left/(n-2)/sxx) * long}
}

// limitWords is a limit as it was set, without noughts at its end.
func limitWords(v float64, unit string) string {
	return strings.TrimSpace(units.FormatAmount(v) + " " + unit)
}
