package standing

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/mat"

	"driftline/internal/drift"
	"driftline/units"
)

// simple quantities have no ledger: level, swing of a day and trend only.
func simple(q units.Quantity) bool {
	_, ok := habits[q]
	return ok
}

// habit is what a simple quantity does before the tank has told more: how fast
// it may trend and swing, and how far it wanders. Common practice.
type habit struct {
	trendSD float64 // a day
	swingSD float64 // half the swing of a day
	wander  float64 // standard deviation it gathers in one day
	unread  Estimate
}

var habits = map[units.Quantity]habit{
	units.Temperature: {0.05, 0.4, 0.12, Estimate{25.5, 1.5}},
	units.PH:          {0.01, 0.12, 0.02, Estimate{8.1, 0.2}},
	units.Redox:       {3, 20, 8, Estimate{340, 70}},
	units.Oxygen:      {0.05, 0.6, 0.1, Estimate{6.5, 0.8}},
}

// How far back the level looks, in days, and how many readings at least.
const (
	plainWindowDays  = 45.0
	plainLongestDays = 180.0
	plainFewest      = 8
	plainHalfLife    = 10.0
	trendFadesDays   = 14.0
	wanderDays       = 14.0
)

// plainFit is level, trend and the two parts of the day's wave at as-of, with
// their covariance.
type plainFit struct {
	beta    [4]float64
	cov     [4][4]float64
	sd      float64 // of one reading about the fit
	wanderV float64 // variance gathered a day
	habit   habit
	now     float64
	hourly  bool // enough readings within a day to know its wave
}

// recent is the part of the readings a fit looks at.
func recent(raw []rawReading, now float64) []rawReading {
	from := sort.Search(len(raw), func(i int) bool { return raw[i].t >= now-plainWindowDays })
	if enough := max(0, len(raw)-plainFewest); from > enough {
		from = enough
	}
	for from < len(raw)-1 && raw[from].t < now-plainLongestDays {
		from++
	}
	return raw[from:]
}

// fitPlain fits the recent readings by reweighted least squares with older ones
// fading, and priors on trend and wave. It starts from the middle one of the
// last three readings, so that one wild reading is passed over and two that
// agree are believed.
func fitPlain(m *matter, now float64) plainFit {
	raw := recent(m.raw, now)
	f := plainFit{habit: habits[m.q], now: now, hourly: manyADay(raw)}
	e := m.kits[m.kitOf[len(m.kitOf)-1]].errors
	kitSD := max(math.Hypot(e.SD, e.Resolution/math.Sqrt(12)), 1e-6)
	var last []float64
	for _, r := range raw[max(0, len(raw)-3):] {
		last = append(last, r.value)
	}
	f.beta[0] = median(last)
	if len(raw) == 2 { // two that disagree: neither is more to be trusted
		kitSD = max(kitSD, math.Abs(raw[1].value-raw[0].value)/2)
	}
	for range 10 {
		f.sd = max(kitSD, f.scatter(m, raw))
		if !f.solve(m, raw) {
			break
		}
	}
	f.wanderV = sq(max(f.habit.wander, f.betweenDays(m, raw)/math.Sqrt(7)))
	stale := max(0, now-raw[len(raw)-1].t)
	f.cov[0][0] += sq(e.BiasSD) + f.gathered(stale)
	return f
}

// scatter is how far neighbouring readings usually differ about the fit; a
// shift of the level between two of them does not count.
func (f *plainFit) scatter(m *matter, raw []rawReading) float64 {
	if len(raw) < plainFewest/2+1 {
		return 0
	}
	off := make([]float64, len(raw))
	for i, r := range raw {
		off[i] = r.value - f.at(r.t, m)
	}
	return neighbours(off)
}

// trust is the weight of a reading so far off: Tukey's biweight (Beaton & Tukey
// 1974), none beyond 4.685 standard deviations.
func (f *plainFit) trust(off float64) float64 { return sq(max(0, 1-sq(off/(4.685*f.sd)))) }

// row is the design of one reading: level, trend, the wave of the day.
func (f *plainFit) row(t float64, m *matter) [4]float64 {
	out := [4]float64{1, -faded(f.now - t), 0, 0} // a trend reaches as far back as it will last
	if f.hourly {
		_, offset := timeOf(t, m.loc).Zone()
		day := t + float64(offset)/86400
		angle := 2 * math.Pi * (day - math.Floor(day))
		out[2], out[3] = math.Cos(angle), math.Sin(angle)
	}
	return out
}

