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
	l.From, l.To = t.scale.levelOf(a.From.Mean, a.From.SD), t.scale.levelOf(a.To.Mean, a.To.SD)
	for i, sums := range [][]drift.Sum{a.Inputs, a.Changes, a.Feeds} {
		for _, s := range sums {
			if i == 2 {
				s.Count = 0 // a feed runs on and on
			}
			l.add(t.entry(s))
		}
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
// water changes gave 41, doses 13."
func sentence(l Ledger) string {
	q := units.Quantity(l.Quantity)
	change := l.To.Mean - l.From.Mean
	doubt := math.Hypot(l.From.SD, l.To.SD)
	head := fmt.Sprintf("%s %s in %s", fellOrRose(change), amountWords(q, math.Abs(change), l.Unit), spanWords(l.End.Sub(l.Start)))
	if math.Abs(change) < doubt/2 {
		head = fmt.Sprintf("Little changed in %s (%s)", spanWords(l.End.Sub(l.Start)), signed(q, change, l.Unit))
	}
	if parts := parts(l, q); len(parts) > 0 {
		return head + ": " + strings.Join(parts, ", ") + "."
	}
	return head + "."
}

// parts are the larger movers, demand first: their verb is repeated only where
// it changes.
func parts(l Ledger, q units.Quantity) []string {
	names := []string{"demand", "water change", "dose", "top-off", "routine", "unexplained"}
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
		if v == 0 || math.Abs(v) < 0.05*largest {
			continue
		}
		said := "gave"
		if v < 0 {
			said = "took"
		}
		if name == "unexplained" {
			out = append(out, fmt.Sprintf("%s is unexplained", signed(q, v, "")))
			continue
		}
		text := moverWords(name, v) + " "
		if said != verb {
			text += said + " "
		}
		verb = said
		out = append(out, text+amountWords(q, math.Abs(v), ""))
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
	}
	return name
}

func fellOrRose(change float64) string {
	if change < 0 {
		return "Fell"
	}
	return "Rose"
}

// amountWords writes a difference with the decimals of the unit, or two
// figures when those would hide it.
func amountWords(q units.Quantity, v float64, unit string) string {
	decimals := 0
	if v < 9.5 {
		decimals = 1
	}
	text := fmt.Sprintf("%.*f", decimals, v)
	if v < 0.95 {
		text = round2(v)
	}
	if unit == "" || q == units.PH {
		return text
	}
	return text + " " + unit
}

func signed(q units.Quantity, v float64, unit string) string {
	if v < 0 {
		return "−" + amountWords(q, -v, unit)
	}
	return "+" + amountWords(q, v, unit)
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
