package course

import (
	"fmt"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/internal/stoprule"
)

// Accept is the line that takes a course into the book at a moment.
func Accept(p Plan, at time.Time) (book.Line, error) {
	if p.Refused != "" || p.Turns == 0 {
		return book.Line{}, fmt.Errorf("there is nothing to accept: %s", p.Says)
	}
	return book.Line{Kind: book.KindCourse, At: at, Tank: p.Tank, Body: p.body()}, nil
}

func (p *Plan) body() *book.Course {
	start := p.Start
	b := &book.Course{Name: p.Name, Action: p.Action, Chore: p.Chore, EveryHours: figure(p.EveryHours), From: &start,
		Days: figure(p.Days), Signs: p.Signs, Watch: p.Watch, Stop: p.Stop, StopWhen: stoprule.Lines(p.rules)}
	if p.Action != "dose" {
		return b
	}
	b.Chore, b.Substance, b.Amount, b.Unit = "", p.Substance, figure(p.Amount), p.Unit
	if p.Most > 0 {
		b.Most = figure(p.Most)
	}
	if p.HalfDays > 0 {
		b.HalfDays = figure(p.HalfDays)
	}
	return b
}

// Standing is an accepted course as the log has it now.
type Standing struct {
	Line     string
	Course   *book.Course
	Accepted time.Time
	Turns    []Turn
	Given    int
	Missed   int
	Left     int            // not asked for, while it had stopped or since it was ended
	Next     *time.Time     // nil when it is over or has stopped
	Amount   book.Number    // of the dose at Next
	Stopped  *standing.Halt // the stop rule that holds it; nil when none has fired, or it goes on since
	Over     bool
	Ended    string // why the keeper ended it; empty when it ran out or runs
	Says     string
	Signs    []SignChange // before against after
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
	var out []Standing
	for i := len(t.Events) - 1; i >= 0; i-- {
		l := &t.Events[i]
		if b, ok := l.Body.(*book.Course); ok && !l.At.After(asOf) {
			out = append(out, standOf(t, l, b, asOf))
		}
	}
	return out, nil
}

func standOf(t *book.TankFacts, l *book.Line, b *book.Course, asOf time.Time) Standing {
	s := Standing{Line: l.ID, Course: b, Accepted: l.At}
	end := endOf(t, l.ID, asOf)
	w := &walk{s: &s, t: t, l: l, b: b, asOf: asOf}
	if end != nil {
		w.asOf = end.At // what counts is how it stood then
		s.Ended = end.Body.(*book.PlanEnd).Why
	}
	w.stops()
	w.turns(end)
	s.Over = end != nil || s.Next == nil && (s.Stopped == nil || asOf.After(w.last))
	s.say(end != nil)
	s.Signs = signs(t, l, b, asOf, s.Over)
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

func (s *Standing) say(ended bool) {
	parts := []string{fmt.Sprintf("%d of %d turns done", s.Given, len(s.Turns))}
	if s.Missed > 0 {
		parts = append(parts, fmt.Sprintf("%d missed and not made up for", s.Missed))
	}
	if s.Left > 0 && s.Stopped == nil && !ended {
		parts = append(parts, fmt.Sprintf("%d left out", s.Left))
	}
	count := strings.Join(parts, ", ") + "."
	switch {
	case ended && s.Ended != "":
		s.Says = fmt.Sprintf("Ended by the keeper: %s. %s", strings.TrimSuffix(s.Ended, "."), count)
	case ended:
		s.Says = "Ended by the keeper. " + count
	case s.Stopped != nil:
		s.Says = fmt.Sprintf("Stop: %s. %s", s.Stopped.Rule.Says, count)
	case s.Over:
		s.Says = "Over: " + count
	default:
		s.Says = count
	}
}
