package makeup

import (
	"fmt"
	"math"
	"strings"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/internal/substance"
	"driftline/units"
)

// Settling is how a routine of such changes settles, with the tank's own demand
// and the declared dosing going on.
type Settling struct {
	Demand standing.Estimate `json:"demand_a_day"` // of the tank itself
	Dosing float64           `json:"dosing_a_day"` // declared, by hand and machine
	After  standing.Estimate `json:"settled_after_change"`
	Before standing.Estimate `json:"settled_before_change"`
	End    standing.Estimate `json:"at_the_end"` // right after the last change of the span
	Teeth  []Tooth           `json:"path"`
	Hold   Holding           `json:"hold"`
	Says   string            `json:"says"`
}

// Tooth is the level at a moment; at a change there are two.
type Tooth struct {
	Day  float64 `json:"day"`
	Mean float64 `json:"mean"`
	SD   float64 `json:"sd"`
}

// Holding is what would hold the aim, each by itself: another size at the same
// interval, another interval at the same size, or other new water. Nil where it
// cannot.
type Holding struct {
	Litres    *float64 `json:"litres"`
	EveryDays *float64 `json:"every_days"`
	NewWater  *float64 `json:"new_water"`
	Says      string   `json:"says"`
}

// teeth is the course of the level with its doubt. The level is linear in where
// it starts, in the demand and in the new water, so that each doubt is carried
// exactly.
func (r Routine) teeth(start, demand, fresh standing.Estimate, days float64) []Tooth {
	type weight struct{ start, demand, fresh float64 }
	at, out := weight{start: 1}, []Tooth(nil)
	mark := func(day float64) {
		out = append(out, Tooth{day, at.start*start.Mean + at.demand*demand.Mean + at.fresh*fresh.Mean,
			math.Sqrt(sq(at.start*start.SD) + sq(at.demand*demand.SD) + sq(at.fresh*fresh.SD))})
	}
	mark(0)
	for n := 1; ; n++ {
		day := float64(n) * r.EveryDays
		if day > days+1e-9 {
			if rest := days - float64(n-1)*r.EveryDays; rest > 1e-9 {
				at.demand -= rest
				mark(days)
			}
			return out
		}
		at.demand -= r.EveryDays
		mark(day)
		at = weight{at.start * (1 - r.Share), at.demand * (1 - r.Share), at.fresh*(1-r.Share) + r.Share}
		mark(day)
	}
}

func sq(x float64) float64 { return x * x }

// Holds is what would keep the middle between just after and just before a change
// at an aim: the settled middle is N - L((1-f)/f + 1/2), with L lost between two
// changes.
func (r Routine) Holds(aim float64) (share, everyDays, fresh float64) {
	lost := r.Demand * r.EveryDays
	weight := (1-r.Share)/r.Share + 0.5
	return lost / (r.Fresh - aim + lost/2), (r.Fresh - aim) / (weight * r.Demand), aim + lost*weight
}

// mostRoutine is the largest share that a routine is told to change: more at once
// is no routine any more (judgement).
const mostRoutine = 0.5

func (w *follower) settle(m Moved, s standing.Quantity, per float64) Settling {
	out := Settling{Demand: s.Demand, Dosing: w.dosing[m.Quantity] * per}
	net := standing.Estimate{Mean: s.Demand.Mean - out.Dosing, SD: math.Hypot(s.Demand.SD, standing.DoseDoubt*out.Dosing)}
	r := Routine{Share: w.out.Share, EveryDays: w.out.EveryDays, Fresh: m.NewWater.Mean, Demand: net.Mean}
	after, before := r.Settled()
	a := r.EveryDays * (1 - r.Share) / r.Share // days of demand that lie between new water and level
	out.After = standing.Estimate{Mean: after, SD: math.Hypot(m.NewWater.SD, a*net.SD)}
	out.Before = standing.Estimate{Mean: before, SD: math.Hypot(m.NewWater.SD, (a+r.EveryDays)*net.SD)}
	out.Teeth = r.teeth(m.Tank, net, m.NewWater, float64(w.out.Weeks)*7)
	for _, t := range out.Teeth {
		if n := math.Round(t.Day / r.EveryDays); n >= 1 && math.Abs(t.Day-n*r.EveryDays) < 1e-9 {
			out.End = standing.Estimate{Mean: t.Mean, SD: t.SD}
		}
	}
	if len(out.Teeth) < 3 { // no change within the span
		last := out.Teeth[len(out.Teeth)-1]
		out.End = standing.Estimate{Mean: last.Mean, SD: last.SD}
	}
	out.Hold = w.hold(m, r, net)
	out.Says = w.settleSays(m, out)
	return out
}

