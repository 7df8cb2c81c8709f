package chart

import (
	"math"
	"strconv"
)

// niceStep is the least of 1, 2 or 5 times a power of ten that is not under
// least. Heckbert 1990 rounds to the same set.
func niceStep(least float64) float64 {
	if !(least > 0) || math.IsInf(least, 1) {
		return 1
	}
	power := math.Floor(math.Log10(least))
	unit := math.Pow(10, power)
	for _, m := range []float64{1, 2, 5} {
		if m*unit >= least*(1-1e-9) {
			return m * unit
		}
	}
	return 10 * unit
}

// mark is a labelled place on the value axis.
type mark struct {
	value float64
	label string
}

// valueTicks are the multiples of a nice step within low and high, at most most.
func valueTicks(low, high float64, most int) []mark {
	if !(high > low) || most < 1 {
		return nil
	}
	step := niceStep((high - low) / float64(most))
	decimals := 0
	if step < 1 {
		decimals = int(math.Ceil(-math.Log10(step) - 1e-9))
	}
	var marks []mark
	for i := math.Ceil(low/step - 1e-9); len(marks) < most+1; i++ {
		v := i * step
		if v > high+step*1e-9 {
			break
		}
		marks = append(marks, mark{v, number(v, decimals)})
	}
	return marks
}

// number is a figure with its thousands set apart and a true minus sign.
func number(v float64, decimals int) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	whole, rest := s, ""
	if decimals > 0 {
		whole, rest = s[:len(s)-decimals-1], s[len(s)-decimals-1:]
	}
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if v < 0 && !isZero(s) {
		return "−" + whole + rest
	}
	return whole + rest
}

func isZero(digits string) bool {
	for _, c := range digits {
		if c >= '1' && c <= '9' {
			return false
		}
	}
	return true
}

// reach is the least and the greatest value the picture makes room for. What
// is known (band, trusted readings, the level) always fits; doubt may widen
// it by a limited part, so that an open fan does not press all else flat.
func (p Picture) reach() (low, high float64) {
	core, wide := newRange(), newRange()
	core.add(p.Band.Low, p.Band.Aim, p.Band.High)
	if p.FromZero {
		core.add(0)
	}
	for _, r := range p.Readings {
		if !r.Misread {
			core.add(r.Value)
			wide.add(r.Value-r.SD, r.Value+r.SD)
		}
	}
	for _, l := range p.Levels {
		core.add(l.Mean)
		wide.add(l.low(), l.high())
	}
	for _, d := range p.Fan {
		wide.add(d.P05, d.P95)
	}
	if core.empty() {
		core = wide
	}
	if core.empty() {
		for _, r := range p.Readings {
			core.add(r.Value)
		}
	}
	return core.roomFor(wide, math.Pow(10, -float64(p.Decimals)))
}

type span1 struct{ low, high float64 }

func newRange() span1 { return span1{math.Inf(1), math.Inf(-1)} }

func (s *span1) add(vs ...float64) {
	for _, v := range vs {
		if finite(v) {
			s.low, s.high = math.Min(s.low, v), math.Max(s.high, v)
		}
	}
}

func (s span1) empty() bool { return s.low > s.high }

// roomFor widens the core by at most 0.6 of its height on each side for wide,
// adds air, and keeps an axis of things that are never negative from zero up.
func (s span1) roomFor(wide span1, least float64) (low, high float64) {
	if s.empty() {
		return 0, 1
	}
	height := math.Max(s.high-s.low, math.Max(4*least, 1e-6*math.Abs(s.high)))
	low, high = s.low, s.high
	if !wide.empty() {
		low = math.Max(math.Min(low, wide.low), s.low-0.6*height)
		high = math.Min(math.Max(high, wide.high), s.high+0.6*height)
	}
	if high-low < height {
		middle := (low + high) / 2
		low, high = middle-height/2, middle+height/2
	}
	air := 0.06 * (high - low)
	low, high = low-air, high+air
	if s.low >= 0 && low < 0 {
		low = 0
	}
	return low, high
}
