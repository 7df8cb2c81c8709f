package whatif

import (
	"math"
	"slices"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/internal/substance"
	"driftline/units"
)

// road is what a plan does to the tank, in days from as-of.
type road struct {
	plan      Plan
	doses     []dose
	feeds     []feed
	changes   []change
	dry       []dry
	scales    []scaled
	halts     []halt
	fare      []fare
	crops     []crop
	hands     int
	uncounted map[string]bool
}

// given is an amount of a substance, grams or millilitres, the other zero. Extra
// is what the declared routines do not bring: the salt they bring is part of the
// salinity's own trend.
type given struct {
	stuff     *substance.Substance
	grams, mL float64
	extra     bool
}

type dose struct {
	t float64
	given
}

// feed is a dose spread over time, so much a day.
type feed struct {
	from, to float64
	given
}

type change struct {
	t, litres   float64
	mix         string
	composition []book.Contained
}

// scaled is a demand that is so many times what it was.
type scaled struct {
	from, to float64
	quantity units.Quantity
	by       float64
}

// halt is a span in which something is not done.
type halt struct {
	from, to float64
	what     string // of a Change
	routine  string // key; "" for all hand work
}

// deed is what a halt is asked about.
type deed struct {
	hand    bool
	action  string // of a routine, "" for what is not halted by kind
	routine string // key
}

func (h halt) covers(d deed) bool {
	switch h.what {
	case StopsDosing:
		return d.action == OneDose
	case StopWaterChanges:
		return d.action == WaterChange
	}
	if h.routine == "" {
		return d.hand
	}
	return h.routine == d.routine
}

// halted says until when a deed due at a time is not done; the time itself when
// nothing stops it.
func (r *road) halted(t float64, d deed) float64 {
	for again := true; again; {
		again = false
		for _, h := range r.halts {
			if t >= h.from && t < h.to && h.covers(d) {
				t, again = h.to, true
			}
		}
	}
	return t
}

// catchUp is how long after its time overdue hand work is taken to be done, days.
const catchUp = 0.25

// turns lists when hand work is done. What fell due while it was stopped is done
// once, soon after.
func (r *road) turns(next, every, end, days float64, d deed) []float64 {
	var out []float64
	at := next
	if at < 0 {
		at = catchUp
	}
	every = max(every, 1.0/24)
	for at <= days && at < end {
		if until := r.halted(at, d); until > at {
			at = until + catchUp
			continue
		}
		out = append(out, at)
		at += every
	}
	return out
}

// running lists the spans in which a machine runs.
func (r *road) running(from, to float64, d deed) [][2]float64 {
	var out [][2]float64
	for from < to {
		if until := r.halted(from, d); until > from {
			from = until
			continue
		}
		end := to
		for _, h := range r.halts {
			if h.from > from && h.from < end && h.covers(d) {
				end = h.from
			}
		}
		out = append(out, [2]float64{from, end})
		from = end
	}
	return out
}

