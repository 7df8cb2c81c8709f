package standing

import (
	"fmt"
	"math"
	"strings"
	"time"

	"driftline/internal/drift"
	"driftline/units"
)

// ledger tells an account in the shown unit. The unexplained entry takes up
// what scaling leaves, so that the entries add up to the change.
func (t *told) ledger(a drift.Account, from, to time.Time) Ledger {
	l := Ledger{Tank: t.m.tank, Quantity: string(t.m.q), Unit: t.m.unit, Start: from, End: to}
	a = grounded(a)
	l.From, l.To = t.scale.levelOf(a.From.Mean, a.From.SD), t.scale.levelOf(a.To.Mean, a.To.SD)
	for _, sums := range [][]drift.Sum{a.Inputs, a.Changes, a.Feeds} {
		for _, s := range sums {
			l.add(t.entry(s))
		}
	}
	if a.Food != nil {
		l.add(t.priced(Entry{Name: "food", Change: t.scale.changeOf(a.Food.Mean, a.Food.SD)}))
	}
	l.Entries = append(l.Entries, t.priced(Entry{Name: "demand", Change: t.scale.changeOf(a.Demand.Mean, a.Demand.SD)}))
	rest := l.To.Mean - l.From.Mean
	for _, e := range l.Entries {
		rest -= e.Change.Mean
	}
	l.Entries = append(l.Entries, t.priced(Entry{Name: "unexplained",
		Change: Estimate{Mean: rest, SD: t.scale.change(a.Unexplained.SD)}}))
	l.Sentence = sentence(l)
	return l
}

// sound says whether all figures are figures.
func (l *Ledger) sound() bool {
	sum := l.From.Mean + l.From.SD + l.To.Mean + l.To.SD
	for _, e := range l.Entries {
		sum += e.Change.Mean + e.Change.SD
	}
	return !math.IsNaN(sum) && !math.IsInf(sum, 0)
}

// grounded lifts levels that doubt carried below nothing up to it. What that
// moves is the engine's guess of the demand, which nothing was read to hold.
func grounded(a drift.Account) drift.Account {
	from, to := max(a.From.Mean, 0), max(a.To.Mean, 0)
	a.Demand.Mean += (to - a.To.Mean) - (from - a.From.Mean)
	a.From.Mean, a.To.Mean = from, to
	return a
}

// add joins entries of the same name: a source may be told of more than once.
func (l *Ledger) add(e Entry) {
	for i := range l.Entries {
		have := &l.Entries[i]
		if have.Name == e.Name && have.Detail == e.Detail {
			have.Count += e.Count
			have.Change = Estimate{have.Change.Mean + e.Change.Mean, math.Hypot(have.Change.SD, e.Change.SD)}
			if have.Grams != nil && e.Grams != nil {
				*have.Grams += *e.Grams
			}
			return
		}
	}
	l.Entries = append(l.Entries, e)
}

func (t *told) entry(s drift.Sum) Entry {
	e := Entry{Count: s.Count, Change: t.scale.changeOf(s.Change.Mean, s.Change.SD)}
	if s.Source >= 0 && s.Source < len(t.m.sources) {
		e.Name, e.Detail = t.m.sources[s.Source].name, t.m.sources[s.Source].detail
	}
	if e.Name == "routine" {
		e.Count = 0 // a machine runs on and on; its steps are the engine's own
	}
	return t.priced(e)
}

// priced adds the grams of the quantity in the whole tank, as it is weighed in
// the shown unit; nothing where mass makes no sense.
func (t *told) priced(e Entry) Entry {
	perLitre := 0.0
	switch {
	case strings.HasPrefix(t.m.unit, "mg/L"):
		perLitre = 1e-3
	case strings.HasPrefix(t.m.unit, "µg/L"):
		perLitre = 1e-6
	}
	if perLitre > 0 && t.m.litres > 0 {
		g := e.Change.Mean * perLitre * t.m.litres
		e.Grams = &g
	}
	return e
}

