package course

import (
	"fmt"
	"math"
	"sort"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
)

// Accept is the line that takes a course into the book at a moment.
func Accept(p Plan, at time.Time) (book.Line, error) {
	if p.Refused != "" || p.Turns == 0 {
		return book.Line{}, fmt.Errorf("there is nothing to accept: %s", p.Says)
	}
	start := p.Start
	b := &book.Course{Name: p.Name, Action: p.Action, Chore: p.Chore, EveryHours: book.NumberOf(p.EveryHours, 2), From: &start,
		Days: book.NumberOf(p.Days, 2), Signs: p.Signs, Watch: p.Watch, Stop: p.Stop}
	if p.Action == "dose" {
		b.Chore, b.Substance, b.Amount, b.Unit = "", p.Substance, book.NumberOf(p.Amount, 2), p.Unit
		if p.Most > 0 {
			b.Most = book.NumberOf(p.Most, 2)
		}
	}
	return book.Line{Kind: book.KindCourse, At: at, Tank: p.Tank, Body: b}, nil
}

// Standing is an accepted course as the log has it now.
type Standing struct {
	Line     string
	Course   *book.Course
	Accepted time.Time
	Turns    []Turn
	Given    int
	Missed   int
	Next     *time.Time // nil when it is over
	Over     bool
	Ended    string // why the keeper ended it; empty when it ran out or runs
	Says     string
	Signs    []SignChange // before against after
}

// SignChange is a sign's scores before a course and in its last days or after.
type SignChange struct {
	Sign          string
	Before, After []float64
	P             float64 // two-sided exact p of so large a difference of ranks
	Says          string
}

// How a late turn moves the next: the gap never shrinks under this share of the
// interval.
const leastGap = 0.6

// Stand says how each course of a tank stands, newest first.
func Stand(f *book.Facts, tank string, asOf time.Time) ([]Standing, error) {
	t, ok := f.Tank(tank)
	if !ok {
		return nil, fmt.Errorf("tank %q is not in the book", tank)
	}
	planned := standing.PlannedDoses(t, asOf)
	var out []Standing
	for i := len(t.Events) - 1; i >= 0; i-- {
		l := &t.Events[i]
		if b, ok := l.Body.(*book.Course); ok && !l.At.After(asOf) {
			out = append(out, standOf(t, l, b, planned, asOf))
		}
	}
	return out, nil
}

func standOf(t *book.TankFacts, l *book.Line, b *book.Course, planned []standing.Planned, asOf time.Time) Standing {
	s := Standing{Line: l.ID, Course: b, Accepted: l.At}
	end := endOf(t, l.ID, asOf)
	s.turns(t, l, b, planned, asOf, end)
	if end != nil {
		s.Over, s.Next = true, nil
		s.Ended = end.Body.(*book.PlanEnd).Why
		s.Says = fmt.Sprintf("Ended after %d of %d turns.", s.Given, len(s.Turns))
	} else {
		s.say()
	}
	if s.Over {
		s.Signs = signs(t, l, b, asOf)
	}
	return s
}

func endOf(t *book.TankFacts, id string, asOf time.Time) *book.Line {
	for i := range t.Events {
		if b, ok := t.Events[i].Body.(*book.PlanEnd); ok && b.Plan == id && !t.Events[i].At.After(asOf) {
			return &t.Events[i]
		}
	}
	return nil
}

// turns gives each turn its state. One that was done late moves the next so that
// the two do not come too close.
func (s *Standing) turns(t *book.TankFacts, l *book.Line, b *book.Course, planned []standing.Planned, asOf time.Time, end *book.Line) {
	every, _ := b.EveryHours.Float()
	days, _ := b.Days.Float()
	start := l.At
	if b.From != nil {
		start = *b.From
	}
	interval := time.Duration(every * float64(time.Hour))
	done := doneTurns(t, l.ID, b, planned, asOf)
	var last time.Time
	for i := 0; float64(i)*every < days*24-1e-9; i++ {
		turn := Turn{At: start.Add(time.Duration(i) * interval), State: ToCome}
		if d, ok := done[i]; ok {
			turn.State, turn.Line, last = Done, d.line, d.at
			s.Given++
		} else {
			if earliest := last.Add(time.Duration(leastGap * float64(interval))); !last.IsZero() && turn.At.Before(earliest) {
				turn.At = earliest
			}
			switch {
			case turn.At.Add(interval / 2).Before(asOf):
				turn.State = Missed
				s.Missed++
			case !turn.At.After(asOf):
				turn.State = Due
			}
			if s.Next == nil && (turn.State == Due || turn.State == ToCome) && end == nil {
				at := turn.At
				s.Next = &at
			}
		}
		s.Turns = append(s.Turns, turn)
	}
	s.Over = s.Next == nil
}

