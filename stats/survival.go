package stats

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Lifetime is how long one was followed, and whether that ended with the event;
// else it was still without it when last seen.
type Lifetime struct {
	Time  float64 // 0 or more
	Event bool
}

// SurvivalStep is the curve right after a time with events.
type SurvivalStep struct {
	Time           float64
	AtRisk, Events int
	Survival       float64
	SE             float64 // Greenwood's, of the survival itself; NaN where none is left
	Low, High      float64 // 95 %, by the log of the minus log; NaN where none is left
}

// Survival is a product-limit curve.
type Survival struct {
	N, Events int
	Steps     []SurvivalStep // in order of time
	Last      float64        // the longest time of all
}

// normal975 is the standard normal's quantile of 97.5 %.
const normal975 = 1.959963984540054

// KaplanMeier estimates how many survive (Kaplan & Meier 1958, J. Amer. Statist.
// Assoc. 53:457), with Greenwood's standard error. Those last seen at a time of an
// event count as at risk then. It fails when there is nobody, or a time below 0.
func KaplanMeier(list []Lifetime) (Survival, error) {
	sorted, err := byTime(list)
	if err != nil {
		return Survival{}, err
	}
	s := Survival{N: len(sorted), Last: sorted[len(sorted)-1].Time}
	left, sum := 1.0, 0.0
	for i := 0; i < len(sorted); {
		atRisk, events, next := len(sorted)-i, 0, i
		for ; next < len(sorted) && sorted[next].Time == sorted[i].Time; next++ {
			if sorted[next].Event {
				events++
			}
		}
		if events > 0 {
			d, n := float64(events), float64(atRisk)
			left *= (n - d) / n
			sum += d / (n * (n - d)) // infinite when all at risk have it
			step := SurvivalStep{Time: sorted[i].Time, AtRisk: atRisk, Events: events, Survival: left, SE: left * math.Sqrt(sum)}
			step.Low, step.High = logLog(left, sum)
			if events == atRisk {
				step.Survival, step.SE = 0, math.NaN()
			}
			s.Steps = append(s.Steps, step)
			s.Events += events
		}
		i = next
	}
	return s, nil
}

// logLog is the interval on the scale of log(-log).
func logLog(left, sum float64) (low, high float64) {
	if !(left > 0) {
		return math.NaN(), math.NaN()
	}
	half := normal975 * math.Sqrt(sum) / -math.Log(left)
	return math.Pow(left, math.Exp(half)), math.Pow(left, math.Exp(-half))
}

func byTime(list []Lifetime) ([]Lifetime, error) {
	if len(list) == 0 {
		return nil, errors.New("nobody was followed: expected one lifetime or more")
	}
	sorted := slices.Clone(list)
	for i, l := range sorted {
		if !(l.Time >= 0) || math.IsInf(l.Time, 0) {
			return nil, fmt.Errorf("lifetime %d is %v: expected 0 or more", i+1, l.Time)
		}
	}
	slices.SortFunc(sorted, func(a, b Lifetime) int {
		switch {
		case a.Time < b.Time:
			return -1
		case a.Time > b.Time:
			return 1
		}
		return 0
	})
	return sorted, nil
}

// At is the curve at a time: its last step by then, which holds until the next.
// Before the first event all survive.
func (s Survival) At(time float64) SurvivalStep {
	out := SurvivalStep{AtRisk: s.N, Survival: 1, Low: 1, High: 1}
	for _, step := range s.Steps {
		if step.Time > time {
			break
		}
		out = step
	}
	return out
}

// Median is the smallest time by which half or fewer survive; where exactly half do
// over a stretch, its middle. False when more than half survive to the end.
func (s Survival) Median() (float64, bool) {
	const even = 1e-9 // a product of fractions may miss a half by rounding
	for i, step := range s.Steps {
		switch {
		case step.Survival < 0.5-even:
			return step.Time, true
		case step.Survival > 0.5+even:
			continue
		}
		until := s.Last
		if i+1 < len(s.Steps) {
			until = s.Steps[i+1].Time
		}
		return (step.Time + until) / 2, true
	}
	return 0, false
}

// LogRank is the test of several curves being one.
type LogRank struct {
	Chi2, P  float64
	DF       int
	Observed []float64 // events of each group
	Expected []float64
}

// LogRankTest compares groups by the events each has against those expected were
// they alike (Mantel 1966, Cancer Chemother. Rep. 50:163), with the hypergeometric
// variance. It fails for fewer than two groups, or when there is nothing to compare:
// no event while more than one group is at risk.
func LogRankTest(groups [][]Lifetime) (LogRank, error) {
	k := len(groups)
	if k < 2 {
		return LogRank{}, fmt.Errorf("%d groups: expected two or more", k)
	}
	r := LogRank{Observed: make([]float64, k), Expected: make([]float64, k)}
	type exit struct {
		Lifetime
		group int
	}
	var all []exit
	atRisk := make([]float64, k)
	for g, list := range groups {
		sorted, err := byTime(list)
		if err != nil {
			return r, err
		}
		for _, l := range sorted {
			all = append(all, exit{l, g})
		}
		atRisk[g] = float64(len(list))
	}
	slices.SortStableFunc(all, func(a, b exit) int {
		if a.Time == b.Time {
			return 0
		}
		if a.Time < b.Time {
			return -1
		}
		return 1
	})
	variance := mat.NewSymDense(k, nil)
	for i := 0; i < len(all); {
		gone, events, next := make([]float64, k), 0.0, i
		for ; next < len(all) && all[next].Time == all[i].Time; next++ {
			gone[all[next].group]++
			if all[next].Event {
				events++
				r.Observed[all[next].group]++
			}
		}
		r.moment(variance, atRisk, events)
		for g := range gone {
			atRisk[g] -= gone[g]
		}
		i = next
	}
	return r, r.test(variance)
}

// moment adds what a time with events expects of each group.
func (r *LogRank) moment(variance *mat.SymDense, atRisk []float64, events float64) {
	n := 0.0
	for _, v := range atRisk {
		n += v
	}
	if events == 0 || n == 0 {
		return
	}
	for g, v := range atRisk {
		r.Expected[g] += events * v / n
	}
	if n < 2 {
		return
	}
	factor := events * (n - events) / (n * n * (n - 1))
	for g := range atRisk {
		for h := range g + 1 {
			v := -atRisk[g] * atRisk[h]
			if g == h {
				v = atRisk[g] * (n - atRisk[g])
			}
			variance.SetSym(g, h, variance.At(g, h)+factor*v)
		}
	}
}

// test works chi-square out over all groups but one of those that say anything.
func (r *LogRank) test(variance *mat.SymDense) error {
	var use []int
	for g := range r.Observed {
		if variance.At(g, g) > 1e-12 {
			use = append(use, g)
		}
	}
	if len(use) < 2 {
		return errors.New("no event came while more than one group was at risk: there is nothing to compare")
	}
	use = use[:len(use)-1]
	v, d := mat.NewSymDense(len(use), nil), mat.NewVecDense(len(use), nil)
	for i, g := range use {
		d.SetVec(i, r.Observed[g]-r.Expected[g])
		for j, h := range use {
			v.SetSym(i, j, variance.At(g, h))
		}
	}
	var chol mat.Cholesky
	var x mat.VecDense
	if !chol.Factorize(v) || chol.SolveVecTo(&x, d) != nil {
		return errors.New("the groups were never at risk together: there is nothing to compare")
	}
	r.Chi2, r.DF = mat.Dot(d, &x), len(use)
	r.P = distuv.ChiSquared{K: float64(r.DF)}.Survival(r.Chi2)
	return nil
}
