package correction

import (
	"fmt"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/units"
)

// Accept gives the lines that take a plan into the book at a moment, the plan
// itself last: those before it end what it replaces, and belong in the book
// together with it. It fails for a plan without steps.
func Accept(p Plan, at time.Time) ([]book.Line, error) {
	if p.Refused != "" || len(p.Steps) == 0 {
		return nil, fmt.Errorf("there is nothing to accept: %s", p.Says)
	}
	decimals := units.Decimals(units.Quantity(p.Quantity), p.Unit) + 2
	b := &book.Correction{Quantity: p.Quantity, From: book.NumberOf(p.From.Mean, decimals), SD: book.NumberOf(p.From.SD, decimals),
		Aim: book.NumberOf(p.Aim, decimals), Unit: p.Unit, Substance: p.Total.Substance, MostADay: book.NumberOf(p.MostADay, decimals)}
	checks := p.Checks
	for _, s := range p.Steps {
		for len(checks) > 0 && checks[0].At.Before(s.At) {
			b.Steps, checks = append(b.Steps, checkStep(checks[0], decimals)), checks[1:]
		}
		b.Steps = append(b.Steps, book.Step{At: &s.At, Amount: book.NumberOf(s.Amount, 3), Unit: s.Unit,
			Expected: book.NumberOf(s.Expected.Mean, decimals), SD: book.NumberOf(s.Expected.SD, decimals)})
	}
	for _, c := range checks {
		b.Steps = append(b.Steps, checkStep(c, decimals))
	}
	return append(ends(p.Tank, p.Replaces, at), book.Line{Kind: book.KindCorrection, At: at, Tank: p.Tank, Body: b}), nil
}

// ends are the lines that end plans which are worked out again.
func ends(tank string, plans []string, at time.Time) []book.Line {
	var out []book.Line
	for _, id := range plans {
		out = append(out, book.Line{Kind: book.KindPlanEnd, At: at, Tank: tank, Body: &book.PlanEnd{Plan: id, Why: "worked out again"}})
	}
	return out
}

func checkStep(c Check, decimals int) book.Step {
	return book.Step{At: &c.At, Expected: book.NumberOf(c.Expected.Mean, decimals), SD: book.NumberOf(c.Expected.SD, decimals)}
}

// State is how an accepted plan stands.
type State string

// The states of an accepted plan.
const (
	Running State = "under way"
	Done    State = "done"
	Stopped State = "stopped" // a reading disagreed: work it out anew
	Ended   State = "ended"   // by the keeper
)

// Standing is an accepted plan as the log has it now.
type Standing struct {
	Line     string // id of the plan
	Accepted time.Time
	Quantity units.Quantity
	Aim      float64
	Unit     string
	State    State
	Given    int                // doses done
	Missed   int                // doses whose time passed without one; not made up for
	Late     bool               // the next dose should have been given hours ago
	ToCome   []standing.Planned // doses still to come
	Next     *time.Time         // the next dose or test; nil when there is none
	Test     bool               // Next is a test
	Expected standing.Estimate  // after Next
	Says     string
}

// Behind says whether the plan is no longer what was sized: worked out again from
// today's level, the rest would come out otherwise.
func (s *Standing) Behind() bool { return s.State == Running && (s.Missed > 0 || s.Late) }

// Open says whether the plan still asks, or would, for something.
func (s *Standing) Open() bool { return s.State == Running || s.State == Stopped }

// Stand says how each correction of a tank stands, newest first.
func Stand(f *book.Facts, tank string, asOf time.Time) ([]Standing, error) {
	t, ok := f.Tank(tank)
	if !ok {
		return nil, fmt.Errorf("tank %q is not in the book", tank)
	}
	ended := map[string]*book.Line{}
	for i := range t.Events {
		if b, ok := t.Events[i].Body.(*book.PlanEnd); ok && !t.Events[i].At.After(asOf) {
			ended[b.Plan] = &t.Events[i]
		}
	}
	var out []Standing
	for i := len(t.Events) - 1; i >= 0; i-- {
		l := &t.Events[i]
		if b, ok := l.Body.(*book.Correction); ok && !l.At.After(asOf) {
			out = append(out, standOf(t, l, b, asOf, ended[l.ID]))
		}
	}
	return out, nil
}

