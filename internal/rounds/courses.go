package rounds

import (
	"fmt"
	"strings"

	"driftline/internal/book"
	"driftline/internal/course"
	"driftline/internal/pace"
	"driftline/internal/prose"
)

// The kinds of row that accepted courses make.
const (
	CourseDue     Kind = "course due"     // a turn
	CourseStopped Kind = "course stopped" // a stop rule has fired
	DoseHeld      Kind = "dose held"      // a planned dose above the ceiling of a day
)

const (
	courseShare = 0.35 // a turn of a course: its effect lives from being kept up
	stopShare   = 0.9  // something the keeper feared has come about
	heldShare   = 0.6  // harm only if it is given all the same
)

// courseRows are the turns of accepted courses due today, and what comes next.
func courseRows(f *book.Facts, t *book.TankFacts, today day) (rows, next []Row, err error) {
	all, err := course.Stand(f, t.Tank.Name, today.on)
	if err != nil {
		return nil, nil, err
	}
	for _, c := range all {
		switch {
		case c.Stopped != nil && !c.Over:
			rows = append(rows, stopRow(t, c))
		case c.Next == nil:
		case c.Next.Before(today.end):
			rows = append(rows, courseRow(f, t, c, today))
		case c.Next.Before(today.next):
			next = append(next, courseRow(f, t, c, today))
		}
	}
	return rows, next, nil
}

// stopRow says at once that a stop rule has fired. Nothing more of the course is
// asked for until the keeper ends it or lets it go on.
func stopRow(t *book.TankFacts, c course.Standing) Row {
	name := t.Tank.Name
	return Row{Key: rowKey(name, "course", c.Line), Kind: CourseStopped, Tank: name, Lines: []string{c.Line, c.Stopped.Line}, Consequence: stopShare,
		Title:  fmt.Sprintf("Stop: %s, %s", c.Stopped.Rule.Says, name),
		Why:    fmt.Sprintf("That is a stop rule of the course %s. No more of it is asked for until you end it or say to go on. %s", prose.Lower(c.Course.Name), strings.TrimPrefix(c.Says, "Stop: "+c.Stopped.Rule.Says+". ")),
		Action: Action{Do: "course", Tank: name, Plan: c.Line}}
}

func courseRow(f *book.Facts, t *book.TankFacts, c course.Standing, today day) Row {
	b := c.Course
	r := Row{Key: rowKey(t.Tank.Name, "course", c.Line), Kind: CourseDue, Tank: t.Tank.Name, On: c.Next, Lines: []string{c.Line}, Consequence: courseShare}
	r.Title = fmt.Sprintf("%s, %s: %s", prose.Capital(b.Name), t.Tank.Name, dueWords(c.Next.In(today.loc).Format("15:04")))
	parts := []string{c.Says}
	if b.Stop != "" {
		parts = append(parts, "Stop when: "+strings.TrimSuffix(b.Stop, ".")+".")
	}
	if len(b.Signs) > 0 {
		parts = append(parts, "Score "+strings.Join(b.Signs, " and ")+" on the way.")
	}
	r.Why = strings.Join(parts, " ")
	if book.Key(b.Action) == "chore" {
		r.Action = Action{Do: "chore", Tank: t.Tank.Name, Chore: b.Chore, Plan: c.Line}
		return r
	}
	half := ""
	if c.Amount != b.Amount {
		half = ", half of the dose to begin with"
	}
	if e, held := pace.Held(f, t, c.Line, today.on); held {
		return heldRow(r, e, fmt.Sprintf("%s, %s", prose.Capital(b.Name), t.Tank.Name), Action{Do: "course", Tank: t.Tank.Name, Plan: c.Line})
	}
	r.Why = fmt.Sprintf("%s %s of %s%s. %s", c.Amount, b.Unit, b.Substance, half, r.Why)
	r.Action = Action{Do: "dose", Tank: t.Tank.Name, Substance: b.Substance, Amount: string(c.Amount), Unit: b.Unit, Plan: c.Line}
	r.Cautions = cautions(f, b.Substance, today.on)
	return r
}

func dueWords(at string) string { return "due at " + at }

// heldRow is a dose of an accepted plan that is not asked for, because it would
// raise something too much.
func heldRow(r Row, e pace.Excess, of string, look Action) Row {
	r.Kind, r.Consequence = DoseHeld, heldShare
	r.Title = of + ": not to be given"
	r.Why = e.Says("What is planned") + " Give none of it; end the plan, and work it out anew."
	r.Action, r.Also, r.Cautions = look, nil, nil
	return r
}
