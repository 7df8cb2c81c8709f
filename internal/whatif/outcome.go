package whatif

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/units"
)

// saltPerLitre is what a sea salt with its crystal water usually takes for a litre
// of salinity 35, g; common practice, no source.
const saltPerLitre = 37.0

// outcome counts what a plan takes.
func (w *worker) outcome(r *road) Outcome {
	out := Outcome{Name: r.plan.Name, HandActions: r.hands, TopOffL: topped(r.dry, w.air.litres, w.days, w.litres),
		Used: []Used{}, Unpriced: []string{}, Assumed: []string{}, Uncounted: slices.Sorted(maps.Keys(r.uncounted))}
	used := map[Used]float64{}
	take := func(g given, times float64) {
		if g.grams > 0 {
			used[Used{Substance: g.stuff.Name, Unit: "g"}] += g.grams * times
		}
		if g.mL > 0 {
			used[Used{Substance: g.stuff.Name, Unit: "mL"}] += g.mL * times
		}
	}
	for _, d := range r.doses {
		take(d.given, 1)
	}
	for _, f := range r.feeds {
		take(f.given, f.to-f.from)
	}
	for _, c := range r.changes {
		out.WaterL += c.litres
		if m, ok := w.facts.MixAt(c.mix, w.asOf); ok && m.Salt != "" {
			used[Used{Substance: strings.TrimSpace(m.Salt), Unit: "g"}] += c.litres * saltPerLitre
		}
	}
	for u, amount := range used {
		u.Amount = amount
		out.Used = append(out.Used, u)
	}
	slices.SortFunc(out.Used, func(a, b Used) int { return strings.Compare(a.Substance+a.Unit, b.Substance+b.Unit) })
	w.assume(r, &out)
	w.price(&out)
	return out
}

// assume says what was taken because the book does not say.
func (w *worker) assume(r *road, out *Outcome) {
	if w.air.assumed != "" {
		out.Assumed = append(out.Assumed, w.air.assumed)
	}
	if !w.air.byHand && len(r.dry) == 0 {
		out.Assumed = append(out.Assumed, "What evaporates is taken to be replaced by a machine.")
	}
	if missing(r.dry, min(w.days, lastDry(r.dry)), w.litres) >= (1-least)*w.litres {
		out.Assumed = append(out.Assumed, "The water is not let fall below half: pumps run dry long before.")
	}
	for _, c := range r.changes {
		if m, ok := w.facts.MixAt(c.mix, w.asOf); len(c.composition) == 0 && (!ok || len(m.Composition) == 0) {
			out.Assumed = append(out.Assumed, "New salt water whose composition is not stated is taken as natural sea water at 35 PSU.")
			break
		}
	}
}

func lastDry(spans []dry) float64 {
	end := 0.0
	for _, s := range spans {
		end = max(end, s.to)
	}
	return end
}

// price adds up what is used by the newest price paid for it.
func (w *worker) price(out *Outcome) {
	for _, u := range out.Used {
		per, currency, ok := w.pricePer(u)
		if !ok || out.Currency != "" && currency != out.Currency {
			out.Unpriced = append(out.Unpriced, u.Substance)
			continue
		}
		out.Currency = currency
		out.Cost += per * u.Amount
	}
}

// pricePer is the newest price of a gram or a millilitre.
func (w *worker) pricePer(u Used) (per float64, currency string, ok bool) {
	for i := range w.facts.Stock {
		b, is := w.facts.Stock[i].Body.(*book.Stock)
		if !is || w.facts.Stock[i].At.After(w.asOf) || !w.same(b.Substance, u.Substance) {
			continue
		}
		price, priced := b.Price.Float()
		grams, mL, fits := measuredNumber(b.Amount, b.Unit)
		amount := grams
		if u.Unit == "mL" {
			amount = mL
		}
		if priced && fits && amount > 0 {
			per, currency, ok = price/amount, b.Currency, true
		}
	}
	return per, currency, ok
}

// same tells whether two names are of one substance.
func (w *worker) same(a, b string) bool {
	if book.Key(a) == book.Key(b) {
		return true
	}
	s, err := w.find(a)
	return err == nil && book.Key(s.Name) == book.Key(b)
}

// says is a plan's sentence: what is likeliest to leave its band, and what it takes.
func (w *worker) says(out *Outcome, r *road) string {
	worst := -1
	for i, c := range out.Courses {
		if (c.Low != nil || c.High != nil) && (worst < 0 || c.POutAtEnd > out.Courses[worst].POutAtEnd) {
			worst = i
		}
	}
	text := fmt.Sprintf("%s, %s: ", out.Name, daysWord(w.ask.Days))
	if worst >= 0 {
		c := out.Courses[worst]
		text += fmt.Sprintf("likeliest to end outside its band is %s, %s. ", c.Quantity, standing.ChanceWords(c.POutAtEnd))
	}
	actions := fmt.Sprintf("%d actions by hand", out.HandActions)
	if out.HandActions == 1 {
		actions = "1 action by hand"
	}
	text += fmt.Sprintf("It takes %s, %s L of new salt water and %s L of top-off", actions, units.FormatAmount(out.WaterL), units.FormatAmount(out.TopOffL))
	if out.Currency != "" || out.Cost > 0 {
		text += strings.TrimRight(fmt.Sprintf(", and costs %.2f %s", out.Cost, out.Currency), " ")
	}
	text += "."
	if len(out.Unpriced) > 0 {
		text += " No price is known of " + strings.Join(out.Unpriced, ", ") + "."
	}
	if len(out.Uncounted) > 0 {
		text += " Not counted, because nobody has said what it holds: " + strings.Join(out.Uncounted, ", ") + "."
	}
	if n := len(r.dry); n > 0 {
		text += fmt.Sprintf(" What evaporates, %s L a day, is not fully replaced for a time, and all that is dissolved grows stronger.", units.FormatAmount(w.air.litres))
	}
	return text
}