// sentence is the one-line why: "Fell 64 mg/L in 60 days: demand took 118,
// water changes gave 41, doses 13." All figures have the decimals that the
// doubt of the change leaves; what rounds to nothing is not told.
func sentence(l Ledger) string {
	q := units.Quantity(l.Quantity)
	change := l.To.Mean - l.From.Mean
	doubt := math.Hypot(l.From.SD, l.To.SD)
	say := amount{q, l.Unit, decimalsFor(q, l.Unit, doubt)}
	span := spanWords(l.End.Sub(l.Start))
	head, unit := fmt.Sprintf("%s %s in %s", fellOrRose(change), say.words(math.Abs(change), true), span), false
	switch {
	case say.nothing(change):
		head, unit = "Little changed in "+span, true
	case math.Abs(change) < doubt/2:
		head = fmt.Sprintf("No clear change in %s (%s)", span, say.signed(change, true))
	}
	if parts := parts(l, say, unit); len(parts) > 0 {
		return head + ": " + strings.Join(parts, ", ") + "."
	}
	return head + "."
}

// parts are the larger movers, demand first: their verb is repeated only where
// it changes, and the unit is said once where the head has none.
func parts(l Ledger, say amount, unit bool) []string {
	names := []string{"food", "demand", "water change", "dose", "top-off", "routine", "nitrogen", "unexplained"}
	sums := map[string]float64{}
	largest := 0.0
	for _, e := range l.Entries {
		sums[e.Name] += e.Change.Mean
		largest = max(largest, math.Abs(sums[e.Name]))
	}
	var out []string
	verb := ""
	for _, name := range names {
		v := sums[name]
		if say.nothing(v) || math.Abs(v) < 0.05*largest {
			continue
		}
		if name == "unexplained" {
			out = append(out, say.signed(v, unit)+" is unexplained")
			continue
		}
		said := "gave"
		if v < 0 {
			said = "took"
		}
		text := moverWords(name, v) + " "
		if said != verb {
			text += said + " "
		}
		verb = said
		out = append(out, text+say.words(math.Abs(v), unit))
		unit = false
	}
	return out
}

func moverWords(name string, v float64) string {
	switch name {
	case "demand":
		if v > 0 { // feeding, rock and waste give nutrients
			return "the tank itself"
		}
		return "demand"
	case "water change":
		return "water changes"
	case "dose":
		return "doses"
	case "top-off":
		return "top-off"
	case "routine":
		return "machines"
	case "nitrogen":
		return "nitrate made from food"
	}
	return name
}

func fellOrRose(change float64) string {
	if change < 0 {
		return "Fell"
	}
	return "Rose"
}

// amount writes differences of one quantity, all with the same decimals.
type amount struct {
	q        units.Quantity
	unit     string
	decimals int
}

// decimalsFor are as many as show a doubt to one figure, two when it begins
// with a 1; the unit's own where there is no doubt.
func decimalsFor(q units.Quantity, unit string, doubt float64) int {
	own := units.Decimals(q, unit)
	if !(doubt > 0) || math.IsInf(doubt, 0) {
		return own
	}
	size := math.Floor(math.Log10(doubt))
	d := -int(size)
	if doubt < 1.95*math.Pow(10, size) {
		d++
	}
	return min(max(d, 0), own+1)
}

// nothing says whether an amount rounds to nothing.
func (a amount) nothing(v float64) bool { return math.Abs(v) < 0.5*math.Pow10(-a.decimals) }

func (a amount) words(v float64, unit bool) string {
	text := fmt.Sprintf("%.*f", a.decimals, v)
	if !unit || a.q == units.PH {
		return text
	}
	return text + " " + a.unit
}

func (a amount) signed(v float64, unit bool) string {
	if v < 0 {
		return "−" + a.words(-v, unit)
	}
	return "+" + a.words(v, unit)
}

func spanWords(d time.Duration) string {
	days := d.Hours() / 24
	if math.Abs(days-math.Round(days)) < 0.05 || days >= 3 {
		return daysLong(math.Round(days))
	}
	return fmt.Sprintf("%.1f days", days)
}

// plainLedger is the change of a simple quantity, of which no ledger is kept.
func (t *told) plainLedger(from, to time.Time) Ledger {
	l := Ledger{Tank: t.m.tank, Quantity: string(t.m.q), Unit: t.m.unit, Start: from, End: to}
	at := func(when time.Time) Estimate {
		e := interpolate(t.f.grid, t.f.history, dayOf(when))
		return t.scale.levelOf(e.Mean, e.SD)
	}
	l.From, l.To = at(from), at(to)
	l.Entries = []Entry{{Name: "unexplained", Change: Estimate{l.To.Mean - l.From.Mean, math.Hypot(l.From.SD, l.To.SD)}}}
	l.Sentence = sentence(Ledger{Quantity: l.Quantity, Unit: l.Unit, Start: from, End: to, From: l.From, To: l.To})
	return l
}
