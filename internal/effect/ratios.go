package effect

import (
	"fmt"
	"math"
	"slices"

	"driftline/stats"
)

// apart keeps two tanks' figures from having anything to do with each other: so
// many days, or turns.
const apart = 1e6

// entry is one interval or count on its way into the model.
type entry struct {
	figure
	treated bool
	open    bool
	mean    float64 // as fitted
}

// ratios answers for intervals and counts: means that are multiplied, with a
// scatter that grows with the mean as the figures show it, not as a law says.
// Working responses of a log link (McCullagh & Nelder 1989, Generalized Linear
// Models, section 2.5) carry the correlation and its doubt.
func (a Ask) ratios() (Result, error) {
	entries, settle := a.entries()
	if err := a.enough(treatedOnly(entries), false); err != nil {
		return Result{}, err
	}
	compared := len(a.Comparison) > 0
	if compared {
		if err := a.comparable(entries); err != nil {
			return Result{}, err
		}
	}
	c := columns{trend: a.Slope, slope: a.Slope}
	if a.Outcome == Count && nothing(a, entries) {
		return a.rare(entries, settle, compared)
	}
	m, err := a.iterate(entries, c, compared)
	if err != nil {
		return Result{}, err
	}
	return a.ratioResult(entries, settle, m, compared)
}

func (a Ask) entries() (counted []entry, settle []figure) {
	take := func(points []Point, treated bool, shift float64) {
		sorted := slices.Clone(points)
		slices.SortStableFunc(sorted, func(x, y Point) int { return x.At.Compare(y.At) })
		for i, p := range sorted {
			f := figure{at: p.At, day: a.days(p.At) + shift, value: p.Value}
			if a.Outcome == Interval { // neighbours are one turn apart, however long it took
				f.day = float64(i) + shift
			}
			if a.state(p.At) == settling {
				settle = append(settle, f)
				continue
			}
			counted = append(counted, entry{figure: f, treated: treated, open: p.Open})
		}
	}
	take(a.Treated, true, 0)
	take(a.Comparison, false, apart)
	return counted, settle
}

func treatedOnly(entries []entry) []figure {
	var out []figure
	for _, e := range entries {
		if e.treated {
			out = append(out, e.figure)
		}
	}
	return out
}

func (a Ask) comparable(entries []entry) error {
	n := [2]int{}
	for _, e := range entries {
		if !e.treated {
			n[min(int(a.state(e.at)), 1)]++
		}
	}
	if n[0] < fewest || n[1] < fewest {
		return fmt.Errorf("the comparison tank has %s before the change and %d after: expected %d or more of each", figures(n[0]), n[1], fewest)
	}
	return nil
}

// ratioModel is the design of a log link. Column 1 is the change on the treated
// tank.
func (a Ask) ratioModel(entries []entry, c columns, compared bool) stats.Design {
	var d stats.Design
	last := 1.0
	for _, e := range entries {
		last = max(last, abs(a.days(e.at)))
	}
	for _, e := range entries {
		during := 0.0
		if a.state(e.at) == on {
			during = 1
		}
		row := []float64{1, 0}
		if e.treated {
			row[1] = during
		}
		if compared {
			group := 0.0
			if e.treated {
				group = 1
			}
			row = append(row, group, during)
		}
		if c.trend {
			row = append(row, a.days(e.at)/last, during*a.days(e.at)/last)
		}
		d.T, d.X = append(d.T, e.day), append(d.X, row)
	}
	return d
}