type doneTurn struct {
	line string
	at   time.Time
}

// doneTurns finds what was logged of each turn.
func doneTurns(t *book.TankFacts, id string, b *book.Course, planned []standing.Planned, asOf time.Time) map[int]doneTurn {
	out := map[int]doneTurn{}
	if book.Key(b.Action) != "chore" {
		for _, p := range planned {
			if p.Plan == id && p.Done != "" {
				out[p.Step] = doneTurn{p.Done, p.DoneAt}
			}
		}
		return out
	}
	every, _ := b.EveryHours.Float()
	if b.From == nil || every <= 0 {
		return out
	}
	for i := range t.Events {
		c, ok := t.Events[i].Body.(*book.Chore)
		if !ok || t.Events[i].At.After(asOf) || book.Key(c.Name) != book.Key(b.Chore) || c.Plan != "" && c.Plan != id {
			continue
		}
		turn := int(math.Round(t.Events[i].At.Sub(*b.From).Hours() / every))
		if _, taken := out[turn]; !taken && turn >= 0 {
			out[turn] = doneTurn{t.Events[i].ID, t.Events[i].At}
		}
	}
	return out
}

func (s *Standing) say() {
	missed := ""
	if s.Missed > 0 {
		missed = fmt.Sprintf(", %d missed and not made up for", s.Missed)
	}
	switch {
	case s.Over:
		s.Says = fmt.Sprintf("Over: %d of %d turns done%s.", s.Given, len(s.Turns), missed)
	default:
		s.Says = fmt.Sprintf("%d of %d turns done%s.", s.Given, len(s.Turns), missed)
	}
}

// signs compares the scores of the fortnight before a course with those from its
// last third on.
func signs(t *book.TankFacts, l *book.Line, b *book.Course, asOf time.Time) []SignChange {
	days, _ := b.Days.Float()
	start := l.At
	if b.From != nil {
		start = *b.From
	}
	late := start.Add(time.Duration(days * 2 / 3 * 24 * float64(time.Hour)))
	var out []SignChange
	for _, sign := range b.Signs {
		c := SignChange{Sign: sign}
		for i := range t.Events {
			e := &t.Events[i]
			score, ok := e.Body.(*book.Score)
			v, isNumber := book.Number(""), false
			if ok {
				v = score.Value
				_, isNumber = v.Float()
			}
			if !ok || !isNumber || e.At.After(asOf) || book.Key(score.Sign) != book.Key(sign) {
				continue
			}
			x, _ := v.Float()
			switch {
			case e.At.Before(start) && e.At.After(start.AddDate(0, 0, -14)):
				c.Before = append(c.Before, x)
			case e.At.After(late):
				c.After = append(c.After, x)
			}
		}
		c.tell()
		out = append(out, c)
	}
	return out
}

func (c *SignChange) tell() {
	if len(c.Before) < 3 || len(c.After) < 3 {
		c.P = 1
		c.Says = fmt.Sprintf("%s: too few scores to tell (%d before, %d late in it); three of each are the least.", prose.Capital(c.Sign), len(c.Before), len(c.After))
		return
	}
	c.P = rankP(c.Before, c.After)
	c.Says = fmt.Sprintf("%s: scored %.1f of 4 before, %.1f late in it and after; so large a difference comes by chance alone with p = %.3f. Without another tank left as it was, other causes cannot be told apart.",
		prose.Capital(c.Sign), median(c.Before), median(c.After), c.P)
}

func median(v []float64) float64 {
	v = append([]float64(nil), v...)
	sort.Float64s(v)
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}
