package whatif

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"driftline/internal/food"
	"driftline/units"
)

// PlanForms are the ways to write a plan, for a person.
const PlanForms = `"go on", "machines", "away 24", "away 24 from 2026-04-01", "stop dosing", "stop NAME", "no top-off", ` +
	`"change 10% every 7 of MIX", "change 40L every 14", "dose 10 g SUBSTANCE every 2", "demand QUANTITY 1.5", "feed 1.5 times", "feed 3 g FOOD", "also feed 1 g FOOD", "no food", ` +
	`"harvest 100 g every 14", "5 more fish of 4 g", several joined by ";"`

// ParsePlan reads a plan as a person types it: one of the forms, or several joined
// by semicolons. Days are those of as-of's zone.
func ParsePlan(text string, asOf time.Time) (Plan, error) {
	parts := strings.Split(text, ";")
	if len(parts) == 1 {
		return parseOne(text, asOf)
	}
	whole := Plan{Name: strings.Join(strings.Fields(text), " ")}
	for _, part := range parts {
		p, err := parseOne(part, asOf)
		if err != nil {
			return whole, err
		}
		whole.Changes = append(whole.Changes, p.Changes...)
		whole.HandsOff = whole.HandsOff || p.HandsOff
	}
	if len(whole.Changes) == 0 && !whole.HandsOff {
		return whole, fmt.Errorf("%q changes nothing; expected such as %s", clip(text), PlanForms)
	}
	return whole, nil
}

func parseOne(text string, asOf time.Time) (Plan, error) {
	words := strings.Fields(text)
	bad := fmt.Errorf("%q is not a plan; expected such as %s", clip(text), PlanForms)
	if len(words) == 0 {
		return Plan{}, bad
	}
	rest := words[1:]
	p := Plan{Name: strings.Join(words, " ")}
	ok := false
	switch strings.ToLower(words[0]) {
	case "go":
		p, ok = GoOn(), len(rest) == 1 && rest[0] == "on"
	case "machines":
		p.HandsOff, ok = true, len(rest) == 0
	case "no":
		p.Changes, ok = []Change{{What: TopOff}}, len(rest) == 1 && rest[0] == "top-off"
		if len(rest) == 1 && rest[0] == "food" {
			p.Changes, ok = []Change{{What: Food}}, true
		}
	case "feed", "also", "harvest":
		ok = foodPlan(&p, words)
	case "away":
		return awayPlan(p, rest, asOf, bad)
	case "stop":
		p.Changes, ok = []Change{{What: Stop, Routine: strings.Join(rest, " ")}}, len(rest) > 0
		if len(rest) == 1 && rest[0] == "dosing" {
			p = StopDosing()
		}
	case "change":
		ok = changePlan(&p, rest)
	case "dose":
		ok = dosePlan(&p, rest)
	case "demand":
		ok = demandPlan(&p, rest)
	}
	if !ok && !fishPlan(&p, words) {
		return p, bad
	}
	return p, nil
}

// foodPlan reads "feed 1.5 times", "feed 3 g pellets", "also feed 1 g nori" and
// "harvest 100 g every 14".
func foodPlan(p *Plan, words []string) bool {
	c := Change{What: Food}
	switch strings.ToLower(words[0]) {
	case "also":
		c.What, words = MoreFood, words[1:]
		if len(words) == 0 || words[0] != "feed" {
			return false
		}
	case "harvest":
		c.What = Harvest
	}
	rest, every, ok := everyOf(words[1:])
	if !ok || len(rest) < 2 || every > 0 != (c.What == Harvest) {
		return false
	}
	amount, err := strconv.ParseFloat(rest[0], 64)
	if err != nil || math.IsNaN(amount) || math.IsInf(amount, 0) || amount < 0 {
		return false
	}
	switch {
	case c.What == Food && len(rest) == 2 && rest[1] == "times":
		c.Factor = amount
	case c.What == Harvest && len(rest) == 2:
		c.Amount, c.Unit, c.EveryDays = amount, rest[1], every
	case c.What != Harvest && len(rest) > 2:
		c.Amount, c.Unit, c.Substance = amount, rest[1], strings.Join(rest[2:], " ")
	default:
		return false
	}
	p.Changes = []Change{c}
	return c.check() == nil
}