// iterate fits the means by weighted least squares until they stand still.
func (a Ask) iterate(entries []entry, c columns, compared bool) (stats.Design, error) {
	d := a.ratioModel(entries, c, compared)
	overall := 0.0
	for _, e := range entries {
		overall += e.value / float64(len(entries))
	}
	for i := range entries {
		entries[i].mean = (entries[i].value + overall) / 2
		if entries[i].mean == 0 {
			entries[i].mean = 0.5
		}
	}
	var work stats.Design
	for range 60 {
		values := a.completed(entries)
		work = stats.Design{T: d.T}
		for i, e := range entries {
			weight := 1.0
			if a.Outcome == Count {
				weight = math.Sqrt(e.mean)
			}
			row := make([]float64, len(d.X[i]))
			for j := range row {
				row[j] = d.X[i][j] * weight
			}
			work.X = append(work.X, row)
			work.Y = append(work.Y, weight*(math.Log(e.mean)+values[i]/e.mean-1))
		}
		fit, err := stats.FitGLS(work, stats.Independent, stats.REML)
		if err != nil {
			return work, fmt.Errorf("the figures do not tell the change from the rest: %w", err)
		}
		moved := 0.0
		for i := range entries {
			eta := 0.0
			for j := range d.X[i] {
				eta += d.X[i][j] * fit.Coef[j]
			}
			mean := math.Exp(min(max(eta, -30), 30))
			moved = max(moved, abs(math.Log(mean/entries[i].mean)))
			entries[i].mean = mean
		}
		if moved < 1e-10 {
			break
		}
	}
	return work, nil
}

// completed gives the values, an open interval as long as those that lasted at
// least as long, in proportion to their means, did on average (Buckley & James
// 1979, Biometrika 66:429).
func (a Ask) completed(entries []entry) []float64 {
	out := make([]float64, len(entries))
	for i, e := range entries {
		out[i] = e.value
		if !e.open || a.Outcome != Interval {
			continue
		}
		sum, n := 0.0, 0
		for _, f := range entries {
			if !f.open && f.value/f.mean > e.value/e.mean {
				sum += f.value / f.mean
				n++
			}
		}
		if n > 0 {
			out[i] = sum / float64(n) * e.mean
		}
	}
	return out
}

func (a Ask) ratioResult(entries []entry, settle []figure, m stats.Design, compared bool) (Result, error) {
	average, err := stats.AverageOver(m, changeColumn)
	if err != nil {
		return Result{}, fmt.Errorf("the figures do not tell the change from the rest: %w", err)
	}
	r := Result{average: average, Exact: -1, SlopeP: -1, DF: average.DF, GapDays: average.Gap}
	low, high := average.Interval(0.95)
	fit, err := stats.FitGLS(m, stats.ContinuousTime, stats.REML)
	if err != nil {
		return Result{}, fmt.Errorf("the figures do not tell the change from the rest: %w", err)
	}
	r.Phi = pow(fit.Phi, r.GapDays)
	r.Effect, r.Low, r.High = math.Exp(fit.Coef[changeColumn]), math.Exp(low), math.Exp(high)
	r.P = average.P(0)
	if a.Outcome == Interval {
		r.GapDays *= meanInterval(entries)
	}
	a.ratioUsed(&r, entries, settle)
	r.Method = a.ratioMethod(compared)
	a.conclude(&r)
	a.ratioChecks(&r, entries, m, compared)
	return r, nil
}

// meanInterval turns turns into days.
func meanInterval(entries []entry) float64 {
	sum := 0.0
	for _, e := range entries {
		sum += e.value / float64(len(entries))
	}
	return sum
}

func (a Ask) ratioUsed(r *Result, entries []entry, settle []figure) {
	for _, e := range entries {
		if !e.treated {
			continue
		}
		during := a.state(e.at) == on
		if during {
			r.After++
		} else {
			r.Before++
		}
		u := Used{At: e.at, Value: e.value, On: during, Without: e.mean, Fitted: true}
		if during {
			u.Without /= r.Effect
		}
		r.Used = append(r.Used, u)
	}
	for _, f := range settle {
		r.Used = append(r.Used, Used{At: f.at, Value: f.value, Settling: true})
	}
	slices.SortStableFunc(r.Used, func(x, y Used) int { return x.At.Compare(y.At) })
}

func (a Ask) ratioMethod(compared bool) string {
	what := "ratio of mean intervals"
	if a.Outcome == Count {
		what = "ratio of mean counts"
	}
	if compared {
		what += ", treated over comparison"
	}
	return what + " by a log link; scatter and correlation as the figures show them, averaged over the correlation"
}
