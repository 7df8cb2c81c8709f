package effect

import (
	"slices"
	"time"
)

// figure is one moment as compared.
type figure struct {
	at    time.Time
	day   float64
	value float64
	block int // which of the treated tanks
}

// averaged gives the points in order of time, those of one moment as their mean,
// with what is known to have moved them taken off.
func (a Ask) averaged(points []Point) []figure {
	sorted := slices.Clone(points)
	slices.SortStableFunc(sorted, func(x, y Point) int { return x.At.Compare(y.At) })
	var out []figure
	for i := 0; i < len(sorted); {
		sum, n := 0.0, 0
		at := sorted[i].At
		for ; i < len(sorted) && sorted[i].At.Equal(at); i++ {
			sum += sorted[i].Value - sorted[i].Known
			n++
		}
		out = append(out, figure{at: at, day: a.days(at), value: sum / float64(n)})
	}
	return out
}

// pairing is the difference of two tanks over time.
type pairing struct {
	figures      []figure
	interpolated int // of them, how many had no figure of the other tank that day
	alone        int // figures left out since the other tank had none around
}

// near is how far apart, in days, two figures count as one moment.
const near = 0.75

// pair gives treated minus comparison at the moments of the tank that was looked
// at more seldom; the other's value then is read off the line between its
// neighbours.
func pair(treated, comparison []figure) pairing {
	base, other, sign := treated, comparison, 1.0
	if len(comparison) < len(treated) {
		base, other, sign = comparison, treated, -1.0
	}
	longest := 3 * usualGap(other)
	var out pairing
	for _, f := range base {
		v, exact, ok := at(other, f.day, longest)
		if !ok {
			out.alone++
			continue
		}
		if !exact {
			out.interpolated++
		}
		f.value = sign * (f.value - v)
		out.figures = append(out.figures, f)
	}
	return out
}

// at reads a series at a day: its figure within three quarters of a day, or the
// line between two neighbours no further apart than longest.
func at(series []figure, day, longest float64) (value float64, exact, ok bool) {
	i, found := slices.BinarySearchFunc(series, day, func(f figure, d float64) int {
		switch {
		case f.day < d:
			return -1
		case f.day > d:
			return 1
		}
		return 0
	})
	if found {
		return series[i].value, true, true
	}
	nearest := -1
	for _, j := range []int{i - 1, i} {
		if j >= 0 && j < len(series) && abs(series[j].day-day) <= near &&
			(nearest < 0 || abs(series[j].day-day) < abs(series[nearest].day-day)) {
			nearest = j
		}
	}
	if nearest >= 0 {
		return series[nearest].value, true, true
	}
	if i == 0 || i == len(series) || series[i].day-series[i-1].day > longest {
		return 0, false, false
	}
	x, y := series[i-1], series[i]
	return x.value + (y.value-x.value)*(day-x.day)/(y.day-x.day), false, true
}

// usualGap is the median time between figures, in days.
func usualGap(f []figure) float64 {
	t := make([]float64, len(f))
	for i := range f {
		t[i] = f[i].day
	}
	return medianGap(t)
}

// Mean is the mean of several tanks at the moments of the one that was looked at
// most seldom, where all the others are known too.
func Mean(tanks [][]Point) []Point {
	if len(tanks) <= 1 {
		return slices.Concat(tanks...)
	}
	seldom := slices.MinFunc(tanks, func(a, b []Point) int { return len(a) - len(b) })
	a := Ask{On: []Span{{From: seldom[0].At}}}
	series := make([][]figure, len(tanks))
	for i := range tanks {
		series[i] = a.averaged(tanks[i])
	}
	var out []Point
	for _, f := range a.averaged(seldom) {
		sum, known := 0.0, true
		for _, s := range series {
			v, _, ok := at(s, f.day, 3*usualGap(s))
			sum, known = sum+v, known && ok
		}
		if known {
			out = append(out, Point{At: f.at, Value: sum / float64(len(tanks))})
		}
	}
	return out
}
