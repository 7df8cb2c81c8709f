package web

import (
	"errors"
	"fmt"
	"net/url"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/course"
	"driftline/internal/prose"
	"driftline/internal/stoprule"
	"driftline/internal/substance"
	"driftline/units"
)

// courseTold is what follows from what was typed, the part of the page that is
// asked for anew while it is typed.
type courseTold struct {
	Problem  string
	Plan     *course.Plan
	Large    []largeDose
	Ceiling  string
	Total    string
	Shelf    string
	Stop     []string
	Sheet    turnSheet
	AcceptTo string
	Fields   []link
	ID       string
}

// largeDose is a dose in large print.
type largeDose struct{ Amount, What, Why string }

// turnSheet is a course as a sheet with a box for each turn, a row for each day.
type turnSheet struct {
	Days  []turnDay
	Signs []string // with a space to write the score in, on paper
	Long  bool     // more than a screen of it
}

type turnDay struct {
	Day   string
	Turns []turnCell
}

// turnCell is one turn: its box, ticked, crossed or empty, with the word.
type turnCell struct {
	Clock, Amount, State string
	Mark                 string // "done", "missed", "left" or "" for an empty box
	Href                 string // of the line that did it
}

// workCourse works out what was asked for.
func (s *Server) workCourse(f *book.Facts, t *book.TankFacts, ask url.Values) courseTold {
	var v courseTold
	a, err := s.courseAsk(t, ask)
	if err != nil {
		v.Problem = sentence(err.Error())
		return v
	}
	p, err := course.Work(f, a, f.AsOf)
	if err != nil {
		v.Problem = sentence(err.Error())
		return v
	}
	v.Plan = &p
	if p.Refused != "" {
		return v
	}
	v.Large, v.Stop, v.Shelf = largeDoses(t, p), p.StopSays(), courseOnShelf(f, p)
	if p.Most > 0 {
		v.Ceiling = fmt.Sprintf("Never more than %s %s a dose.", units.FormatAmount(p.Most), p.Unit)
	}
	if p.Action == "dose" {
		v.Total = units.FormatAmount(substance.Round(p.Total)) + " " + p.Unit + " in all"
	}
	v.Sheet = sheetOf(p.Schedule(), p.Signs, p.Unit, t.Location)
	v.AcceptTo, v.ID = coursePath(t.Tank.Name), book.NewID(s.Now())
	for _, name := range courseNames {
		if x := ask.Get(name); x != "" {
			v.Fields = append(v.Fields, link{Name: name, Href: x})
		}
	}
	if !ask.Has("start.date") { // the plan that was shown is the one that is kept
		v.Fields = append(v.Fields, link{Name: "start.date", Href: a.Start.Format("2006-01-02")})
	}
	if !ask.Has("start.time") {
		v.Fields = append(v.Fields, link{Name: "start.time", Href: a.Start.Format("15:04")})
	}
	return v
}

// courseAsk reads the form.
func (s *Server) courseAsk(t *book.TankFacts, ask url.Values) (course.Ask, error) {
	typed, what := typedCourse(ask), whatOf(ask)
	a := course.Ask{Tank: t.Tank.Name, Name: typed.Name, Stop: typed.Stop, Signs: parts(typed.Signs, ","), Watch: parts(typed.Watch, "\n")}
	switch what {
	case ownChore:
		a.Action, a.Chore = ownChore, typed.Chore
	case ownDose:
		a.Action, a.Substance, a.Unit = ownDose, typed.With, typedOr(ask, "unit", "mL")
	case course.Peroxide:
		a.Known, a.Substance, a.Unit = what, typed.With, "mL"
	default:
		a.Known = what
	}
	if a.Name == "" && a.Known == "" {
		a.Name = strings.TrimSpace(typed.With + typed.Chore)
	}
	var err error
	number := func(name, text string, into *float64) {
		if x, ok := typedFigure(text); text != "" && err == nil {
			if *into = x; !ok {
				err = errors.New(name + " " + shorten(text) + " is not a number")
			}
		}
	}
	var half float64
	number("the dose", typed.Amount, &a.Amount)
	number("the ceiling", typed.Most, &a.Most)
	number("hours between turns", typed.Every, &a.EveryHours)
	number("days", typed.Days, &a.Days)
	number("days at half the dose", typed.Half, &half)
	if typed.Half != "" && what != ownChore {
		a.HalfDays = &half
	}
	if err != nil {
		return a, err
	}
	if a.StopWhen, err = rulesTyped(typed.Rules); err != nil {
		return a, err
	}
	a.Start, err = s.startTyped(t, typed)
	return a, err
}

