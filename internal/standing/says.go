package standing

import (
	"fmt"
	"math"
	"time"

	"driftline/units"
)

// nextTest puts the rule to the outlook and says why in one line.
func (t *told) nextTest() NextTest {
	m := t.m
	if len(m.raw) == 0 {
		return NextTest{On: m.asOf, Why: "never tested"}
	}
	if wrong := t.f.lastWrong(); wrong >= likelyMisread {
		return NextTest{On: m.asOf, Why: fmt.Sprintf("the last reading looks like a misread (%s): repeat it", ChanceFigure(wrong))}
	}
	rule := TestRule{Interval: IntervalOf(m.q), LastTest: m.lastTest(), Tolerance: m.tolerance, PSeen: t.f.pSeen}
	rule.Repeated = m.repeated(rule.ShortestDays)
	if len(m.raw) < fewestReadings {
		rule.LongestDays = min(rule.LongestDays, 2*rule.ShortestDays) // one reading says nothing of demand
	}
	day, reason := NextTestDay(t.f.outlook, rule)
	on := timeOf(day, m.loc)
	if !on.After(m.asOf) {
		on = m.asOf
	}
	return NextTest{On: on, Why: t.testWhy(reason, rule)}
}

// likelyMisread is the chance from which a reading is named as a likely misread.
const likelyMisread = 0.5

// lastWrong is the chance that the newest reading is a misread.
func (f *findings) lastWrong() float64 {
	if len(f.doubts) == 0 {
		return 0
	}
	return f.doubts[len(f.doubts)-1].Misread
}

// repeated says whether the last test followed another closely.
func (m *matter) repeated(shortest float64) bool {
	n := len(m.raw)
	return n >= 2 && m.raw[n-1].t-m.raw[n-2].t <= 3*shortest
}

func (t *told) testWhy(reason Reason, r TestRule) string {
	chance, pNow := oneIn(r.Tolerance), t.f.outlook.PNow
	switch {
	case reason == ToFollow || pNow >= ambiguousHigh:
		return fmt.Sprintf("%s outside (%s): test until it is back", chanceWord(pNow), ChanceFigure(pNow))
	case len(t.m.raw) < fewestReadings:
		return "one reading says nothing yet of how fast it moves"
	case reason == ToConfirm || pNow >= ambiguousLow && reason != ByLongest:
		return fmt.Sprintf("may be outside (%s): another test settles it", ChanceFigure(max(pNow, r.PSeen)))
	}
	switch reason {
	case ByShortest:
		return fmt.Sprintf("shortest sensible interval, %s; %s", daysLong(r.ShortestDays), t.trendWords())
	case ByLongest:
		return "longest interval, " + daysLong(r.LongestDays)
	}
	return fmt.Sprintf("%s; %s that it is %s by then", t.trendWords(), chance, t.edgeWords())
}

// trendWords tell how fast the level moves under the routines, when that is clear.
func (t *told) trendWords() string {
	trend := t.f.trend
	rate := t.scale.change(math.Abs(trend.Mean))
	name := string(t.m.q)
	switch {
	case math.Abs(trend.Mean) < trend.SD:
		return name + " may move either way"
	case trend.Mean < 0:
		return fmt.Sprintf("%s loses about %s a day", name, rateWords(t.m.q, rate, t.m.unit))
	}
	return fmt.Sprintf("%s gains about %s a day", name, rateWords(t.m.q, rate, t.m.unit))
}

func (t *told) edgeWords() string {
	o, l := t.f.outlook, t.m.limits
	switch {
	case o.PLow >= 2*o.PHigh && !math.IsNaN(l.low):
		return "under " + units.Format(t.m.q, t.scale.level(l.low), t.m.unit)
	case o.PHigh >= 2*o.PLow && !math.IsNaN(l.high):
		return "over " + units.Format(t.m.q, t.scale.level(l.high), t.m.unit)
	}
	return "outside its band"
}

// why is the one line under a quantity: the ledger of the last days, or what a
// simple quantity does.
func (t *told) why() string {
	m := t.m
	switch {
	case len(m.raw) == 0:
		return "Never tested."
	case simple(m.q):
		return t.plainWhy()
	case t.f.account == nil:
		return "Too few readings to say what moves it."
	}
	l := t.ledger(*t.f.account, addDays(m.asOf, -t.f.accountDays), m.asOf)
	return l.Sentence
}

func (t *told) plainWhy() string {
	text := "No clear trend"
	if tr := t.f.trend; math.Abs(tr.Mean) >= clearTrend*tr.SD {
		verb := "Rising"
		if tr.Mean < 0 {
			verb = "Falling"
		}
		text = fmt.Sprintf("%s about %s a day", verb, rateWords(t.m.q, t.scale.change(math.Abs(tr.Mean)), t.m.unit))
	}
	if t.f.swing.Mean > 0 {
		text += ", swings " + rateWords(t.m.q, t.scale.change(t.f.swing.Mean), t.m.unit) + " within a day"
	}
	return text + "."
}

// rateWords writes a rate with two figures and its unit, and no more decimals
// than a day's change can be told with.
func rateWords(q units.Quantity, v float64, unit string) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		v = 0
	}
	digits := 0
	if v != 0 {
		digits = min(max(0, 1-int(math.Floor(math.Log10(math.Abs(v))))), units.Decimals(q, unit)+2)
	}
	text := fmt.Sprintf("%.*f", digits, v)
	if q == units.PH { // the unit names the scale, not the size
		return text
	}
	return text + " " + unit
}

func oneIn(p float64) string { return fmt.Sprintf("1 chance in %.0f", 1/p) }

func daysLong(d float64) string {
	switch {
	case d == 1:
		return "1 day"
	case d < 1:
		return fmt.Sprintf("%.0f hours", d*24)
	}
	return fmt.Sprintf("%.0f days", d)
}

// Expect is what a reading taken at a time may be expected to show, with the
// scatter of the kit used last: the word at entry compares with it.
func Expect(q Quantity, at time.Time) Estimate {
	e, ok := expectedLevel(q, at)
	if !ok {
		return q.Level
	}
	var latest *Kit
	for i := range q.Kits {
		if latest == nil || q.Kits[i].Latest.After(latest.Latest) {
			latest = &q.Kits[i]
		}
	}
	if latest != nil {
		e.Mean += latest.Bias.Mean
		e.SD = math.Sqrt(sq(e.SD) + sq(latest.SD) + sq(latest.Bias.SD))
	}
	return e
}

func expectedLevel(q Quantity, at time.Time) (Estimate, bool) {
	if at.Before(q.AsOf) && len(q.History) > 0 {
		best := q.History[0]
		for _, p := range q.History {
			if p.At.After(at) {
				break
			}
			best = p
		}
		return Estimate{best.Mean, best.SD}, true
	}
	for i, d := range q.Forecast {
		if i+1 == len(q.Forecast) || q.Forecast[i+1].At.After(at) {
			return Estimate{d.Mean, d.SD}, true
		}
	}
	return Estimate{}, false
}
