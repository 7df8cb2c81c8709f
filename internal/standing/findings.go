package standing

import (
	"errors"
	"math"
	"sort"

	"driftline/internal/drift"
)

// findings is what was worked out of a matter, in the default unit.
type findings struct {
	level, demand, trend drift.Estimate
	swing                drift.Estimate
	outlook, handsOff    drift.Outlook
	doubts               []drift.Doubt
	kits                 []drift.Estimate
	grid                 []float64
	history              []drift.Estimate
	pSeen                float64 // chance of being outside right after the last test
	account              *drift.Account
	accountDays          float64
}

// Horizons in days: what is asked for may be shorter, the word and the next
// test always look this far.
const (
	leastHorizon = 60
	chartPoints  = 200
	whyDays      = 30.0
)

// analyse runs the engine, and gives a fault of its arithmetic as an error.
func (m *matter) analyse(now float64) (s *drift.State, err error) {
	defer func() {
		if recover() != nil {
			s, err = nil, errNoPicture
		}
	}()
	return drift.Analyse(m.upTo(now), now)
}

var errNoPicture = errors.New("the readings fit no picture that can be computed")

// workSafely is work, and keeps a fault of the arithmetic to the one quantity:
// it must not take a book of other tanks off the screen.
func (m *matter) workSafely(days int) (f findings, err error) {
	defer func() {
		if recover() != nil {
			f, err = findings{}, errNoPicture
		}
	}()
	if f, err = m.work(days); err == nil && !f.sound() {
		return findings{}, errNoPicture
	}
	return f, err
}

// sound says whether the figures are figures: no NaN may pass for a level.
func (f *findings) sound() bool {
	sum := f.level.Mean + f.level.SD + f.demand.Mean + f.demand.SD + f.outlook.PNow
	for _, o := range []drift.Outlook{f.outlook, f.handsOff} {
		for _, d := range o.Days {
			sum += d.Mean + d.SD + d.Q[0] + d.Q[len(d.Q)-1] + d.POutside
		}
	}
	for _, e := range f.history {
		sum += e.Mean + e.SD
	}
	for _, d := range f.doubts {
		sum += d.Expected.Mean + d.Expected.SD
	}
	if f.account != nil {
		sum += f.account.From.Mean + f.account.To.Mean + f.account.Demand.Mean
	}
	return !math.IsNaN(sum) && !math.IsInf(sum, 0)
}

// work runs the engine on a matter with readings.
func (m *matter) work(days int) (findings, error) {
	now, horizon := dayOf(m.asOf), max(days, leastHorizon)
	if simple(m.q) {
		return m.workPlain(now, horizon), nil
	}
	state, err := m.analyse(now)
	if err != nil {
		return findings{}, err
	}
	var f findings
	f.level, f.demand = state.Now()
	f.outlook = state.Forecast(m.plan(now, float64(horizon), false), horizon)
	f.handsOff = f.outlook
	if m.handWork() {
		f.handsOff = state.Forecast(m.plan(now, float64(days), true), days)
	}
	f.trend = drift.Estimate{Mean: slope(f.outlook.Days, 28), SD: f.demand.SD}
	f.doubts, f.kits = state.Readings(), state.Kits()
	f.grid = m.grid(now, true)
	f.history = state.History(f.grid)
	f.pSeen = m.seenOutside(f.grid, f.history)
	if from := max(m.begin(), now-whyDays); now-from >= 1 {
		if a, err := state.Account(from, now); err == nil {
			f.account, f.accountDays = &a, now-from
		}
	}
	return f, nil
}

func (m *matter) workPlain(now float64, horizon int) findings {
	fit := fitPlain(m, now)
	f := findings{level: fit.level(), trend: fit.trend(), swing: fit.swing(), outlook: fit.outlook(m.limits, horizon),
		doubts: fit.doubts(m), grid: m.grid(now, false)}
	f.handsOff = f.outlook
	f.history = fit.history(m, f.grid)
	f.pSeen = m.seenOutside([]float64{m.lastTest()}, fit.history(m, []float64{m.lastTest()}))
	for range m.kits {
		f.kits = append(f.kits, drift.Estimate{})
	}
	for i := range f.kits {
		f.kits[i].SD = m.kits[i].errors.BiasSD
	}
	return f
}