func standOf(t *book.TankFacts, l *book.Line, b *book.Correction, asOf time.Time, end *book.Line) Standing {
	s := Standing{Line: l.ID, Accepted: l.At, Unit: b.Unit, State: Running}
	s.Quantity, _ = units.ParseQuantity(b.Quantity)
	s.Aim, _ = b.Aim.Float()
	planned := standing.DosesOf(t, l, asOf)
	if end != nil {
		s.end(planned, end)
		return s
	}
	for _, p := range planned {
		switch {
		case p.Done != "":
			s.Given++
		case p.Stopped:
		case p.At.Before(asOf.Add(-missedAfter)):
			s.Missed++
		default:
			s.ToCome = append(s.ToCome, p)
		}
	}
	if halt, stopped := standing.HaltOf(t, l, asOf); stopped {
		s.State, s.ToCome = Stopped, nil
		s.Says = fmt.Sprintf("Stopped: the reading of %s on %s is not what the plan led to expect, %s. Test once more, then work it out anew.",
			units.Format(s.Quantity, halt.Value, b.Unit), halt.At.In(zoneOf(t)).Format("2 January 15:04"), units.FormatPM(s.Quantity, halt.Expected.Mean, halt.Expected.SD, b.Unit))
		return s
	}
	s.next(t, l, b, asOf)
	return s
}

// end says how far a plan came that the keeper ended.
func (s *Standing) end(planned []standing.Planned, end *book.Line) {
	for _, p := range planned {
		if p.Done != "" && !p.DoneAt.After(end.At) {
			s.Given++
		}
	}
	s.State, s.Says = Ended, fmt.Sprintf("Ended after %d of %d doses.", s.Given, len(planned))
	if why := end.Body.(*book.PlanEnd).Why; why != "" {
		s.Says = fmt.Sprintf("Ended after %d of %d doses: %s.", s.Given, len(planned), strings.TrimSuffix(why, "."))
	}
}

// How late a dose may be before it is told to be late, and before it counts as
// missed.
const (
	lateAfter   = 3 * time.Hour
	missedAfter = 12 * time.Hour
)

// next finds what comes next and says where the plan is.
func (s *Standing) next(t *book.TankFacts, l *book.Line, b *book.Correction, asOf time.Time) {
	if len(s.ToCome) > 0 {
		at := s.ToCome[0].At
		s.Next, s.Late = &at, at.Before(asOf.Add(-lateAfter))
		s.Expected = standing.ExpectedAfter(b.Steps[s.ToCome[0].Step])
	}
	for _, step := range b.Steps {
		if step.Amount != "" || step.At == nil || tested(t, s.Quantity, *step.At, asOf) {
			continue
		}
		if s.Next == nil || step.At.Before(*s.Next) {
			at := *step.At
			s.Next, s.Test, s.Expected = &at, true, standing.ExpectedAfter(step)
		}
	}
	doses := s.Given + s.Missed + len(s.ToCome)
	missed := ""
	if s.Missed > 0 {
		missed = fmt.Sprintf(" %d %s missed and not made up for: the aim will be missed by as much.", s.Missed, plural(s.Missed, "was", "were"))
	}
	switch {
	case s.Next == nil:
		s.State = Done
		s.Says = fmt.Sprintf("Done: %d of %d doses given.%s", s.Given, doses, missed)
	default:
		s.Says = fmt.Sprintf("%d of %d doses given.%s", s.Given, doses, missed)
	}
}

// tested says whether a reading has done the test of a moment: one from six hours
// before it on.
func tested(t *book.TankFacts, q units.Quantity, at, asOf time.Time) bool {
	for i := len(t.Events) - 1; i >= 0; i-- {
		l := &t.Events[i]
		if l.At.Before(at.Add(-6 * time.Hour)) {
			return false
		}
		if r, ok := l.Body.(*book.Reading); ok && !l.At.After(asOf) && sameQuantity(r.Quantity, q) {
			return true
		}
	}
	return false
}
