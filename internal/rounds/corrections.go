package rounds

import (
	"fmt"

	"driftline/internal/book"
	"driftline/internal/correction"
	"driftline/internal/pace"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/units"
)

// The kinds of row that accepted plans make.
const (
	StepDue     Kind = "step due"     // a dose or a test of a correction
	PlanStopped Kind = "plan stopped" // a reading disagreed with a correction
)

const (
	stepShare    = 0.3 // a step of a correction under way
	stoppedShare = 0.5 // a correction that a reading has stopped
	stoppedDays  = 7   // how long a stopped plan is told of
)

// correctionRows are the steps of accepted corrections due today, what comes
// next of them, and plans that were stopped lately.
func correctionRows(f *book.Facts, t *book.TankFacts, today day) (rows, next []Row, err error) {
	plans, err := correction.Stand(f, t.Tank.Name, today.on)
	if err != nil {
		return nil, nil, err
	}
	for _, p := range plans {
		switch {
		case p.State == correction.Stopped && today.late(p.Accepted) < stoppedDays+30:
			rows = append(rows, stoppedRow(t, p))
		case p.State == correction.Running && p.Next != nil && p.Next.Before(today.end):
			rows = append(rows, stepRow(f, t, p, today))
		case p.State == correction.Running && p.Next != nil && p.Next.Before(today.next):
			next = append(next, stepRow(f, t, p, today))
		}
	}
	return rows, next, nil
}

func stoppedRow(t *book.TankFacts, p correction.Standing) Row {
	return Row{Key: rowKey(t.Tank.Name, "plan", p.Line), Kind: PlanStopped, Tank: t.Tank.Name, Quantity: string(p.Quantity),
		Title: fmt.Sprintf("%s, %s: correction stopped", prose.Capital(string(p.Quantity)), t.Tank.Name), Why: p.Says,
		Consequence: stoppedShare * seriousness(string(p.Quantity), "low"), Lines: []string{p.Line},
		Action: Action{Do: "read", Tank: t.Tank.Name, Quantity: string(p.Quantity)}, Also: []Action{anew(t, p)}}
}

// anew is the way to work the rest of a plan out again.
func anew(t *book.TankFacts, p correction.Standing) Action {
	return Action{Do: "work anew", Tank: t.Tank.Name, Quantity: string(p.Quantity), Plan: p.Line}
}

func stepRow(f *book.Facts, t *book.TankFacts, p correction.Standing, today day) Row {
	r := Row{Key: rowKey(t.Tank.Name, "plan", p.Line), Kind: StepDue, Tank: t.Tank.Name, Quantity: string(p.Quantity), On: p.Next,
		Consequence: stepShare * seriousness(string(p.Quantity), "low"), Lines: []string{p.Line}}
	if p.Behind() {
		r.Also = []Action{anew(t, p)}
	}
	aim := units.Format(p.Quantity, p.Aim, p.Unit)
	if p.Test {
		r.Title = fmt.Sprintf("%s, %s: test on the way", prose.Capital(string(p.Quantity)), t.Tank.Name)
		r.Why = fmt.Sprintf("The correction to %s expects %s. %s", aim, expectedWords(p.Quantity, p.Expected, p.Unit), p.Says)
		r.Action = Action{Do: "read", Tank: t.Tank.Name, Quantity: string(p.Quantity)}
		return r
	}
	if e, held := pace.Held(f, t, p.Line, today.on); held {
		return heldRow(r, e, fmt.Sprintf("%s, %s: correction", prose.Capital(string(p.Quantity)), t.Tank.Name), Action{Do: "correct", Tank: t.Tank.Name, Quantity: string(p.Quantity)})
	}
	d := p.ToCome[0]
	r.Title = fmt.Sprintf("%s %s of %s, %s", d.Amount, d.Unit, d.Substance, t.Tank.Name)
	r.Why = fmt.Sprintf("Step of the correction of %s to %s, due at %s; %s expected after it. %s", p.Quantity, aim,
		d.At.In(today.loc).Format("15:04"), expectedWords(p.Quantity, p.Expected, p.Unit), p.Says)
	r.Action = Action{Do: "dose", Tank: t.Tank.Name, Substance: d.Substance, Amount: string(d.Amount), Unit: d.Unit, Plan: p.Line}
	r.Cautions = cautions(f, d.Substance, today.on)
	return r
}

func expectedWords(q units.Quantity, e standing.Estimate, unit string) string {
	return units.FormatPM(q, e.Mean, e.SD, unit)
}
