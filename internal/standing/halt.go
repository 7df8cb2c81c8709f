package standing

import (
	"math"
	"time"

	"driftline/internal/book"
	"driftline/internal/stoprule"
	"driftline/units"
)

// Halt is what stopped a plan by itself: a reading that a correction did not lead
// to expect, or a stop rule of a course.
type Halt struct {
	At       time.Time
	Line     string         // id of the reading or score
	Value    float64        // of the reading, in the correction's unit
	Expected Estimate       // what it should have been
	Rule     stoprule.Fired // of a course
}

// StopChance is how many standard deviations off a reading stops a correction:
// one in twenty by chance.
const StopChance = 2.0

// HaltOf says whether a plan has stopped, by what was logged until as-of. A later
// line that lets it go on clears what came before.
func HaltOf(t *book.TankFacts, l *book.Line, asOf time.Time) (Halt, bool) {
	resumes := Resumes(t, l.ID, asOf)
	since := l.At
	if len(resumes) > 0 {
		since = resumes[len(resumes)-1].Add(1) // what is told of the very moment came before
	}
	switch b := l.Body.(type) {
	case *book.Correction:
		return atOdds(t, b, since, asOf)
	case *book.Course:
		if start := CourseStart(l, b); len(resumes) == 0 {
			since = start
		}
		return ruled(t, b, since, asOf)
	}
	return Halt{}, false
}

// Resumes are the moments at which the keeper let a plan go on, oldest first.
func Resumes(t *book.TankFacts, plan string, asOf time.Time) []time.Time {
	var out []time.Time
	for i := range t.Events {
		if b, ok := t.Events[i].Body.(*book.PlanResume); ok && b.Plan == plan && !t.Events[i].At.After(asOf) {
			out = append(out, t.Events[i].At)
		}
	}
	return out
}

func ruled(t *book.TankFacts, b *book.Course, since, asOf time.Time) (Halt, bool) {
	fired, ok := stoprule.First(stoprule.All(b.StopWhen), t, since, asOf)
	if !ok {
		return Halt{}, false
	}
	return Halt{At: fired.At, Line: fired.Lines[len(fired.Lines)-1], Rule: fired}, true
}

// atOdds finds a reading, taken after since, too far from what the correction
// expected at that time for chance.
func atOdds(t *book.TankFacts, b *book.Correction, since, asOf time.Time) (Halt, bool) {
	q, err := units.ParseQuantity(b.Quantity)
	if err != nil {
		return Halt{}, false
	}
	for i := range t.Events {
		e := &t.Events[i]
		r, ok := e.Body.(*book.Reading)
		if !ok || !e.At.After(since) || e.At.After(asOf) || quantityKey(r.Quantity) != string(q) {
			continue
		}
		v, ok := r.Value.Float()
		expected, known := expectedAt(b, e.At)
		if !ok || !known {
			continue
		}
		value, err := units.Convert(q, v, r.Unit, b.Unit)
		if err != nil || math.Abs(value-expected.Mean) <= StopChance*expected.SD {
			continue
		}
		return Halt{At: e.At, Line: e.ID, Value: value, Expected: expected}, true
	}
	return Halt{}, false
}

// expectedAt is what a reading should show: the nearest check within a day of it,
// so that doses not yet due are not counted.
func expectedAt(b *book.Correction, at time.Time) (Estimate, bool) {
	best, found := 24*time.Hour, false
	var e Estimate
	for _, s := range b.Steps {
		if s.Amount != "" || s.At == nil {
			continue
		}
		if off := at.Sub(*s.At).Abs(); off < best {
			best, e, found = off, ExpectedAfter(s), true
		}
	}
	return e, found && e.SD > 0
}

// ExpectedAfter is what the level should be after a step, in the plan's unit.
func ExpectedAfter(s book.Step) Estimate {
	mean, _ := s.Expected.Float()
	sd, _ := s.SD.Float()
	return Estimate{Mean: mean, SD: sd}
}

// halted marks the doses of a stopped plan that nothing asks for any more.
func halted(t *book.TankFacts, l *book.Line, asOf time.Time, plan []Planned) []Planned {
	halt, stopped := HaltOf(t, l, asOf)
	for i := range plan {
		plan[i].Stopped = stopped && plan[i].Done == "" && plan[i].At.After(halt.At)
	}
	return plan
}
