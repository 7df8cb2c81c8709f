package rounds

import (
	"fmt"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/trial"
	"driftline/units"
)

// The kinds of row that trials make.
const (
	TrialStopped Kind = "trial stopped" // a stop rule has fired: the change comes off
	TrialTurn    Kind = "trial turn"    // the change comes or goes today
	TrialLook    Kind = "trial look"    // something watched is to be looked at
	TrialOver    Kind = "trial over"    // its end has come
)

const (
	turnShare  = 0.4  // a change made a day late is a trial that was not as planned
	lookShare  = 0.14 // one look of many
	overShare  = 0.05
	toldOfDays = 3 // how long a trial that is over is told of
)

// trialRows are what the trials ask for in a tank today, and what comes next.
// Tests that are due for their own sake are not asked for twice.
func trialRows(f *book.Facts, t *book.TankFacts, trials []trial.Trial, today day, rows, later []Row) (due, next []Row) {
	for _, tr := range trials {
		treated := book.Key(tr.Tank) == book.Key(t.Tank.Name)
		if tr.State == trial.Over {
			if treated && today.late(tr.Ends) < toldOfDays {
				due = append(due, overRow(tr))
			}
			continue
		}
		if tr.State == trial.Stopped {
			if treated {
				due = append(due, trialStopRow(tr))
			}
			continue
		}
		if takesPart(tr, t.Tank.Name) {
			a, b := turnRows(tr, t.Tank.Name, today)
			due, next = append(due, a...), append(next, b...)
		}
		for _, m := range trial.Measure(f, tr, today.on) {
			if book.Key(m.Tank) != book.Key(t.Tank.Name) || asked(m, rows, due) {
				continue
			}
			switch row := lookRow(tr, m); {
			case m.Next.Before(today.end):
				due = append(due, row)
			case m.Next.Before(today.next) && !asked(m, later, next):
				next = append(next, row)
			}
		}
	}
	return due, next
}

// takesPart tells whether the change is made in a tank.
func takesPart(tr trial.Trial, tank string) bool {
	for _, name := range append([]string{tr.Tank}, tr.Plan.AlsoIn...) {
		if book.Key(name) == book.Key(tank) {
			return true
		}
	}
	return false
}

func trialAction(tr trial.Trial) Action { return Action{Do: "trial", Tank: tr.Tank, Plan: tr.Line} }

func trialStopRow(tr trial.Trial) Row {
	return Row{Key: rowKey(tr.Tank, "trial", tr.Line), Kind: TrialStopped, Tank: tr.Tank, Lines: append([]string{tr.Line}, tr.Fired.Lines...), Consequence: stopShare,
		Title: fmt.Sprintf("Stop: %s, %s", tr.Fired.Says, tr.Tank), Action: trialAction(tr),
		Why: fmt.Sprintf("That is a stop rule of the trial %s. The change comes off: %s. Then end the trial, or say to go on.", prose.Lower(tr.Plan.Name), tr.Plan.Change)}
}

func overRow(tr trial.Trial) Row {
	return Row{Key: rowKey(tr.Tank, "trial", tr.Line), Kind: TrialOver, Tank: tr.Tank, Lines: []string{tr.Line}, Consequence: overShare, Action: trialAction(tr),
		Title: fmt.Sprintf("%s, %s: the trial is over", prose.Capital(tr.Plan.Name), tr.Tank), Why: "See what it showed, and write down what you keep of it."}
}

// turnRows are the changes that come or go today, and those to come.
func turnRows(tr trial.Trial, tank string, today day) (due, next []Row) {
	add := func(at *time.Time, what string) {
		if at == nil || at.Before(today.end.AddDate(0, 0, -1)) || !at.Before(today.next) {
			return
		}
		r := Row{Key: rowKey(tank, "trial turn", tr.Line), Kind: TrialTurn, Tank: tank, On: at, Lines: []string{tr.Line}, Consequence: turnShare, Action: trialAction(tr),
			Title: fmt.Sprintf("The change %s, %s: %s", what, tank, tr.Plan.Change),
			Why:   fmt.Sprintf("By the plan of the trial %s. Change nothing else meanwhile, and write down the new setting.", prose.Lower(tr.Plan.Name))}
		if at.Before(today.end) {
			due = append(due, r)
		} else {
			next = append(next, r)
		}
	}
	for _, p := range tr.Plan.On {
		add(p.From, "comes")
		add(p.Until, "goes")
	}
	return due, next
}

// asked tells whether a row asks for a look already.
func asked(m trial.Measuring, lists ...[]Row) bool {
	q, err := units.ParseQuantity(m.Outcome.Of)
	for _, rows := range lists {
		for _, r := range rows {
			if r.Action.Do == "score" && m.Score() && book.Key(r.Action.Sign) == book.Key(m.Outcome.Of) {
				return true
			}
			if r.Action.Do == "read" && !m.Score() && err == nil && r.Action.Quantity == string(q) {
				return true
			}
		}
	}
	return false
}

func lookRow(tr trial.Trial, m trial.Measuring) Row {
	next := m.Next
	r := Row{Key: rowKey(m.Tank, "look", m.Outcome.Of+"|"+tr.Line), Kind: TrialLook, Tank: m.Tank, On: &next, Lines: []string{tr.Line}, Consequence: lookShare,
		Title:  fmt.Sprintf("%s, %s: look for the trial", prose.Capital(m.Outcome.Of), m.Tank),
		Action: Action{Do: "read", Tank: m.Tank, Quantity: m.Outcome.Of}}
	if m.Score() {
		r.Title = fmt.Sprintf("Score %s, %s", m.Outcome.Of, m.Tank)
		r.Action = Action{Do: "score", Tank: m.Tank, Sign: m.Outcome.Of}
	}
	r.Why = fmt.Sprintf("Watched every %s for the trial %s.", EveryWords(m.EveryDays), prose.Lower(tr.Plan.Name))
	if m.Missed > 0 {
		r.Why += fmt.Sprintf(" Missed %d of %d so far.", m.Missed, m.Planned)
	}
	if book.Key(m.Tank) != book.Key(tr.Tank) && !takesPart(tr, m.Tank) {
		r.Why += " This tank is left as it is, to compare with."
	}
	return r
}
