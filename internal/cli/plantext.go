package cli

import (
	"strconv"
	"strings"
	"time"

	"driftline/internal/whatif"
	"driftline/units"
)

const planForms = `"go on", "machines", "away 24", "away 24 from 2026-04-01", "stop dosing", "stop NAME", "no top-off", ` +
	`"change 10% every 7 of MIX", "change 40L every 14", "dose 10 g SUBSTANCE every 2", "demand QUANTITY 1.5"`

// planOf reads a plan as a person types it.
func (j *job) planOf(text string, asOf time.Time) (whatif.Plan, error) {
	words := strings.Fields(text)
	bad := usage("expected such as "+planForms, "--plan %q is not a plan", text)
	if len(words) == 0 {
		return whatif.Plan{}, bad
	}
	rest := words[1:]
	p := whatif.Plan{Name: strings.Join(words, " ")}
	ok := false
	switch strings.ToLower(words[0]) {
	case "go":
		p, ok = whatif.GoOn(), len(rest) == 1 && rest[0] == "on"
	case "machines":
		p.HandsOff, ok = true, len(rest) == 0
	case "no":
		p.Changes, ok = []whatif.Change{{What: whatif.TopOff}}, len(rest) == 1 && rest[0] == "top-off"
	case "away":
		return j.awayPlan(p, rest, asOf, bad)
	case "stop":
		p.Changes, ok = []whatif.Change{{What: whatif.Stop, Routine: strings.Join(rest, " ")}}, len(rest) > 0
		if len(rest) == 1 && rest[0] == "dosing" {
			p = whatif.StopDosing()
		}
	case "change":
		ok = changePlan(&p, rest)
	case "dose":
		ok = dosePlan(&p, rest)
	case "demand":
		ok = demandPlan(&p, rest)
	}
	if !ok {
		return p, bad
	}
	return p, nil
}

// awayPlan reads "24" or "24 from 2026-04-01".
func (j *job) awayPlan(p whatif.Plan, rest []string, asOf time.Time, bad error) (whatif.Plan, error) {
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
		if from, err = j.moment("--plan", strings.Join(rest[2:], " "), asOf.Location()); err != nil {
			return p, err
		}
	}
	away := whatif.Away(from, days)
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
func changePlan(p *whatif.Plan, words []string) bool {
	rest, every, ok := everyOf(words)
	if !ok || every == 0 || len(rest) == 0 {
		return false
	}
	share, err := strconv.ParseFloat(strings.TrimSuffix(rest[0], "%"), 64)
	mix := rest[1:]
	c := whatif.Change{What: whatif.WaterChange, Share: share / 100, EveryDays: every}
	if !strings.HasSuffix(rest[0], "%") || err != nil {
		litres, err := parseVolume("--plan", rest[0])
		if err != nil {
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
	p.Changes = []whatif.Change{{What: whatif.StopWaterChanges}, c}
	return true
}

// dosePlan reads "10 g SUBSTANCE every 2".
func dosePlan(p *whatif.Plan, words []string) bool {
	rest, every, ok := everyOf(words)
	if !ok || len(rest) < 3 {
		return false
	}
	amount, err := strconv.ParseFloat(rest[0], 64)
	p.Changes = []whatif.Change{{What: whatif.OneDose, Amount: amount, Unit: rest[1], Substance: strings.Join(rest[2:], " "), EveryDays: every}}
	return err == nil
}

// demandPlan reads "alkalinity 1.5".
func demandPlan(p *whatif.Plan, words []string) bool {
	if len(words) < 2 {
		return false
	}
	last := len(words) - 1
	q, err := units.ParseQuantity(strings.Join(words[:last], " "))
	factor, bad := strconv.ParseFloat(words[last], 64)
	p.Changes = []whatif.Change{{What: whatif.Demand, Quantity: string(q), Factor: factor}}
	return err == nil && bad == nil
}
