package effect

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"driftline/stats"

	"gonum.org/v1/gonum/stat/distuv"
)

// examine looks at the assumptions, and takes a verdict back that one of them
// does not bear.
func (a Ask) examine(r *Result, m model, c columns, pairs pairing, compared bool, dropped []figure) {
	r.note("misreads", len(dropped) == 0, misreads(dropped))
	if compared {
		a.parallel(r, m, c)
		a.partners(r, pairs)
	} else {
		r.note("another tank", false, "nothing was left as it was: whatever else changed at that time looks the same as the change")
		a.slopes(r, m, c)
	}
	a.leaning(r, m)
	a.noise(r, m)
	a.together(r)
	if r.Exact >= 0 {
		r.note("start by lot", true, fmt.Sprintf("exact p %.3g over %d starts; by the model %.3g", r.Exact, len(a.Starts), r.average.P(0)))
		if len(a.Starts) < 20 {
			r.note("starts enough", false, fmt.Sprintf("%d starts cannot give a p below %.2g: the model has to agree for a verdict", len(a.Starts), 1/float64(len(a.Starts))))
		}
	}
}

func (r *Result) note(name string, fits bool, says string) {
	r.Checks = append(r.Checks, Check{name, fits, says})
}

func misreads(dropped []figure) string {
	if len(dropped) == 0 {
		return "no figure stands out from the rest"
	}
	days := make([]string, len(dropped))
	for i, f := range dropped {
		days[i] = f.at.Format("2 January 2006")
	}
	slices.Sort(days)
	return "left out, for all others speak against it: " + strings.Join(days, ", ")
}

// parallel asks whether the two tanks kept apart by the same before; if not, the
// verdict must also hold with a trend between them.
func (a Ask) parallel(r *Result, m model, c columns) {
	var before []figure
	for _, f := range m.figures {
		if a.state(f.at) == off && f.day < 0 {
			before = append(before, f)
		}
	}
	if len(before) < 5 {
		r.note("parallel before", false, fmt.Sprintf("%s before are too few to see whether the two tanks ran parallel", figures(len(before))))
		return
	}
	var d stats.Design
	for _, f := range before {
		d.T, d.Y, d.X = append(d.T, f.day), append(d.Y, f.value), append(d.X, []float64{1, f.day})
	}
	s, err := stats.AverageOver(d, 1)
	if err != nil {
		r.note("parallel before", false, "whether the two tanks ran parallel before cannot be seen")
		return
	}
	p := s.P(0)
	if p >= sure {
		r.note("parallel before", true, fmt.Sprintf("the two tanks ran parallel as far as can be seen (p %.2g)", p))
		return
	}
	r.note("parallel before", false, fmt.Sprintf("the two tanks drew apart before the change came (p %.2g)", p))
	if c.trend {
		return
	}
	again, _, err := a.fit(m.figures, columns{trend: true, slope: c.slope})
	if err != nil || again.Low <= 0 && again.High >= 0 {
		a.doubt(r, "the two tanks drew apart before the change came, and going on like that would do as much")
	}
}

func (a Ask) partners(r *Result, p pairing) {
	n := len(p.figures)
	switch {
	case p.alone > 0:
		r.note("same moments", false, fmt.Sprintf("%d of %d figures have none of the other tank around and are left out", p.alone, n+p.alone))
	case p.interpolated > 0:
		r.note("same moments", 2*p.interpolated < n, fmt.Sprintf("for %d of %d figures the other tank is read off between its neighbours", p.interpolated, n))
	default:
		r.note("same moments", true, "both tanks were looked at at the same moments")
	}
}

// slopes asks whether a step alone tells what happened.
func (a Ask) slopes(r *Result, m model, c columns) {
	if c.slope || !c.trend || len(m.figures) < 10 {
		return
	}
	wider := a.modelOf(m.figures, columns{trend: true, slope: true})
	s, err := stats.AverageOver(wider.design, wider.slope)
	if err != nil {
		return
	}
	p := s.P(0)
	says := fmt.Sprintf("the trend went on as it was as far as can be seen (p %.2g)", p)
	if p < sure {
		says = fmt.Sprintf("the trend itself changed (p %.2g): ask with a change of trend as well", p)
	}
	r.note("one trend", p >= sure, says)
}

// leaning asks whether one figure carries the answer.
func (a Ask) leaning(r *Result, m model) {
	if r.Verdict != Helped && r.Verdict != Hurt || len(m.figures)-1 <= len(m.design.X[0]) {
		return
	}
	for i, f := range m.figures {
		s, err := stats.AverageOver(m.leaving(i), changeColumn)
		if err == nil && s.P(0) < carried && (s.Mean() > 0) == (r.average.Mean() > 0) {
			continue
		}
		r.carriedBy(f.at)
		return
	}
	r.note("one figure", true, "no single figure carries the answer")
}

// carried is the p above which, without one figure, an answer rests on that
// figure; a judgement: three times what an answer needs, for every figure less
// makes it less sure.
const carried = 3 * sure

func (r *Result) carriedBy(at time.Time) {
	day := at.Format("2 January 2006")
	r.note("one figure", false, "without the figure of "+day+" the answer would be open: one figure carries it")
}

// noise asks whether figures scatter as much with the change as without.
func (a Ask) noise(r *Result, m model) {
	phi, fit, err := m.correlation()
	if err != nil {
		return
	}
	sum, n := [2]float64{}, [2]float64{}
	for i, row := range m.design.X {
		e := m.residual(fit, i)
		if i > 0 {
			q := pow(phi, m.design.T[i]-m.design.T[i-1])
			e = (e - q*m.residual(fit, i-1)) / math.Sqrt(max(1-q*q, 1e-12))
		}
		side := int(row[changeColumn])
		sum[side] += e * e
		n[side]++
	}
	lost := float64(len(m.design.X[0])) / 2 // the columns take their share of either side
	if n[0]-lost < 2 || n[1]-lost < 2 || sum[0] == 0 || sum[1] == 0 {
		return
	}
	before, after := sum[0]/(n[0]-lost), sum[1]/(n[1]-lost)
	law := distuv.F{D1: n[1] - lost, D2: n[0] - lost}
	p := 2 * min(law.CDF(after/before), law.Survival(after/before))
	ratio := math.Sqrt(after / before)
	if p >= sure {
		r.note("same noise", true, fmt.Sprintf("figures scatter %.2g times as much with the change as without, which chance would do (p %.2g)", ratio, min(p, 1)))
		return
	}
	r.note("same noise", false, fmt.Sprintf("figures scatter %.2g times as much with the change as without (p %.2g): the interval is rougher than it looks", ratio, p))
}

func (m model) residual(fit stats.Fit, i int) float64 {
	e := m.design.Y[i]
	for j, x := range m.design.X[i] {
		e -= x * fit.Coef[j]
	}
	return e
}

// together names the changes that cannot be told from this one.
func (a Ask) together(r *Result) {
	var mixed []string
	for _, o := range r.Others {
		if o.Together {
			mixed = append(mixed, o.Name)
		}
	}
	if len(mixed) == 0 {
		return
	}
	names := strings.Join(mixed, ", ")
	r.note("told apart", false, "cannot be told from what this came with: "+names)
	// Longer watching would not help either, so this is the reason whatever the
	// figures say.
	r.Verdict, r.Why, r.MoreDays = CantTell, "it came together with another change ("+names+"), and the two cannot be told apart", 0
}

func pow(phi, gap float64) float64 { return math.Pow(phi, gap) }
