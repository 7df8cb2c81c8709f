package standing

import (
	"math"

	"driftline/internal/drift"
)

// outlook is the forecast of a simple quantity: the level with its fading
// trend, a wandering about it, and the chance of meeting a limit on the way.
func (f *plainFit) outlook(l limits, horizon int) drift.Outlook {
	level, trend := f.level(), f.trend()
	o := drift.Outlook{PNow: outsideChance(level.Mean, level.SD, l)}
	for day := 0; day <= horizon; day++ {
		t := float64(day)
		mean := level.Mean + trend.Mean*faded(t)
		sd := math.Sqrt(sq(level.SD) + sq(trend.SD*faded(t)) + f.gathered(t))
		d := drift.Day{T: f.now + t, Mean: mean, SD: sd}
		for i, p := range drift.Quantiles {
			d.Q[i] = mean + sd*math.Sqrt2*math.Erfinv(2*p-1)
		}
		o.Days = append(o.Days, d)
	}
	f.passages(&o, l, horizon)
	return o
}

// passages fills in the chances of leaving, over evenly likely levels and trends.
func (f *plainFit) passages(o *drift.Outlook, l limits, horizon int) {
	level, trend := f.level(), f.trend()
	zs, ws := evenly(31), evenly(5)
	inside, left, low, high := 0.0, make([]float64, horizon+1), 0.0, 0.0
	for _, z := range zs {
		at := level.Mean + z*level.SD
		if at < l.low || at > l.high { // both false for a missing limit
			continue
		}
		inside += float64(len(ws))
		for _, w := range ws {
			lo, hi := f.leave(at, trend.Mean+w*trend.SD, l, left)
			low, high = low+lo, high+hi
		}
	}
	all := float64(len(zs) * len(ws))
	best := 0.0
	for day := range o.Days {
		if inside > 0 {
			best = max(best, left[day]/inside)
		}
		o.Days[day].PNew = best
		o.Days[day].POutside = min(1, o.PNow+(1-o.PNow)*best)
	}
	o.PLow = min(1, low/all+belowOrNone(l.low, level.Mean, level.SD))
	o.PHigh = min(1, high/all+belowOrNone(-l.high, -level.Mean, level.SD))
}

// leave adds, for each day, the chance of one path having met a limit, and
// returns the chances for each side at the end.
func (f *plainFit) leave(at, trend float64, l limits, left []float64) (low, high float64) {
	for day := 1; day < len(left); day++ {
		t := float64(day)
		drift, variance := trend*faded(t)/t, f.gathered(t)/t
		low, high = 0, 0
		if !math.IsNaN(l.low) {
			low = reach(at-l.low, drift, variance, t)
		}
		if !math.IsNaN(l.high) {
			high = reach(l.high-at, -drift, variance, t)
		}
		left[day] += min(1, low+high)
	}
	return low, high
}

func belowOrNone(limit, mean, sd float64) float64 {
	if math.IsNaN(limit) {
		return 0
	}
	return below(limit, mean, sd)
}

// doubts judges each reading of a simple quantity against its neighbours: a
// mixture of the usual scatter and a six times wider one, 3 in 100 readings
// belonging to the wide one.
func (f *plainFit) doubts(m *matter) []drift.Doubt {
	out := make([]drift.Doubt, len(m.raw))
	from := len(m.raw) - len(recent(m.raw, f.now))
	for i, r := range m.raw {
		expected := drift.Estimate{Mean: r.value, SD: f.sd}
		if i >= from {
			expected.Mean = f.at(r.t, m)
		}
		out[i] = drift.Doubt{Misread: misreadChance(r.value-expected.Mean, f.sd), Expected: expected, SD: f.sd}
	}
	return out
}

func misreadChance(off, sd float64) float64 {
	const share, wider = 0.03, 6.0
	z := off / sd
	usual := (1 - share) * math.Exp(-z*z/2)
	wide := share / wider * math.Exp(-z*z/2/sq(wider))
	if usual+wide == 0 {
		return 1
	}
	return wide / (usual + wide)
}

// history smooths the readings by a moving average of about three days.
func (f *plainFit) history(m *matter, times []float64) []drift.Estimate {
	const halfWidth = 3.0
	out := make([]drift.Estimate, len(times))
	from, to := 0, 0
	for i, t := range times {
		for from < len(m.raw)-1 && m.raw[from].t < t-halfWidth {
			from++
		}
		for to < len(m.raw) && m.raw[to].t <= t+halfWidth {
			to++
		}
		near := m.raw[from:max(to, from+1)]
		sum := 0.0
		for _, r := range near {
			sum += r.value
		}
		gap := math.Max(0, math.Abs(t-near[0].t)-halfWidth)
		out[i] = drift.Estimate{Mean: sum / float64(len(near)), SD: math.Sqrt(sq(f.sd)/float64(len(near)) + f.gathered(gap))}
	}
	return out
}
