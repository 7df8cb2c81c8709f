package standing

import (
	"math"
	"time"

	"driftline/internal/drift"
	"driftline/units"
)

// told holds what the parts of a quantity are told with.
type told struct {
	m     *matter
	f     findings
	scale scale
}

// quantity works out a matter and tells it in the shown unit.
func (m *matter) quantity(days int) Quantity {
	var f findings
	why := ""
	switch {
	case len(m.raw) == 0:
		f, why = m.guess(days), "Never tested."
	default:
		var err error
		if f, err = m.workSafely(days); err != nil {
			f, why = m.guess(days), "Could not be worked out: "+err.Error()+"."
		}
	}
	t := told{m: m, f: f, scale: newScale(m.q, m.unit, f.level.Mean)}
	q := t.frame(days)
	if why != "" {
		q.State, q.Why = Unknown, why
	}
	return q
}

func (t *told) frame(days int) Quantity {
	m, f, s := t.m, &t.f, t.scale
	q := Quantity{
		Tank: m.tank, Name: string(m.q), Unit: m.unit, AsOf: m.asOf, Simple: simple(m.q),
		Band:       Band{Low: s.limit(m.limits.low), Aim: s.limit(m.limits.aim), High: s.limit(m.limits.high), FromKeeper: m.fromKeeper},
		Level:      t.held(s.levelOf(f.level.Mean, f.level.SD)),
		Demand:     s.changeOf(f.demand.Mean, f.demand.SD),
		DailySwing: s.changeOf(f.swing.Mean, f.swing.SD),
		Forecast:   t.days(f.outlook.Days, days),
		HandsOff:   t.days(f.handsOff.Days, days),
		Readings:   t.readings(),
		History:    t.history(),
		Deeds:      t.deeds(),
		Kits:       t.kits(),
	}
	if n := len(m.raw); n > 0 {
		q.LastTest = m.raw[n-1].at
	}
	q.Leaves = t.leaves()
	q.State = word(outlookFigures{readings: len(m.raw), level: Estimate(f.level), trend: Estimate(f.trend),
		pNow: q.Leaves.PNow, p14: q.Leaves.P14, limits: m.limits})
	q.NextTest = t.nextTest()
	q.Why = t.why()
	return q
}

func (t *told) days(in []drift.Day, days int) []Day {
	in = in[:min(len(in), days+1)]
	out := make([]Day, len(in))
	for i, d := range in {
		at := t.m.asOf
		if i > 0 {
			at = t.m.asOf.Add(time.Duration(i) * dayLong)
		}
		q, low := d.Q, t.least()
		for j, v := range d.Q {
			q[j] = max(t.scale.level(v), low)
			low = q[j] // rounding must not turn the order of two that all but agree
		}
		mean := t.held(t.scale.levelOf(d.Mean, d.SD))
		out[i] = Day{At: at, Mean: mean.Mean, SD: mean.SD, P05: q[0], P10: q[1], P25: q[2],
			P50: q[3], P75: q[4], P90: q[5], P95: q[6], POutside: d.POutside}
	}
	return out
}

// least is the lowest the quantity can be, in the shown unit: wide doubt must
// not speak of less than nothing.
func (t *told) least() float64 {
	low, _, err := units.Range(t.m.q, t.m.unit)
	if err != nil {
		return math.Inf(-1)
	}
	return low
}

func (t *told) held(e Estimate) Estimate { return Estimate{max(e.Mean, t.least()), e.SD} }

func (t *told) leaves() Leaving {
	o := t.f.outlook
	out := Leaving{PNow: o.PNow, P7: within(o, 7), P14: within(o, 14), P30: within(o, 30)}
	for i, d := range o.Days {
		if d.POutside >= 0.5 {
			at := t.m.asOf.Add(time.Duration(i) * dayLong)
			out.EvenChanceBy = &at
			break
		}
	}
	out.Side = t.side()
	out.Either = min(o.PLow, o.PHigh) > 0.4*max(o.PLow, o.PHigh)
	return out
}

func within(o drift.Outlook, days int) float64 {
	if len(o.Days) == 0 {
		return o.PNow
	}
	return o.Days[min(days, len(o.Days)-1)].POutside
}

// side is where it leaves: where it is, when it is likely outside already,
// else the likelier side unless neither is likely.
func (t *told) side() string {
	const likely = 0.1
	o, l := t.f.outlook, t.m.limits
	if o.PNow >= outsideNow {
		if t.f.level.Mean < l.low || !(t.f.level.Mean > l.high) && nearerLow(t.f.level.Mean, l) {
			return "low"
		}
		return "high"
	}
	switch {
	case max(o.PLow, o.PHigh) < likely:
		return ""
	case o.PLow >= o.PHigh:
		return "low"
	}
	return "high"
}

// nearerLow settles the side of a level so doubtful that it lies inside on average.
func nearerLow(level float64, l limits) bool {
	return math.IsNaN(l.high) || level-l.low < l.high-level // false without a low limit
}

func (t *told) readings() []Reading {
	out := make([]Reading, len(t.m.raw))
	for i, r := range t.m.raw {
		out[i] = Reading{Line: r.line, At: r.at, Value: t.scale.level(r.value), Instrument: r.name, Below: r.below}
		if i < len(t.f.doubts) {
			d := t.f.doubts[i]
			out[i].SD, out[i].Misread = t.scale.change(d.SD), d.Misread
			out[i].Expected = t.scale.levelOf(d.Expected.Mean, d.Expected.SD)
		}
	}
	return out
}

func (t *told) history() []Point {
	out := make([]Point, len(t.f.history))
	for i, e := range t.f.history {
		shown := t.held(t.scale.levelOf(e.Mean, e.SD))
		out[i] = Point{At: timeOf(t.f.grid[i], t.m.loc), Mean: shown.Mean, SD: shown.SD}
	}
	return out
}

// deeds gives each change the effect it had at the level it met.
func (t *told) deeds() []Deed {
	out := make([]Deed, len(t.m.deeds))
	for i, d := range t.m.deeds {
		out[i] = d.Deed
		if d.dose != nil {
			out[i].Label = d.dose.label(d.known)
		}
		effect := d.Effect
		if d.fraction > 0 {
			effect = d.fraction * (d.value - interpolate(t.f.grid, t.f.history, d.t-justBefore).Mean)
		}
		out[i].Effect = t.scale.change(effect)
	}
	return out
}

func (t *told) kits() []Kit {
	var out []Kit
	for i, k := range t.m.kits {
		kit := Kit{Name: k.name, Latest: k.latest, Unit: k.unit}
		if i < len(t.f.kits) {
			kit.Bias = t.scale.changeOf(t.f.kits[i].Mean, t.f.kits[i].SD)
		}
		for j := len(t.f.doubts) - 1; j >= 0; j-- {
			if t.m.kitOf[j] == i {
				kit.SD = t.scale.change(t.f.doubts[j].SD)
				break
			}
		}
		out = append(out, kit)
	}
	return out
}