func (m *matter) handWork() bool {
	if m.handFood > 0 {
		return true
	}
	for _, t := range m.schedule {
		if t.hand {
			return true
		}
	}
	return false
}

func (m *matter) lastTest() float64 { return m.raw[len(m.raw)-1].t }

// seenOutside is the chance of being outside as of the last test.
func (m *matter) seenOutside(grid []float64, history []drift.Estimate) float64 {
	e := interpolate(grid, history, m.lastTest())
	return outsideChance(e.Mean, e.SD, m.limits)
}

// grid is the moments a picture is drawn at: evenly over the history, and the
// readings where asked.
func (m *matter) grid(now float64, withReadings bool) []float64 {
	first := m.begin()
	step := (now - first) / chartPoints
	var out []float64
	for i := 0; i < chartPoints && step > 0; i++ {
		out = append(out, first+float64(i)*step)
	}
	out = append(out, now)
	if withReadings {
		for _, r := range m.raw {
			out = append(out, r.t)
		}
		out = m.metByChanges(out)
	}
	sort.Float64s(out)
	unique := out[:1]
	for _, t := range out[1:] {
		if t > unique[len(unique)-1] {
			unique = append(unique, t)
		}
	}
	return unique
}

// justBefore is a few seconds, in days.
const justBefore = 1e-4

// metByChanges adds the moments just before the newest logged changes, and the
// changes themselves: the level a change met, and the step it made.
func (m *matter) metByChanges(times []float64) []float64 {
	for i, left := len(m.deeds)-1, 2*chartPoints; i >= 0 && left > 0; i-- {
		if d := m.deeds[i]; d.fraction > 0 && d.t-justBefore > m.begin() {
			times = append(times, d.t-justBefore, d.t)
			left--
		}
	}
	return times
}

// interpolate reads a history between its moments.
func interpolate(grid []float64, history []drift.Estimate, t float64) drift.Estimate {
	i := sort.SearchFloat64s(grid, t)
	switch {
	case len(history) == 0:
		return drift.Estimate{}
	case i == 0:
		return history[0]
	case i >= len(history):
		return history[len(history)-1]
	}
	share := (t - grid[i-1]) / (grid[i] - grid[i-1])
	a, b := history[i-1], history[i]
	return drift.Estimate{Mean: a.Mean + share*(b.Mean-a.Mean), SD: a.SD + share*(b.SD-a.SD)}
}

// slope is the least-squares slope of the forecast's mean over its first days,
// so that the saw-tooth of water changes averages out.
func slope(days []drift.Day, first int) float64 {
	n := min(len(days), first+1)
	if n < 2 {
		return 0
	}
	mt, my := 0.0, 0.0
	for _, d := range days[:n] {
		mt, my = mt+d.T/float64(n), my+d.Mean/float64(n)
	}
	sxy, sxx := 0.0, 0.0
	for _, d := range days[:n] {
		sxy, sxx = sxy+(d.T-mt)*(d.Mean-my), sxx+sq(d.T-mt)
	}
	return sxy / sxx
}

// guess is the outlook of a quantity nobody has read: its habit, with no trend.
func (m *matter) guess(days int) findings {
	now := dayOf(m.asOf)
	at := drift.Estimate{Mean: natural[m.q], SD: math.Abs(natural[m.q]) / 3}
	if h, ok := habits[m.q]; ok {
		at = drift.Estimate(h.unread)
	} else if sd := drift.HabitOf(string(m.q), m.system, 1).LevelSD; sd > 0 {
		at.SD = sd
	}
	fit := plainFit{now: now, wanderV: sq(at.SD) / 365}
	fit.beta[0], fit.cov[0][0] = at.Mean, sq(at.SD)
	out := fit.outlook(m.limits, max(days, leastHorizon))
	return findings{level: at, outlook: out, handsOff: out}
}
