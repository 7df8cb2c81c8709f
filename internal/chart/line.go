package chart

import (
	"math"
	"strings"
	"time"
)

// blocks are the eight heights of a line of text.
var blocks = []rune("▁▂▃▄▅▆▇█")

// Line is the picture as one line of so many characters for a terminal: the
// level, then today as │, then the middle of the forecast. A moment without a
// level is a blank.
func Line(p Picture, columns int) string {
	p = p.tidy()
	if columns < 3 {
		return ""
	}
	low, high := p.lineReach()
	var b strings.Builder
	today := int(share(p.From, p.To, p.Today) * float64(columns))
	for c := range columns {
		at := p.From.Add(time.Duration((float64(c) + .5) / float64(columns) * float64(p.To.Sub(p.From))))
		v, ok := p.valueAt(at)
		switch {
		case !p.Today.IsZero() && c == min(today, columns-1):
			b.WriteRune('│')
		case !ok:
			b.WriteByte(' ')
		default:
			b.WriteRune(block(v, low, high))
		}
	}
	return b.String()
}

// LineKey says in words what the line of Line spans.
func LineKey(p Picture) string {
	p = p.tidy()
	low, high := p.lineReach()
	if low > high {
		return "Nothing to draw yet."
	}
	s := p.date(p.From) + " to " + p.date(p.To) + ", " + number(low, p.Decimals) + " to " + p.figure(high)
	if b := p.bandWords(); b != "" {
		s += ", band " + b
	}
	return s + "; │ is today"
}

// lineReach is the span of what Line draws and of the band.
func (p Picture) lineReach() (low, high float64) {
	r := newRange()
	r.add(p.Band.Low, p.Band.High)
	for _, l := range p.Levels {
		r.add(l.Mean)
	}
	for _, d := range p.Fan {
		r.add(d.P50)
	}
	return r.low, r.high
}

func block(v, low, high float64) rune {
	if !(high > low) {
		return blocks[3]
	}
	k := int(math.Floor((v - low) / (high - low) * 8))
	return blocks[min(max(k, 0), 7)]
}

// valueAt is the level at a moment, or the middle of the forecast.
func (p Picture) valueAt(at time.Time) (float64, bool) {
	for i := 1; i < len(p.Levels); i++ {
		if a, b := p.Levels[i-1], p.Levels[i]; !at.Before(a.At) && !at.After(b.At) {
			return blendLevels(a, b, at).Mean, true
		}
	}
	for i := 1; i < len(p.Fan); i++ {
		if a, b := p.Fan[i-1], p.Fan[i]; !at.Before(a.At) && !at.After(b.At) {
			return blendDays(a, b, at).P50, true
		}
	}
	return 0, false
}