// rulesTyped reads the stop rules; "none" is a word for having none.
func rulesTyped(text string) ([]stoprule.Rule, error) {
	if book.Key(text) == "none" {
		return []stoprule.Rule{}, nil
	}
	return stoprule.ParseList(text)
}

func (s *Server) startTyped(t *book.TankFacts, typed courseFields) (time.Time, error) {
	usual := s.usualStart(t)
	if typed.Day == "" && typed.Clock == "" {
		return usual, nil
	}
	if typed.Day == "" {
		typed.Day = usual.Format("2006-01-02")
	}
	if typed.Clock == "" {
		typed.Clock = usual.Format("15:04")
	}
	return momentOf(typed.Day, typed.Clock, t.Location)
}

// parts are the entries of a list as it is typed.
func parts(text, mark string) []string {
	var out []string
	for _, p := range strings.Split(strings.ReplaceAll(text, "\r", ""), mark) {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, p)
		}
	}
	return out
}

// largeDoses are the doses in large print, half ones first.
func largeDoses(t *book.TankFacts, p course.Plan) []largeDose {
	every := fmt.Sprintf("every %s hours", units.FormatAmount(p.EveryHours))
	if p.EveryHours == 1 {
		every = "every hour"
	}
	if p.Action != "dose" {
		return []largeDose{{Amount: prose.Capital(p.Chore), What: fmt.Sprintf("%s for %s days", every, units.FormatAmount(p.Days))}}
	}
	print := func(v float64) string { return units.FormatAmount(v) + " " + p.Unit }
	if !p.Halved() {
		return []largeDose{{print(p.Amount), fmt.Sprintf("of %s, %s for %s days", p.Substance, every, units.FormatAmount(p.Days)), perVolume(t, p.Amount, p.Unit)}}
	}
	if p.HalfDays >= p.Days {
		return []largeDose{{print(p.Amount / 2), fmt.Sprintf("of %s, %s on all %s days", p.Substance, every, units.FormatAmount(p.Days)), perVolume(t, p.Amount/2, p.Unit)}}
	}
	return []largeDose{{print(p.Amount / 2), fmt.Sprintf("of %s, %s on the first %s days", p.Substance, every, units.FormatAmount(p.HalfDays)), "Half of it to begin with, to see who bears it badly."},
		{print(p.Amount), fmt.Sprintf("%s for the %s days after", every, units.FormatAmount(p.Days-p.HalfDays)), perVolume(t, p.Amount, p.Unit)}}
}

// longSheet is how many days of a course are more than a screen of it.
const longSheet = 14

// sheetOf lays turns out by day.
func sheetOf(turns []course.Turn, signs []string, unit string, zone *time.Location) turnSheet {
	out := turnSheet{Signs: signs}
	for _, t := range turns {
		at := t.At.In(zone)
		day := at.Format("Mon 2 Jan")
		if n := len(out.Days); n == 0 || out.Days[n-1].Day != day {
			out.Days = append(out.Days, turnDay{Day: day})
		}
		cell := turnCell{Clock: at.Format("15:04")}
		if t.Amount != "" {
			v, _ := t.Amount.Float()
			cell.Amount = units.FormatAmount(v) + " " + unit
		}
		switch t.State {
		case course.Done:
			cell.Mark, cell.State, cell.Href = "done", "done", linePath(t.Line)
		case course.Missed:
			cell.Mark, cell.State = "missed", "missed"
		case course.Left:
			cell.Mark, cell.State = "left", "left out"
		case course.Due:
			cell.State = "due"
		}
		d := &out.Days[len(out.Days)-1]
		d.Turns = append(d.Turns, cell)
	}
	out.Long = len(out.Days) > longSheet
	return out
}
