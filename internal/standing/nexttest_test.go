package standing

import (
	"testing"

	"driftline/internal/drift"
)

// rising is an outlook whose chance of a new excursion grows by so much a day.
func rising(now, pNow, aDay float64) drift.Outlook {
	o := drift.Outlook{PNow: pNow}
	for d := range 61 {
		o.Days = append(o.Days, drift.Day{T: now + float64(d), PNew: min(1, aDay*float64(d))})
	}
	return o
}

func TestNextTestDay(t *testing.T) {
	usual := TestRule{Interval: Interval{2, 14}, LastTest: 100, Tolerance: 0.05}
	with := func(change func(*TestRule)) TestRule { r := usual; change(&r); return r }
	cases := []struct {
		name string
		o    drift.Outlook
		rule TestRule
		day  float64
		why  Reason
	}{
		{"quiet: the longest interval", rising(100, 0, 0), usual, 114, ByLongest},
		{"1 % a day: the fifth day still fits", rising(100, 0, 0.01), usual, 105, ByRisk},
		{"3 % a day: the shortest interval", rising(100, 0, 0.03), usual, 102, ByShortest},
		{"asked three days later: the same day", rising(103, 0, 0.025), usual, 105, ByRisk},
		{"what may have left since counts", rising(103, 0.04, 0.005), usual, 105, ByRisk},
		{"over the tolerance already: today", rising(103, 0.08, 0.01), usual, 103, ByRisk},
		{"overdue: today", rising(120, 0, 0), usual, 120, ByLongest},
		{"what was seen then does not count again", rising(100, 0.06, 0.01), with(func(r *TestRule) { r.PSeen = 0.06 }), 105, ByRisk},
		{"unclear: confirm", rising(100, 0.4, 0.01), with(func(r *TestRule) { r.PSeen = 0.4 }), 102, ToConfirm},
		{"unclear and repeated: a little longer", rising(100, 0.4, 0), with(func(r *TestRule) { r.PSeen, r.Repeated = 0.4, true }), 106, ByLongest},
		{"surely outside: follow", rising(100, 0.99, 0), with(func(r *TestRule) { r.PSeen = 0.99 }), 104, ToFollow},
		{"a tighter keeper", rising(100, 0, 0.01), with(func(r *TestRule) { r.Tolerance = 0.025 }), 102, ByRisk},
		{"no outlook", drift.Outlook{}, usual, 114, ByLongest},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			day, why := NextTestDay(c.o, c.rule)
			if day != c.day || why != c.why {
				t.Errorf("day %g, reason %d; want %g, %d", day, why, c.day, c.why)
			}
		})
	}
}

func TestWord(t *testing.T) {
	band := limits{1250, 1320, 1400}
	calm := outlookFigures{readings: 9, level: Estimate{1320, 15}, limits: band}
	with := func(change func(*outlookFigures)) outlookFigures { o := calm; change(&o); return o }
	cases := []struct {
		name string
		o    outlookFigures
		want State
	}{
		{"calm", calm, Steady},
		{"one reading", with(func(o *outlookFigures) { o.readings = 1 }), Unknown},
		{"wider than the band", with(func(o *outlookFigures) { o.level.SD = 151 }), Unknown},
		{"as wide as the band", with(func(o *outlookFigures) { o.level.SD = 150 }), Steady},
		{"even chance now", with(func(o *outlookFigures) { o.pNow = 0.5 }), Outside},
		{"under even chance", with(func(o *outlookFigures) { o.pNow = 0.49 }), NearEdge},
		{"a fifth now", with(func(o *outlookFigures) { o.pNow = 0.2 }), NearEdge},
		{"three in ten soon", with(func(o *outlookFigures) { o.p14 = 0.3 }), NearEdge},
		{"under both", with(func(o *outlookFigures) { o.pNow, o.p14 = 0.19, 0.29 }), Steady},
		{"clear and reaching the edge in 59 days", with(func(o *outlookFigures) { o.trend = Estimate{-1.2, 0.6} }), Drifting},
		{"clear but far", with(func(o *outlookFigures) { o.trend = Estimate{-1.1, 0.5} }), Steady},
		{"not clear", with(func(o *outlookFigures) { o.trend = Estimate{-3, 1.6} }), Steady},
		{"no limit on that side", outlookFigures{readings: 9, level: Estimate{0.05, 0.01}, trend: Estimate{-0.01, 0.001}, limits: limits{none, 0, 0.1}}, Drifting},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := word(c.o); got != c.want {
				t.Errorf("%s, want %s", got, c.want)
			}
		})
	}
}

func TestTolerance(t *testing.T) {
	cases := []struct {
		text string
		want float64
	}{{"", 0.05}, {"5 %", 0.05}, {"5", 0.05}, {"0.1", 0.1}, {"10%", 0.1}, {"0.5 %", 0.005}, {"90 %", 0.5}, {"often", 0.05}, {"-3", 0.05}}
	for _, c := range cases {
		f := replay(t, onDay(1), at(0, `"kind":"preference","name":"Tolerance","value":"`+c.text+`"`))
		near(t, c.text, Tolerance(f), c.want, 1e-12)
	}
}
