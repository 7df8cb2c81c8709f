package feeding

import (
	"fmt"
	"math"
	"time"

	"driftline/internal/book"
	"driftline/internal/food"
	"driftline/internal/standing"
	"driftline/units"
)

// Shares of what is eaten that stay in fish, adult display stock: judgements from
// published budgets of growing fish (Porter and others 1987, Aquaculture 66: 30 % of
// nitrogen kept; Cai and others 2016: under 20 %), for fish that hardly grow.
var (
	keptN = food.Percent(15, 5, 25)
	keptP = food.Percent(20, 10, 35)
)

// Flow is nitrogen and phosphorus on one way, g.
type Flow struct {
	Name string `json:"name"`
	N    Mass   `json:"N_g"`
	P    Mass   `json:"P_g"`
}

// Settling is where a level goes if all goes on like this, in the quantity's default
// unit, and how long it takes to get there but for a twentieth.
type Settling struct {
	Mean, SD float64
	Unit     string
	Days     float64
}

// Budget is what went in and out of a tank over a span. In is the sum of ByFood and
// Other; In = Out + Stored + Unexplained, exactly.
type Budget struct {
	Tank        string
	From, To    time.Time
	In          Flow
	ByFood      []Eaten
	Other       []Flow // in by doses and new water
	Out         []Flow
	Stored      Flow // more in the water than at the start
	Unexplained Flow // denitrification, rock, skimmer, siphon, and all errors
	Nitrate     *Settling
	Phosphate   *Settling
}

// Work draws the budget up. It fails when the tank has no volume, or when nitrate and
// phosphate were never read in the span's reach.
func Work(desk *standing.Desk, f *book.Facts, tank string, from, to time.Time) (Budget, error) {
	t, ok := f.Tank(tank)
	if !ok {
		return Budget{}, fmt.Errorf("tank %q is not in the book", tank)
	}
	volume, ok := t.Tank.NetVolume.Float()
	litres, err := units.Litres(volume, t.Tank.Unit)
	if !ok || err != nil || !(litres > 0) {
		return Budget{}, fmt.Errorf("the net volume of %s is not known", t.Tank.Name)
	}
	if !to.After(from) {
		return Budget{}, fmt.Errorf("the span from %s to %s is empty: expected a later end", from.Format(time.DateOnly), to.Format(time.DateOnly))
	}
	b := Budget{Tank: t.Tank.Name, From: from, To: to, ByFood: Meals(f, t, from, to), In: Flow{Name: "in"}}
	eaten := Flow{Name: "food"}
	for _, e := range b.ByFood {
		eaten.N, eaten.P = plus(eaten.N, e.N), plus(eaten.P, e.P)
	}
	nitrate, err := waterOf(desk, f, tank, units.Nitrate, food.NitrogenInNitrate, litres, from, to)
	if err != nil {
		return b, err
	}
	phosphate, err := waterOf(desk, f, tank, units.Phosphate, food.PhosphorusInPhosphate, litres, from, to)
	if err != nil {
		return b, err
	}
	b.Other = []Flow{{"doses", nitrate.dosed, phosphate.dosed}}
	b.Out = []Flow{{"kept by fish", part(eaten.N, keptN), part(eaten.P, keptP)}, harvested(t, from, to), {"water changes", minus(nitrate.changed), minus(phosphate.changed)}}
	b.Stored = Flow{"more in the water", nitrate.stored, phosphate.stored}
	b.In.N, b.In.P = plus(eaten.N, nitrate.dosed), plus(eaten.P, phosphate.dosed)
	b.Unexplained = Flow{Name: "not explained", N: b.left(func(f Flow) Mass { return f.N }), P: b.left(func(f Flow) Mass { return f.P })}
	days := to.Sub(from).Hours() / 24
	fixed := func(of func(Flow) Mass) Mass { return plus(of(b.In), plus(minus(of(b.Out[0])), minus(of(b.Out[1])))) }
	b.Nitrate = nitrate.settles(fixed(func(f Flow) Mass { return f.N }), days)
	b.Phosphate = phosphate.settles(fixed(func(f Flow) Mass { return f.P }), days)
	return b, nil
}

