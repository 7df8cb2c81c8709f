package chart

import (
	"slices"
	"time"
)

// cutLevels keeps the levels inside the span, with a level interpolated at each
// edge that the line crosses.
func cutLevels(all []Level, s Span) []Level {
	var usable []Level
	for _, l := range all {
		if finite(l.Mean) && !l.At.IsZero() {
			l.SD = spread(l.SD)
			usable = append(usable, l)
		}
	}
	slices.SortStableFunc(usable, func(a, b Level) int { return a.At.Compare(b.At) })
	return cut(usable, s, func(l Level) time.Time { return l.At }, blendLevels)
}

func cutFan(all []Day, s Span) []Day {
	var usable []Day
	for _, d := range all {
		if finite(d.P05, d.P10, d.P25, d.P50, d.P75, d.P90, d.P95) && !d.At.IsZero() {
			usable = append(usable, d.ordered())
		}
	}
	slices.SortStableFunc(usable, func(a, b Day) int { return a.At.Compare(b.At) })
	return cut(usable, s, func(d Day) time.Time { return d.At }, blendDays)
}

// ordered makes sure that no quantile crosses another.
func (d Day) ordered() Day {
	q := []float64{d.P05, d.P10, d.P25, d.P50, d.P75, d.P90, d.P95}
	slices.Sort(q)
	return Day{d.At, q[0], q[1], q[2], q[3], q[4], q[5], q[6]}
}

func cut[T any](all []T, s Span, at func(T) time.Time, blend func(a, b T, t time.Time) T) []T {
	var kept []T
	for i, v := range all {
		t := at(v)
		if i > 0 {
			before := at(all[i-1])
			for _, edge := range []time.Time{s.From, s.To} {
				if before.Before(edge) && t.After(edge) {
					kept = append(kept, blend(all[i-1], v, edge))
				}
			}
		}
		if !t.Before(s.From) && !t.After(s.To) {
			kept = append(kept, v)
		}
	}
	return kept
}

func share(a, b, t time.Time) float64 {
	whole := b.Sub(a).Seconds()
	if whole <= 0 {
		return 0
	}
	return t.Sub(a).Seconds() / whole
}

func blendLevels(a, b Level, t time.Time) Level {
	w := share(a.At, b.At, t)
	return Level{t, a.Mean + w*(b.Mean-a.Mean), a.SD + w*(b.SD-a.SD)}
}

func blendDays(a, b Day, t time.Time) Day {
	w := share(a.At, b.At, t)
	mid := func(x, y float64) float64 { return x + w*(y-x) }
	return Day{t, mid(a.P05, b.P05), mid(a.P10, b.P10), mid(a.P25, b.P25), mid(a.P50, b.P50),
		mid(a.P75, b.P75), mid(a.P90, b.P90), mid(a.P95, b.P95)}
}
