package rounds

import (
	"fmt"
	"math"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
	give "driftline/internal/substance"
	"driftline/stoichiometry"
	"driftline/units"
)

// Hand work is missed when it is later than a day and half its interval; it
// has lapsed after three weeks and four intervals.
func missedAfter(everyDays float64) float64 { return max(1, everyDays/2) }
func lapsedAfter(everyDays float64) float64 { return max(21, 4*everyDays) }

// plannedWork is the hand work of a tank: tests by quantity, and the rest.
type plannedWork struct {
	tests  map[string]*standing.Due
	others []standing.Due
}

func handWork(t *book.TankFacts, on time.Time) plannedWork {
	w := plannedWork{tests: map[string]*standing.Due{}}
	for _, d := range standing.Schedule(t, on) {
		if d.Routine.Automatic {
			continue
		}
		q, err := units.ParseQuantity(d.Routine.Quantity)
		if book.Key(d.Routine.Action) == "test" && err == nil && w.tests[string(q)] == nil {
			w.tests[string(q)] = &d
			continue
		}
		w.others = append(w.others, d)
	}
	return w
}

// workRows are the hand work due, missed or lapsed, and what falls due next.
func workRows(f *book.Facts, t *book.TankFacts, work []standing.Due, today day) (rows, next []Row) {
	var lapses []standing.Due
	for _, d := range work {
		late := today.late(d.Next)
		switch {
		case !d.Next.Before(today.next):
		case !d.Next.Before(today.end):
			next = append(next, workRow(f, t, d, RoutineDue, today))
		case late > lapsedAfter(d.EveryDays):
			lapses = append(lapses, d)
		case late > missedAfter(d.EveryDays):
			rows = append(rows, workRow(f, t, d, RoutineMissed, today))
		default:
			rows = append(rows, workRow(f, t, d, RoutineDue, today))
		}
	}
	if len(lapses) > 0 {
		rows = append(rows, lapsedWork(f, t, lapses, today))
	}
	return rows, next
}

func workRow(f *book.Facts, t *book.TankFacts, d standing.Due, kind Kind, today day) Row {
	on := d.Next
	r := Row{Key: rowKey(t.Tank.Name, "routine", d.Routine.Name), Kind: kind, Tank: t.Tank.Name, On: &on,
		Action: actionOf(t.Tank.Name, d.Routine), Consequence: workScore(kind, today.late(d.Next), d.EveryDays)}
	word := "due"
	if kind == RoutineMissed {
		word = "missed"
	}
	if on.Before(today.end) {
		r.Title = fmt.Sprintf("%s, %s: %s", prose.Capital(d.Routine.Name), t.Tank.Name, word)
	} else {
		r.Title = fmt.Sprintf("%s, %s", prose.Capital(d.Routine.Name), t.Tank.Name)
	}
	r.Why = workWhy(d, today)
	if book.Key(d.Routine.Action) == "dose" {
		r.Cautions = cautions(f, d.Routine.Substance, today.on)
	}
	return r
}

func workWhy(d standing.Due, today day) string {
	parts := []string{}
	if deed := DeedWords(d.Routine); deed != "" {
		parts = append(parts, deed)
	}
	parts = append(parts, "every "+EveryWords(d.EveryDays))
	if d.Last.IsZero() {
		parts = append(parts, "not logged yet")
	} else {
		parts = append(parts, "last logged on "+dateWords(d.Last, today.loc))
	}
	return sentenceOf([]string{strings.Join(parts, ", ")})
}

// DeedWords say what a routine asks for: "dose 40 g magnesium chloride".
func DeedWords(r *book.Routine) string {
	amount := strings.TrimSpace(string(firstOf(r.Amount, r.Volume)) + " " + r.Unit)
	switch book.Key(r.Action) {
	case "dose":
		return strings.TrimSpace("dose " + amount + " " + r.Substance)
	case "water change":
		text := strings.TrimSpace("water change " + amount)
		if r.Mix != "" {
			text += " of " + r.Mix
		}
		return text
	case "feeding":
		return strings.TrimSpace("feed " + amount + " " + r.Food)
	case "chore":
		if book.Key(r.Chore) != book.Key(r.Name) {
			return r.Chore
		}
	}
	return ""
}

