package effect

import (
	"fmt"
	"slices"

	"driftline/stats"
)

// differences answers for readings and scores.
func (a Ask) differences() (Result, error) {
	compared := len(a.Comparison) > 0
	var pairs pairing
	var figures []figure
	for block, p := range append([]Pair{{a.Treated, a.Comparison}}, a.Also...) {
		one := pairing{figures: a.averaged(p.Treated)}
		if compared {
			one = pair(one.figures, a.averaged(p.Comparison))
		}
		for _, f := range one.figures {
			f.block = block
			figures = append(figures, f)
		}
		pairs.interpolated += one.interpolated
		pairs.alone += one.alone
	}
	pairs.figures = figures
	counted, settle := a.split(figures)
	c := columns{trend: !compared && !a.NoTrend || a.Slope, slope: a.Slope}
	if err := a.enough(counted, compared); err != nil {
		return Result{}, err
	}
	kept, dropped := a.dropMisreads(counted, c)
	r, m, err := a.fit(kept, c)
	if err != nil {
		return Result{}, err
	}
	r.Method = a.method(compared, c)
	r.Used = a.used(kept, dropped, settle, r.without)
	if err := a.exact(&r, m, c); err != nil {
		return Result{}, err
	}
	a.conclude(&r)
	a.examine(&r, m, c, pairs, compared, dropped)
	return r, nil
}

// split parts the figures that count from those too near the change.
func (a Ask) split(figures []figure) (counted, settle []figure) {
	for _, f := range figures {
		if a.state(f.at) == settling {
			settle = append(settle, f)
		} else {
			counted = append(counted, f)
		}
	}
	return counted, settle
}

func (a Ask) enough(counted []figure, compared bool) error {
	n := [2]int{}
	for _, f := range counted {
		if a.state(f.at) == on {
			n[1]++
		} else {
			n[0]++
		}
	}
	if n[0] >= fewest && n[1] >= fewest {
		return nil
	}
	if compared {
		return fmt.Errorf("%d moments without the change and %d with it at which both tanks are known: expected %d or more of each", n[0], n[1], fewest)
	}
	return fmt.Errorf("%d moments without the change and %d with it: expected %d or more of each", n[0], n[1], fewest)
}

// fit works the effect out.
func (a Ask) fit(kept []figure, c columns) (Result, model, error) {
	m := a.modelOf(kept, c)
	r := Result{Exact: -1, SlopeP: -1}
	for _, f := range kept {
		if a.state(f.at) == on {
			r.After++
		} else {
			r.Before++
		}
	}
	average, err := stats.AverageOver(m.design, changeColumn)
	if err != nil {
		return r, m, fmt.Errorf("the figures do not tell the change from the rest: %w", err)
	}
	r.average = average
	r.DF, r.GapDays = average.DF, average.Gap
	r.Low, r.High = average.Interval(0.95)
	r.P = average.P(0)
	if a.Outcome == Score {
		if r.P, err = a.rankP(m); err != nil {
			return r, m, err
		}
	}
	if err := a.fitOthers(&r, m); err != nil {
		return r, m, err
	}
	return r, m, nil
}

// fitOthers adds the correlation, the change of trend and other changes.
func (a Ask) fitOthers(r *Result, m model) error {
	phi, fit, err := m.correlation()
	if err != nil {
		return fmt.Errorf("the figures do not tell the change from the rest: %w", err)
	}
	r.Phi = pow(phi, r.GapDays)
	r.Effect = fit.Coef[changeColumn]
	r.without = m.without(fit.Coef)
	if m.slope > 0 {
		s, err := stats.AverageOver(m.design, m.slope)
		if err != nil {
			return err
		}
		r.SlopeP = s.P(0)
	}
	for i, o := range a.Others {
		j := m.others[i]
		if j == 0 {
			r.Others = append(r.Others, OtherEffect{Name: o.Name, Mixed: 1, Together: true})
			continue
		}
		s, err := stats.AverageOver(m.design, j)
		if err != nil {
			return err
		}
		e := OtherEffect{Name: o.Name, Effect: s.Mean(), Mixed: fit.Vcov[changeColumn][j] / (fit.SE[changeColumn] * fit.SE[j])}
		e.Low, e.High = s.Interval(0.95)
		e.Together = abs(e.Mixed) > inseparable
		r.Others = append(r.Others, e)
	}
	return nil
}

// inseparable is the correlation of two effects above which neither is worth a
// verdict; a judgement: at 0.9 an effect's variance is five times that without
// the other.
const inseparable = 0.9

// rankP is the p value by the normal scores of the ranks, which an eye's 0 to 4
// does not bend.
func (a Ask) rankP(m model) (float64, error) {
	d := m.design
	d.Y = stats.NormalScores(m.design.Y)
	s, err := stats.AverageOver(d, changeColumn)
	if err != nil {
		return 0, fmt.Errorf("the scores do not tell the change from the rest: %w", err)
	}
	return s.P(0), nil
}

// exact adds the test over all starts that the lot could have fallen on.
func (a Ask) exact(r *Result, m model, c columns) error {
	if len(a.Starts) == 0 {
		return nil
	}
	step := func(start int) (float64, error) {
		b := a
		length := a.Starts[start].Sub(a.start())
		b.On = slices.Clone(a.On)
		for i := range b.On {
			b.On[i].From = b.On[i].From.Add(length)
			if !b.On[i].Until.IsZero() {
				b.On[i].Until = b.On[i].Until.Add(length)
			}
		}
		fit, err := stats.FitGLS(b.modelOf(m.figures, c).design, stats.Independent, stats.REML)
		if err != nil {
			return 0, fmt.Errorf("the start %s was drawn among others, of which %s leaves too few figures on one side: expected starts with figures before and after",
				a.start().Format("2006-01-02"), a.Starts[start].Format("2006-01-02"))
		}
		return fit.Coef[changeColumn], nil
	}
	seen, err := step(slices.IndexFunc(a.Starts, a.start().Equal))
	if err != nil {
		return err
	}
	asFar := 0
	for i := range a.Starts {
		v, err := step(i)
		if err != nil {
			return err
		}
		if abs(v) >= abs(seen)*(1-1e-12) {
			asFar++
		}
	}
	r.Exact = float64(asFar) / float64(len(a.Starts))
	return nil
}

func (a Ask) used(kept, dropped, settle []figure, without []float64) []Used {
	var out []Used
	add := func(list []figure, isDropped, isSettling bool) {
		for _, f := range list {
			out = append(out, Used{At: f.at, Value: f.value, On: a.state(f.at) == on, Dropped: isDropped, Settling: isSettling, Tank: f.block})
		}
	}
	add(kept, false, false)
	for i := range out {
		out[i].Without, out[i].Fitted = without[i], true
	}
	add(dropped, true, false)
	add(settle, false, true)
	slices.SortStableFunc(out, func(x, y Used) int { return x.At.Compare(y.At) })
	return out
}

func (a Ask) method(compared bool, c columns) string {
	design := "a step"
	switch {
	case compared:
		design = "treated minus comparison, before and after"
	case c.trend:
		design = "a step on top of the trend"
	}
	if c.slope {
		design += ", with a change of trend"
	}
	if len(a.On) > 1 || !a.On[0].Until.IsZero() {
		design += ", on and off"
	}
	law := "errors correlated in continuous time, averaged over the correlation, by restricted likelihood"
	if a.Outcome == Score {
		law += "; p by normal scores of the ranks"
	}
	return design + "; " + law
}