// roadOf lays out what a plan does.
func (w *worker) roadOf(p Plan) (*road, error) {
	r := &road{plan: p, uncounted: map[string]bool{}}
	if p.HandsOff {
		r.halts = append(r.halts, halt{0, math.Inf(1), Stop, ""})
	}
	for _, c := range p.Changes {
		if c.What == Stop || c.What == StopsDosing || c.What == StopWaterChanges {
			from, to := w.span(c)
			r.halts = append(r.halts, halt{from, to, c.What, book.Key(c.Routine)})
		}
	}
	if err := w.knownRoutines(p); err != nil {
		return nil, err
	}
	for _, d := range w.schedule {
		w.routine(r, d)
	}
	w.accepted(r)
	for _, c := range p.Changes {
		if err := w.add(r, c); err != nil {
			return nil, err
		}
	}
	w.evaporate(r)
	slices.SortStableFunc(r.doses, func(a, b dose) int { return compare(a.t, b.t) })
	slices.SortStableFunc(r.changes, func(a, b change) int { return compare(a.t, b.t) })
	return r, nil
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// span of a change in days; open without its ends.
func (w *worker) span(c Change) (from, to float64) {
	to = math.Inf(1)
	if !c.From.IsZero() {
		from = w.day(c.From)
	}
	if !c.Until.IsZero() {
		to = w.day(c.Until)
	}
	return max(from, 0), to
}

func (w *worker) day(t time.Time) float64 { return t.Sub(w.asOf).Hours() / 24 }

// routine lays out the turns of a declared routine.
func (w *worker) routine(r *road, d standing.Due) {
	b, end := d.Routine, math.Inf(1)
	if !d.End.IsZero() {
		end = w.day(d.End)
	}
	deed := deed{hand: !b.Automatic, action: book.Key(b.Action), routine: book.Key(b.Name)}
	grams, mL, ok := measuredNumber(b.Amount, b.Unit)
	switch {
	case deed.action == OneDose && ok:
		g, known := w.stuff(r, b.Substance, grams, mL, false)
		if !known {
			break
		}
		if b.Automatic {
			for _, s := range r.running(max(w.day(d.Start), 0), min(end, w.days), deed) {
				r.feeds = append(r.feeds, feed{s[0], s[1], g.times(1 / d.EveryDays)})
			}
			return
		}
		for _, t := range r.turns(w.day(d.Next), d.EveryDays, end, w.days, deed) {
			r.doses, r.hands = append(r.doses, dose{t, g}), r.hands+1
		}
		return
	case deed.action == WaterChange:
		n := b.Volume
		if n == "" {
			n = b.Amount
		}
		if _, mL, ok := measuredNumber(n, b.Unit); ok {
			w.exchange(r, d, end, deed, change{litres: mL / 1000, mix: b.Mix, composition: b.Composition})
			return
		}
	}
	if deed.hand {
		r.hands += len(r.turns(w.day(d.Next), d.EveryDays, end, w.days, deed))
	}
}

func (g given) times(by float64) given {
	g.grams *= by
	g.mL *= by
	return g
}

// exchange lays out water changes; a machine's small ones are told by the day.
func (w *worker) exchange(r *road, d standing.Due, end float64, deed deed, c change) {
	if deed.hand {
		for _, t := range r.turns(w.day(d.Next), d.EveryDays, end, w.days, deed) {
			c.t = t
			r.changes, r.hands = append(r.changes, c), r.hands+1
		}
		return
	}
	step := max(d.EveryDays, 1)
	c.litres *= step / d.EveryDays
	c.t = w.day(d.Start)
	if d.EveryDays < 1 {
		c.t += 0.5
	}
	if c.t <= 0 {
		c.t += (math.Floor(-c.t/step) + 1) * step
	}
	for ; c.t <= w.days && c.t < end; c.t += step {
		if r.halted(c.t, deed) == c.t {
			r.changes = append(r.changes, c)
		}
	}
}

// accepted lays out the doses of accepted plans that are still to come. One that
// is missed is not made up for.
func (w *worker) accepted(r *road) {
	for _, p := range standing.PlannedDoses(w.tank, w.asOf) {
		t := w.day(p.At)
		grams, mL, ok := measuredNumber(p.Amount, p.Unit)
		if !p.Ahead(w.asOf) || !(t > 0) || t > w.days || !ok || r.halted(t, deed{hand: true, action: OneDose}) > t {
			continue
		}
		r.hands++
		if g, known := w.stuff(r, p.Substance, grams, mL, true); known {
			r.doses = append(r.doses, dose{t, g})
		}
	}
}

// stuff finds what a substance does; known is false when nobody has said, which
// is noted.
func (w *worker) stuff(r *road, name string, grams, mL float64, extra bool) (g given, known bool) {
	s, err := w.find(name)
	if err != nil {
		r.uncounted[name] = true
		return g, false
	}
	g = given{stuff: s, grams: grams, mL: mL, extra: extra}
	counted := false
	for _, q := range s.Quantities() {
		counted = counted || g.raise(q, 1) != 0
	}
	if !counted {
		r.uncounted[s.Name] = true
	}
	return g, true
}

// raise is what it adds to a quantity in so many litres, in the default unit.
func (g given) raise(q units.Quantity, litres float64) float64 {
	if q == units.Salinity {
		if !g.extra {
			return 0
		}
		amount := g.grams
		if g.stuff.Unit() != "g" {
			amount = g.mL
		}
		return g.stuff.SalinityRise(amount, substance.Water{Litres: litres, SP: 35, TempC: 25})
	}
	gives := g.stuff.Gives(q)
	switch {
	case g.grams > 0 && gives.KnownPerGram:
		return g.grams * gives.PerGram / litres
	case g.mL > 0 && gives.KnownPerML:
		return g.mL * gives.PerML / litres
	}
	return 0
}