func firstOf(a, b book.Number) book.Number {
	if a != "" {
		return a
	}
	return b
}

// lapsedWork is one calm row for all hand work of a tank that nobody has
// logged for long: a fresh start instead of a pile.
func lapsedWork(f *book.Facts, t *book.TankFacts, lapses []standing.Due, today day) Row {
	if len(lapses) == 1 {
		d := lapses[0]
		r := workRow(f, t, d, Lapse, today)
		r.Title = fmt.Sprintf("%s, %s: lapsed", prose.Capital(d.Routine.Name), t.Tank.Name)
		r.Why = strings.TrimSuffix(r.Why, ".") + "; doing it once is a fresh start, or retire the routine."
		return r
	}
	var names []string
	for _, d := range lapses {
		names = append(names, d.Routine.Name)
	}
	on := lapses[0].Next
	return Row{Key: rowKey(t.Tank.Name, "lapse", "work"), Kind: Lapse, Tank: t.Tank.Name, On: &on,
		Title:       fmt.Sprintf("%s: %d routines have lapsed", prose.Capital(t.Tank.Name), len(lapses)),
		Why:         fmt.Sprintf("Nothing logged for long: %s; doing one is a fresh start, or retire what is no longer done.", listWords(names)),
		Consequence: workScore(Lapse, 0, 1), Action: actionOf(t.Tank.Name, lapses[0].Routine)}
}

// actionOf fills the form that does a routine.
func actionOf(tank string, r *book.Routine) Action {
	a := Action{Do: book.Key(r.Action), Tank: tank, Routine: r.Name}
	amount := string(firstOf(r.Amount, r.Volume))
	switch a.Do {
	case "dose":
		a.Substance, a.Amount, a.Unit = r.Substance, amount, r.Unit
	case "water change":
		a.Mix, a.Amount, a.Unit = r.Mix, string(firstOf(r.Volume, r.Amount)), r.Unit
	case "feeding":
		a.Food, a.Amount, a.Unit = r.Food, amount, r.Unit
	case "test":
		a.Do, a.Quantity = "read", r.Quantity
		if q, err := units.ParseQuantity(r.Quantity); err == nil {
			a.Quantity = string(q)
		}
	case "chore":
		a.Chore = r.Chore
		if strings.TrimSpace(a.Chore) == "" {
			a.Chore = r.Name
		}
	default:
		a.Do = "look"
	}
	return a
}

// cautions are the usual ones of a pure salt, found by name or declared
// formula; anything else is left to its label.
func cautions(f *book.Facts, substance string, at time.Time) []string {
	if s, err := give.Find(f, substance, at); err == nil {
		return s.Cautions
	}
	return []string{stoichiometry.LabelFirst, stoichiometry.Slowly}
}

// habitRows name regular doses that no routine declares: the forecast takes them as
// stopped.
func habitRows(t *book.TankFacts, today day) []Row {
	var out []Row
	for _, h := range standing.Habits(t, today.on) {
		r := Row{Key: rowKey(t.Tank.Name, "habit", h.Substance), Kind: HabitFound, Tank: t.Tank.Name, Consequence: habitShare,
			Title: fmt.Sprintf("%s, %s: no routine says so", prose.Capital(h.Words()), t.Tank.Name),
			Why:   fmt.Sprintf("Logged %d times in that rhythm, and the forecast takes it as stopped. Declared as a routine it counts on it.", h.Times)}
		r.Action = Action{Do: "routine", Tank: t.Tank.Name, Substance: h.Substance, Amount: strings.ReplaceAll(units.FormatAmount(h.Amount), ",", ""), Unit: h.Unit,
			EveryDays: strings.ReplaceAll(units.FormatAmount(max(math.Round(2*h.EveryDays)/2, 0.5)), ",", "")}
		out = append(out, r)
	}
	return out
}
