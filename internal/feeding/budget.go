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

// Flow is nitrogen and phosphorus on one way, g.
type Flow struct {
	Name string `json:"name"`
	N    Mass   `json:"N_g"`
	P    Mass   `json:"P_g"`
}

// Budget is what went in and out of a tank over a span. In is the sum of ByFood and
// Other; In = Out + Stored + Unexplained, exactly.
type Budget struct {
	Tank        string
	From, To    time.Time
	In          Flow
	ByFood      []Eaten
	Other       []Flow // in by doses and new water
	Fates       []Flow // what becomes of the food; adds up to it
	Growing     bool   // the fish are taken to grow
	Out         []Flow
	Stored      Flow // more in the water than at the start
	Unexplained Flow // denitrification, rock, and all errors
	Volume      float64
	Notes       []string // what is not known
	// Alkalinity is what making and taking up nitrate did to it, dKH: one equivalent
	// is taken for each mole made from food, and returned for each taken up.
	Alkalinity standing.Estimate
	Nitrate    *Settling
	Phosphate  *Settling
}

// Work draws the budget up. It fails when the tank has no volume, or the span is
// empty. Of a nutrient that was never read what changed in the water is not known; a
// note says so.
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
	nitrate, note := waterOf(desk, f, tank, units.Nitrate, food.NitrogenInNitrate, litres, from, to)
	b.note(note)
	phosphate, note := waterOf(desk, f, tank, units.Phosphate, food.PhosphorusInPhosphate, litres, from, to)
	b.note(note)
	b.Other = []Flow{{"doses", nitrate.dosed, phosphate.dosed}}
	d, growing := fateOf(f, t.Tank.Name)
	b.Growing, b.Volume = growing, litres
	b.Fates = d.fates(eaten)
	harvest, siphon := removed(t, from, to)
	b.Out = []Flow{b.Fates[0], harvest, siphon}
	if skims(t) {
		b.Out = append(b.Out, Flow{"skimmer", part(eaten.N, skimmedN), part(eaten.P, skimmedP)})
	}
	b.Out = append(b.Out, Flow{"water changes", minus(nitrate.changed), minus(phosphate.changed)})
	b.Stored = Flow{"more in the water", nitrate.stored, phosphate.stored}
	b.In.N, b.In.P = plus(eaten.N, nitrate.dosed), plus(eaten.P, phosphate.dosed)
	b.Unexplained = Flow{Name: "not explained", N: b.left(func(f Flow) Mass { return f.N }), P: b.left(func(f Flow) Mass { return f.P })}
	b.Alkalinity = nitrate.alkalinity(litres)
	return b, b.settle(desk, f, tank, to)
}

func (b *Budget) note(text string) {
	if text != "" {
		b.Notes = append(b.Notes, text)
	}
}

// settle works out where the nutrients go from the end of the span on.
func (b *Budget) settle(desk *standing.Desk, f *book.Facts, tank string, at time.Time) error {
	outsets, err := desk.Outsets(f, tank, at)
	if err != nil {
		return err
	}
	if o := nutrient(outsets, units.Nitrate); o != nil {
		b.Nitrate = Settle(o)
	}
	if o := nutrient(outsets, units.Phosphate); o != nil {
		b.Phosphate = Settle(o)
	}
	return nil
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
	made                   Mass // in the tank, less what was taken up there
}

// waterOf reads it from the ledger; the note says what of it is not known.
func waterOf(desk *standing.Desk, f *book.Facts, tank string, q units.Quantity, share, litres float64, from, to time.Time) (w water, note string) {
	const unknown = "%s was not read, so what of it was added, changed and kept by the water is not counted"
	l, err := desk.Ledger(f, tank, string(q), from, to)
	if err != nil {
		return w, fmt.Sprintf(unknown, q)
	}
	perUnit, err := units.Convert(q, 1, l.Unit, q.Default())
	if err != nil {
		return w, fmt.Sprintf(unknown, q)
	}
	if l.Start.Sub(from) > 24*time.Hour {
		note = fmt.Sprintf("%s was first read on %s, so what changed in the water before is not counted", q, l.Start.Format(time.DateOnly))
	}
	grams := perUnit * litres / 1000 * share
	mass := func(e standing.Estimate) Mass { return Mass{e.Mean * grams, e.SD * grams} }
	for _, e := range l.Entries {
		switch {
		case e.Name == "water change", e.Name == "routine" && e.Change.Mean < 0: // a machine changes water
			w.changed = plus(w.changed, mass(e.Change))
		case e.Name == "dose", e.Name == "routine":
			w.dosed = plus(w.dosed, mass(e.Change))
		}
	}
	start, end := mass(l.From), mass(l.To)
	w.stored = plus(end, minus(start))
	w.made = plus(w.stored, plus(minus(w.dosed), minus(w.changed)))
	return w, note
}

// milliPerDKH is how many milliequivalents a litre make one dKH: 1 dKH is 0.35664 meq/L by definition.
const milliPerDKH = 0.35664

// alkalinity is what nitrate made in the tank, less what was taken up there, did to
// alkalinity, in dKH: by charge balance one equivalent a mole (Wolf-Gladrow and others
// 2007, Mar. Chem. 106:287).
func (w water) alkalinity(litres float64) standing.Estimate {
	per := -1000 / 14.007 / litres / milliPerDKH
	return standing.Estimate{Mean: w.made.Mean * per, SD: math.Abs(w.made.SD * per)}
}

func hypot(a, b float64) float64 { return math.Hypot(a, b) }

func plus(a, b Mass) Mass { return Mass{a.Mean + b.Mean, hypot(a.SD, b.SD)} }

func minus(a Mass) Mass { return Mass{-a.Mean, a.SD} }

// part is a doubtful share of a doubtful mass.
func part(m Mass, s food.Share) Mass {
	return Mass{m.Mean * s.Mean, hypot(m.SD*s.Mean, m.Mean*s.SD())}
}
