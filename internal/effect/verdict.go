package effect

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"
)

// Verdict is the answer in a word or two.
type Verdict string

// The verdicts.
const (
	Helped       Verdict = "helped"
	Hurt         Verdict = "hurt"
	NoDifference Verdict = "no difference that matters"
	CantTell     Verdict = "can't tell yet"
)

// sure is the share of true nulls that a verdict may take for an effect.
const sure = 0.05

// hoped gives a difference (a logarithm of a ratio) its sign: above 0 is the
// hoped direction.
func (a Ask) hoped(v float64) float64 {
	if a.Rise {
		return v
	}
	return -v
}

// least is the smallest difference that matters, for ratios as a logarithm.
func (a Ask) least() float64 {
	if a.Outcome.Ratio() && a.Matters > 0 {
		return math.Log(a.Matters)
	}
	return a.Matters
}

// conclude gives the verdict from effect, interval and p.
func (a Ask) conclude(r *Result) {
	least := a.least()
	if a.Rise {
		r.PDirection = 1 - r.average.Below(least)
	} else {
		r.PDirection = r.average.Below(-least)
	}
	low, high := r.average.Interval(0.95)
	p := r.P
	if r.Exact >= 0 {
		p = max(p, r.Exact)
		if len(a.Starts) >= 20 { // enough to reach 5 %: the lot alone decides
			p = r.Exact
		}
		r.P = r.Exact
	}
	switch {
	case least > 0 && low > -least && high < least:
		r.Verdict = NoDifference
		r.Why = fmt.Sprintf("the whole interval lies within what would not matter, %s", a.within())
	case p < a.needed(*r) && (low > 0 || high < 0):
		r.Verdict = Hurt
		if a.hoped(r.average.Mean()) > 0 {
			r.Verdict = Helped
		}
		r.Why = "so large an effect comes by chance alone in fewer than one of twenty such trials"
	default:
		r.Verdict = CantTell
		r.Why = "chance alone would often do as much"
		r.MoreDays = a.more(*r)
	}
}

// needed is the p an effect has to stay below. Half of it pays for having chosen
// which figures to leave out, or for misreads that so few figures cannot tell:
// without, series with misreads take a true null for an effect in 6 to 7 %.
func (a Ask) needed(r Result) float64 {
	if r.DF < tellMisreads {
		return sure / 2
	}
	for _, u := range r.Used {
		if u.Dropped {
			return sure / 2
		}
	}
	return sure
}

func (a Ask) within() string {
	if a.Outcome.Ratio() {
		return fmt.Sprintf("1/%g to %g times", a.Matters, a.Matters)
	}
	return strings.TrimSpace(fmt.Sprintf("±%g %s", a.Matters, a.Unit))
}

// doubt takes a verdict back for a reason.
func (a Ask) doubt(r *Result, why string) {
	if r.Verdict == CantTell {
		return
	}
	r.Verdict, r.Why, r.MoreDays = CantTell, why, 0
}

// more is how many more days with the change on would likely settle it at the
// pace kept so far: 80 % power for what matters, or for the effect as it looks.
// 0 when nothing says, infinite when the time before was too short for any.
func (a Ask) more(r Result) float64 {
	target := a.least()
	if target == 0 {
		target = abs(r.average.Mean())
	}
	low, high := r.average.Interval(0.95)
	t := distuv.StudentsT{Sigma: 1, Nu: r.DF}
	se := (high - low) / 2 / t.Quantile(0.975)
	wanted := target / (1.96 + 0.84) // normal quantiles of 97.5 and 80 %
	if target == 0 || se == 0 || len(r.Used) == 0 {
		return 0
	}
	during := r.Used[len(r.Used)-1].At.Sub(a.start()).Hours() / 24
	before := se * se * float64(r.After) / float64(r.Before+r.After)
	after := se*se - before
	if wanted*wanted <= before {
		return math.Inf(1)
	}
	return max(0, during*(after/(wanted*wanted-before)-1))
}
