package rounds

import (
	"fmt"
	"strings"

	"driftline/internal/book"
	"driftline/internal/course"
	"driftline/internal/prose"
)

// CourseDue is a turn of an accepted course.
const CourseDue Kind = "course due"

const courseShare = 0.35 // a turn of a course: its effect lives from being kept up

// courseRows are the turns of accepted courses due today, and what comes next.
func courseRows(f *book.Facts, t *book.TankFacts, today day) (rows, next []Row, err error) {
	all, err := course.Stand(f, t.Tank.Name, today.on)
	if err != nil {
		return nil, nil, err
	}
	for _, c := range all {
		switch {
		case c.Next == nil:
		case c.Next.Before(today.end):
			rows = append(rows, courseRow(f, t, c, today))
		case c.Next.Before(today.next):
			next = append(next, courseRow(f, t, c, today))
		}
	}
	return rows, next, nil
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
	r.Why = fmt.Sprintf("%s %s of %s. %s", b.Amount, b.Unit, b.Substance, r.Why)
	r.Action = Action{Do: "dose", Tank: t.Tank.Name, Substance: b.Substance, Amount: string(b.Amount), Unit: b.Unit, Plan: c.Line}
	r.Cautions = cautions(f, b.Substance, today.on)
	return r
}

func dueWords(at string) string { return "due at " + at }