// left is what neither went out by a known way nor stayed.
func (b Budget) left(of func(Flow) Mass) Mass {
	m := plus(of(b.In), minus(of(b.Stored)))
	for _, o := range b.Out {
		m = plus(m, minus(of(o)))
	}
	return m
}

// water is what the ledger says of one nutrient, in grams of its element.
type water struct {
	dosed, changed, stored Mass
	mean                   Mass // in the water, between start and end
	perLevel               float64
	unit                   string
}

func waterOf(desk *standing.Desk, f *book.Facts, tank string, q units.Quantity, share, litres float64, from, to time.Time) (water, error) {
	l, err := desk.Ledger(f, tank, string(q), from, to)
	if err != nil {
		return water{}, fmt.Errorf("%s of %s: %w", q, tank, err)
	}
	perUnit, err := units.Convert(q, 1, l.Unit, q.Default())
	if err != nil {
		return water{}, err
	}
	grams := perUnit * litres / 1000 * share
	mass := func(e standing.Estimate) Mass { return Mass{e.Mean * grams, e.SD * grams} }
	w := water{perLevel: litres / 1000 * share, unit: q.Default()}
	for _, e := range l.Entries {
		switch e.Name {
		case "dose", "routine":
			w.dosed = plus(w.dosed, mass(e.Change))
		case "water change":
			w.changed = plus(w.changed, mass(e.Change))
		}
	}
	start, end := mass(l.From), mass(l.To)
	w.stored = plus(end, minus(start))
	w.mean = Mass{(start.Mean + end.Mean) / 2, hypot(start.SD, end.SD) / 2}
	return w, nil
}

// settles follows what comes in, less what fish and harvest keep, to where all other
// removal, taken to be in proportion to the level, takes out as much: from
// dS/dt = I - kS, with k by the span's own balance.
func (w water) settles(in Mass, days float64) *Settling {
	removed := in.Mean - w.stored.Mean
	if !(in.Mean > 0) || !(removed > 0) || !(w.mean.Mean > 0) {
		return nil
	}
	x := w.stored.Mean / in.Mean
	level := w.mean.Mean / (1 - x)
	sdX := hypot(w.stored.SD/in.Mean, x*in.SD/in.Mean)
	sd := level * hypot(w.mean.SD/w.mean.Mean, sdX/(1-x))
	return &Settling{Mean: level / w.perLevel, SD: sd / w.perLevel, Unit: w.unit, Days: 3 * w.mean.Mean * days / removed}
}

// harvested is what was cut out.
func harvested(t *book.TankFacts, from, to time.Time) Flow {
	out := Flow{Name: "harvest"}
	grams := 0.0
	for i := range t.Events {
		b, ok := t.Events[i].Body.(*book.Harvest)
		if !ok || t.Events[i].At.Before(from) || !t.Events[i].At.Before(to) {
			continue
		}
		v, known := b.WetMass.Float()
		if g, err := units.Grams(v, b.Unit); known && err == nil {
			grams += g
		}
	}
	dry := Mass{grams * food.DryOfWet.Mean, grams * food.DryOfWet.SD()}
	out.N, out.P = part(dry, food.NitrogenDry), part(dry, food.PhosphorusDry)
	return out
}

func hypot(a, b float64) float64 { return math.Hypot(a, b) }

func plus(a, b Mass) Mass { return Mass{a.Mean + b.Mean, hypot(a.SD, b.SD)} }

func minus(a Mass) Mass { return Mass{-a.Mean, a.SD} }

// part is a doubtful share of a doubtful mass.
func part(m Mass, s food.Share) Mass {
	return Mass{m.Mean * s.Mean, hypot(m.SD*s.Mean, m.Mean*s.SD())}
}