// fishPlan reads "5 more fish of 4 g", each fed the usual ration of dry pellets.
func fishPlan(p *Plan, words []string) bool {
	if len(words) != 6 || words[1] != "more" || words[2] != "fish" || words[3] != "of" {
		return false
	}
	n, err := strconv.ParseFloat(words[0], 64)
	each, bad := strconv.ParseFloat(words[4], 64)
	grams, wrong := units.Grams(each, words[5])
	if err != nil || bad != nil || wrong != nil || !(n > 0 && n <= 1000) || !(grams > 0 && grams <= 1e4) {
		return false
	}
	p.Changes = []Change{{What: MoreFood, Substance: "dry pellet", Amount: n * grams * food.AdultRation, Unit: "g"}}
	return true
}

// awayPlan reads "24" or "24 from 2026-04-01".
func awayPlan(p Plan, rest []string, asOf time.Time, bad error) (Plan, error) {
	if len(rest) == 0 {
		return p, bad
	}
	days, err := strconv.ParseFloat(rest[0], 64)
	if err != nil || !(days > 0 && days <= 365) {
		return p, bad
	}
	from := asOf
	if len(rest) > 1 {
		if rest[1] != "from" || len(rest) == 2 {
			return p, bad
		}
		if from, err = day(strings.Join(rest[2:], " "), asOf.Location()); err != nil {
			return p, err
		}
	}
	away := Away(from, days)
	away.Name = p.Name
	return away, nil
}

// everyOf takes "every 7" out of the words; 0 without it.
func everyOf(words []string) (rest []string, days float64, ok bool) {
	for i, w := range words {
		if w != "every" {
			continue
		}
		if i+1 == len(words) {
			return words, 0, false
		}
		days, err := strconv.ParseFloat(words[i+1], 64)
		return append(append([]string{}, words[:i]...), words[i+2:]...), days, err == nil && days > 0
	}
	return words, 0, true
}

// changePlan reads "10% every 7 of MIX".
func changePlan(p *Plan, words []string) bool {
	rest, every, ok := everyOf(words)
	if !ok || every == 0 || len(rest) == 0 {
		return false
	}
	share, err := strconv.ParseFloat(strings.TrimSuffix(rest[0], "%"), 64)
	mix := rest[1:]
	c := Change{What: WaterChange, Share: share / 100, EveryDays: every}
	if !strings.HasSuffix(rest[0], "%") || err != nil {
		litres, ok := litresOf(rest[0])
		if !ok {
			return false
		}
		c.Share, c.Litres = 0, litres
	}
	if len(mix) > 0 {
		if mix[0] != "of" || len(mix) == 1 {
			return false
		}
		c.Mix = strings.Join(mix[1:], " ")
	}
	p.Changes = []Change{{What: StopWaterChanges}, c}
	return true
}

// dosePlan reads "10 g SUBSTANCE every 2".
func dosePlan(p *Plan, words []string) bool {
	rest, every, ok := everyOf(words)
	if !ok || len(rest) < 3 {
		return false
	}
	amount, err := strconv.ParseFloat(rest[0], 64)
	p.Changes = []Change{{What: OneDose, Amount: amount, Unit: rest[1], Substance: strings.Join(rest[2:], " "), EveryDays: every}}
	return err == nil
}

// demandPlan reads "alkalinity 1.5".
func demandPlan(p *Plan, words []string) bool {
	if len(words) < 2 {
		return false
	}
	last := len(words) - 1
	q, err := units.ParseQuantity(strings.Join(words[:last], " "))
	factor, bad := strconv.ParseFloat(words[last], 64)
	p.Changes = []Change{{What: Demand, Quantity: string(q), Factor: factor}}
	return err == nil && bad == nil
}

// day reads a day or a moment.
func day(text string, loc *time.Location) (time.Time, error) {
	for _, layout := range []string{time.DateOnly, "2006-01-02 15:04", "2006-01-02T15:04", time.RFC3339} {
		if at, err := time.ParseInLocation(layout, text, loc); err == nil {
			return at, nil
		}
	}
	return time.Time{}, fmt.Errorf("%q is not a day; expected such as 2026-04-01", clip(text))
}

// litresOf reads such as "40L" or "10gal".
func litresOf(text string) (float64, bool) {
	end := strings.IndexFunc(text, func(r rune) bool { return r != '.' && (r < '0' || r > '9') })
	if end < 0 {
		return 0, false
	}
	v, err := strconv.ParseFloat(text[:end], 64)
	unit, bad := units.ParseVolumeUnit(text[end:])
	if err != nil || bad != nil {
		return 0, false
	}
	litres, err := units.Litres(v, unit)
	return litres, err == nil && litres > 0 && !math.IsInf(litres, 0)
}

func clip(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	if r := []rune(text); len(r) > 60 {
		return string(r[:60]) + "…"
	}
	return text
}
