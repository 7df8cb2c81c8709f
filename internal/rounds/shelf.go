package rounds

import (
	"fmt"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/supply"
)

// The kinds of row that the shelf makes.
const (
	RunsOut    Kind = "runs out"    // something is used up soon, or before a plan that needs it ends
	CountAgain Kind = "count again" // more was used than was there
)

const (
	shelfShare = 0.12 // what runs out in a fortnight, up to twice that on the day
	countShare = 0.1  // a count that cannot be right
)

// shelfRows are the things on the shelf that run out within a fortnight, or
// before the end of a plan that uses them, and counts that cannot be right.
func shelfRows(f *book.Facts, on time.Time) ([]Row, error) {
	if len(f.Stock) == 0 {
		return nil, nil
	}
	s, err := supply.Of(f, on, time.Time{})
	if err != nil {
		return nil, err
	}
	loc := time.UTC
	if len(f.Tanks) > 0 {
		loc = zone(&f.Tanks[0])
	}
	var rows []Row
	for _, it := range s.Items {
		switch {
		case len(it.Users) == 0 && it.State != supply.CountAgain:
		case it.State == supply.Low:
			rows = append(rows, runsOutRow(it, on, loc))
		case it.State == supply.Empty:
			r := shelfRow(it, RunsOut, "used up")
			r.Why, r.Consequence = it.Says+" "+useWords(it), 2*shelfShare
			rows = append(rows, r)
		case it.State == supply.CountAgain:
			r := shelfRow(it, CountAgain, "count it again")
			r.Why, r.Consequence = it.Says, countShare
			rows = append(rows, r)
		}
	}
	return rows, nil
}

func shelfRow(it supply.Item, kind Kind, word string) Row {
	return Row{Key: rowKey("", "shelf", it.Name), Kind: kind, Title: fmt.Sprintf("%s, on the shelf: %s", prose.Capital(it.Name), word),
		Lines: it.Lines, Action: Action{Do: "stock", Substance: it.Name, Unit: it.Unit}}
}

func runsOutRow(it supply.Item, on time.Time, loc *time.Location) Row {
	day := *it.RunsOut.Expected
	r := shelfRow(it, RunsOut, "runs out about "+dateWords(day, loc))
	r.On = &day
	early := it.RunsOut.Early.In(loc).Format("2 January")
	span := fmt.Sprintf("not before %s, nineteen cases in twenty", early)
	if late := it.RunsOut.Late; late != nil {
		span = fmt.Sprintf("nine cases in ten between %s and %s", early, late.In(loc).Format("2 January"))
	}
	r.Why = fmt.Sprintf("%s left; %s. %s", it.LeftWords(), span, useWords(it))
	days := day.Sub(on).Hours() / 24
	r.Consequence = shelfShare * (1 + min(1, max(0, 1-days/supply.LowDays)))
	return r
}

// useWords says who takes it.
func useWords(it supply.Item) string {
	var users []string
	for _, u := range it.Users {
		users = append(users, strings.TrimSuffix(u.Says, "."))
	}
	if n := len(users); n > 3 {
		users = append(users[:2], fmt.Sprintf("and %d more", n-2))
	}
	return "Used by " + strings.Join(users, "; ") + "."
}
