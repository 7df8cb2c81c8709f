package book

import "math"

// What a plan may hold at most: more is a slip, not a plan.
const (
	planSteps = 1000
	planDays  = 366
	mostRules = 20
)

func (v *validator) plan(body Body) {
	switch b := body.(type) {
	case *Correction:
		v.correction(b)
	case *Course:
		v.course(b)
	case *Trial:
		v.trial(b)
	case *PlanEnd:
		v.required("plan", b.Plan)
		v.identity("plan", b.Plan)
		v.name("why", b.Why)
	case *PlanResume:
		v.required("plan", b.Plan)
		v.identity("plan", b.Plan)
		v.name("why", b.Why)
	case *Stock:
		v.named("substance", b.Substance)
		v.needed("amount", b.Amount)
		v.notNegative("amount", b.Amount)
		v.unitOf(b.Unit, dosable)
		v.notNegative("price", b.Price)
		v.name("currency", b.Currency)
		v.expires(b.Expires)
	}
}

func (v *validator) correction(b *Correction) {
	f, ok := v.quantity(b.Quantity, b.Unit, true)
	v.named("substance", b.Substance)
	v.needed("aim", b.Aim)
	v.positive("most_a_day", b.MostADay)
	v.notNegative("sd", b.SD)
	if ok {
		v.possible("aim", f, b.Aim)
		v.number("from", b.From)
	}
	if len(b.Steps) == 0 {
		v.fail("steps", "steps are missing; a correction has at least one dose")
	}
	v.steps(b.Steps)
}

func (v *validator) steps(steps []Step) {
	if len(steps) > planSteps {
		v.fail("steps", "steps are %d; expected at most %d", len(steps), planSteps)
	}
	for i, s := range steps {
		switch {
		case s.At == nil:
			v.fail("steps", "steps: at of step %d is missing; expected when it is due", i+1)
		case i > 0 && steps[i-1].At != nil && s.At.Before(*steps[i-1].At):
			v.fail("steps", "steps: step %d is before step %d; expected them in order of time", i+1, i)
		default:
			v.time("steps", *s.At)
		}
		v.name("steps", s.Substance)
		v.number("steps", s.Expected)
		v.notNegative("steps", s.SD)
		if s.Amount != "" {
			v.notNegative("steps", s.Amount)
			v.unitOf(s.Unit, dosable)
			v.most("steps", s.Amount, s.Unit)
		}
	}
}

func (v *validator) course(b *Course) {
	v.named("name", b.Name)
	v.oneOf("action", b.Action, "dose", "chore")
	if Key(b.Action) == "chore" {
		v.named("chore", b.Chore)
	} else {
		v.dose(&Dose{Substance: b.Substance, Amount: b.Amount, Unit: b.Unit})
		v.positive("most", b.Most)
		v.ordered("amount", b.Amount, "most", b.Most)
	}
	v.needed("every_hours", b.EveryHours)
	v.between("every_hours", b.EveryHours, 1, 24*planDays, "hours between two doses, 1 or more")
	v.needed("days", b.Days)
	v.positive("days", b.Days)
	v.between("days", b.Days, 0, planDays, "days, up to 366")
	if b.From != nil {
		v.time("from", *b.From)
	}
	for _, sign := range b.Signs {
		v.named("signs", sign)
	}
	for _, watch := range b.Watch {
		v.name("watch", watch)
	}
	v.prose("stop", b.Stop)
	v.stopRules("stop_when", b.StopWhen)
	if half, ok := v.number("half_days", b.HalfDays); ok {
		if days, known := b.Days.Float(); half < 0 || known && half > days {
			v.fail("half_days", "half_days %s is not possible; expected 0 to the %s days of the course", b.HalfDays, b.Days)
		}
	}
}

// stopRules checks the rules that stop a plan, each of one sign or one quantity.
func (v *validator) stopRules(field string, rules []StopRule) {
	if len(rules) > mostRules {
		v.fail(field, "%s has %d rules; expected at most %d", field, len(rules), mostRules)
	}
	for i, r := range rules {
		if (r.Sign == "") == (r.Quantity == "") {
			v.fail(field, "%s: rule %d needs a sign or a quantity, one of them", field, i+1)
		}
		v.name(field, r.Sign)
		v.name(field, r.Unit)
		v.required(field, r.Is)
		v.oneOf(field, r.Is, "at most", "at least", "above", "below")
		v.needed(field, r.Value)
		v.between(field, r.Times, 1, 20, "1 to 20 times running")
		if x, ok := v.number(field, r.Times); ok && x != math.Trunc(x) {
			v.fail(field, "%s: %s times running is not possible; expected a whole number", field, r.Times)
		}
		if r.Sign != "" {
			v.between(field, r.Value, 0, 4, "a score from 0 to 4")
		} else if f, ok := v.quantity(r.Quantity, r.Unit, true); ok {
			v.possible(field, f, r.Value)
		}
	}
}