// solve is one step of the weighted least squares; false when it cannot be done.
func (f *plainFit) solve(m *matter, raw []rawReading) bool {
	prior := [4]float64{0, 1 / sq(f.habit.trendSD), 1 / sq(f.habit.swingSD), 1 / sq(f.habit.swingSD)}
	a, b := mat.NewSymDense(4, nil), mat.NewVecDense(4, nil)
	for i := range prior {
		a.SetSym(i, i, prior[i]+1e-9)
	}
	last := raw[len(raw)-1].t
	for _, r := range raw {
		w := f.trust(r.value-f.at(r.t, m)) * math.Exp2(-(last-r.t)/plainHalfLife) / sq(f.sd)
		x := f.row(r.t, m)
		for i := range x {
			b.SetVec(i, b.AtVec(i)+w*x[i]*r.value)
			for j := i; j < len(x); j++ {
				a.SetSym(i, j, a.At(i, j)+w*x[i]*x[j])
			}
		}
	}
	var chol mat.Cholesky
	var beta mat.VecDense
	var inv mat.SymDense
	if !chol.Factorize(a) || chol.SolveVecTo(&beta, b) != nil || chol.InverseTo(&inv) != nil {
		return false
	}
	for i := range f.beta {
		f.beta[i] = beta.AtVec(i)
		for j := range f.beta {
			f.cov[i][j] = inv.At(i, j)
		}
	}
	return true
}

func (f *plainFit) at(t float64, m *matter) float64 {
	x, y := f.row(t, m), 0.0
	for i := range x {
		y += x[i] * f.beta[i]
	}
	return y
}

// betweenDays is how far the means of neighbouring days differ about the fit.
func (f *plainFit) betweenDays(m *matter, raw []rawReading) float64 {
	var means []float64
	for i := 0; i < len(raw); {
		sum, j := 0.0, i
		for ; j < len(raw) && math.Floor(raw[j].t) == math.Floor(raw[i].t); j++ {
			sum += raw[j].value - f.at(raw[j].t, m)
		}
		means = append(means, sum/float64(j-i))
		i = j
	}
	if len(means) < 5 {
		return 0
	}
	return neighbours(means)
}

// neighbours is the scatter of figures by the steps between them (the median
// absolute step), which a shift of the level hardly changes.
func neighbours(v []float64) float64 {
	steps := make([]float64, len(v)-1)
	for i := range steps {
		steps[i] = math.Abs(v[i+1] - v[i])
	}
	return 1.4826 * median(steps) / math.Sqrt2
}

// manyADay says whether at least three days of the last hold readings more
// than six hours apart.
func manyADay(raw []rawReading) bool {
	days := 0
	for i := 0; i < len(raw); {
		j := i
		for j < len(raw) && math.Floor(raw[j].t) == math.Floor(raw[i].t) {
			j++
		}
		if raw[j-1].t-raw[i].t > 0.25 {
			days++
		}
		i = j
	}
	return days >= 3
}

// swing is the height of the day's wave from lowest to highest.
func (f *plainFit) swing() drift.Estimate {
	if !f.hourly {
		return drift.Estimate{}
	}
	half := math.Hypot(f.beta[2], f.beta[3])
	return drift.Estimate{Mean: 2 * half, SD: 2 * math.Sqrt((f.cov[2][2]+f.cov[3][3])/2)}
}

func (f *plainFit) level() drift.Estimate {
	return drift.Estimate{Mean: f.beta[0], SD: math.Sqrt(f.cov[0][0])}
}
func (f *plainFit) trend() drift.Estimate {
	return drift.Estimate{Mean: f.beta[1], SD: math.Sqrt(f.cov[1][1])}
}

// faded is how many days of today's trend a forecast counts: trends of these
// quantities do not last.
func faded(days float64) float64 { return trendFadesDays * (1 - math.Exp(-days/trendFadesDays)) }

// gathered is the variance that wandering adds in so many days. Heaters,
// air and light pull these quantities back, so it does not grow for ever.
func (f *plainFit) gathered(days float64) float64 {
	return f.wanderV * wanderDays / 2 * (1 - math.Exp(-2*days/wanderDays))
}

func sq(x float64) float64 { return x * x }

func median(v []float64) float64 {
	s := append([]float64(nil), v...)
	sort.Float64s(s)
	if n := len(s); n%2 == 1 {
		return s[n/2]
	}
	return (s[len(s)/2-1] + s[len(s)/2]) / 2
}