func (w *follower) settleSays(m Moved, s Settling) string {
	q, name := m.Quantity, string(m.Quantity)
	pm := func(e standing.Estimate) string { return units.FormatPM(q, e.Mean, e.SD, m.Unit) }
	if min(s.After.Mean, s.Before.Mean) < 0 {
		return fmt.Sprintf("%s comes to %s after %d weeks and runs out if it goes on like this: such changes do not make up for what the tank takes.", prose.Capital(name), pm(s.End), w.out.Weeks)
	}
	return fmt.Sprintf("After %d weeks %s stands at %s; it settles at %s after a change and %s before the next.", w.out.Weeks, name, pm(s.End), pm(s.After), pm(s.Before))
}

// hold finds what would hold the aim.
func (w *follower) hold(m Moved, r Routine, net standing.Estimate) (h Holding) {
	target, ok := w.target(m)
	if !ok {
		h.Says = "There is no aim to hold."
		return h
	}
	q, show := m.Quantity, units.Format(m.Quantity, target, m.Unit)
	share, every, fresh := r.Holds(target)
	var ways []string
	if share > 0.001 && share <= mostRoutine {
		litres := share * w.out.NetLitres
		h.Litres = &litres
		ways = append(ways, fmt.Sprintf("changes of %s L (%.2g %%)", units.FormatAmount(tenths(litres)), 100*share))
	}
	if every >= 1 && every <= 365 {
		h.EveryDays = &every
		ways = append(ways, "one every "+units.FormatAmount(tenths(every))+" days")
	}
	if err := units.Check(q, fresh, m.Unit); err == nil && q != units.Nitrate && q != units.Phosphate && fresh >= 0 && fresh <= w.mostIn(m) {
		h.NewWater = &fresh
		ways = append(ways, "new water of "+units.Format(q, fresh, m.Unit))
	}
	switch {
	case len(ways) == 0:
		h.Says = fmt.Sprintf("No water change alone holds %s against what goes on in the tank: dose for it.", show)
	case math.Abs(net.Mean) < net.SD:
		h.Says = fmt.Sprintf("What the tank takes cannot be told from nothing yet; taken at its middle, %s is held by %s.", show, strings.Join(ways, ", or by "))
	default:
		h.Says = fmt.Sprintf("%s is held by %s.", show, strings.Join(ways, ", or by "))
	}
	return h
}

// mostIn is the most that new water should hold, the trade's and in the unit shown.
func (w *follower) mostIn(m Moved) float64 {
	most, ok := mostInBatch[m.Quantity]
	if !ok {
		most = 2 * max(m.Tank.Mean, m.NewWater.Mean)
	} else if v, err := units.Convert(m.Quantity, most, m.Quantity.Default(), m.Unit); err == nil {
		most = v
	}
	return most
}

// declaredDosing sums what the declared routines give a day. Water changes are
// left out, since the routine asked about stands in their place.
func (w *follower) declaredDosing() {
	w.dosing = map[units.Quantity]float64{}
	for _, d := range standing.Schedule(w.tank, w.asOf) {
		r := d.Routine
		if r.Substance == "" || d.Start.After(w.asOf) || !(d.EveryDays > 0) {
			continue
		}
		s, err := substance.Find(w.f, r.Substance, w.asOf)
		amount, ok := r.Amount.Float()
		if err != nil || !ok || !w.count(s, amount, r, d.EveryDays) {
			w.out.Uncounted = append(w.out.Uncounted, r.Name)
		}
	}
}

// count adds one routine of dosing; it says whether anything of it is known.
func (w *follower) count(s substance.Substance, amount float64, r *book.Routine, every float64) bool {
	known := false
	for _, q := range units.Quantities() {
		g := s.Gives(q)
		per, times := 0.0, 1.0
		switch r.Unit {
		case "mg", "g":
			per = g.PerGram
			known = known || g.KnownPerGram
			if r.Unit == "mg" {
				times = 1e-3
			}
		case "mL", "L":
			per = g.PerML
			known = known || g.KnownPerML
			if r.Unit == "L" {
				times = 1e3
			}
		}
		if q != units.Salinity && per != 0 {
			w.dosing[q] += amount * times * per / w.out.NetLitres / every
		}
	}
	return known
}
