package trial

import (
	"fmt"
	"time"

	"driftline/internal/book"
	"driftline/internal/effect"
	"driftline/internal/stoprule"
)

// State is where a trial is in its life.
type State string

// The states.
const (
	Planned State = "planned"
	Running State = "running"
	Stopped State = "stopped" // a stop rule fired: the change comes off
	Over    State = "over"
)

// Trial is a trial as the log has it.
type Trial struct {
	Line    string
	Written time.Time // when the line that holds was written
	Tank    string
	Plan    *book.Trial
	Start   time.Time
	Ends    time.Time // planned, or when it was ended; zero when open
	State   State
	Fired   *stoprule.Fired
	Ended   string // why it was ended before its time
	EndedAt time.Time
	// Versions are the plan's, oldest first; empty unless WithHistory.
	Versions []Version
}

// All gives the trials of the book, newest start first.
func All(f *book.Facts, asOf time.Time) []Trial {
	var out []Trial
	for i := range f.Tanks {
		t := &f.Tanks[i]
		for j := range t.Events {
			l := &t.Events[j]
			if b, ok := l.Body.(*book.Trial); ok && !l.At.After(asOf) && len(b.On) > 0 && len(b.Outcomes) > 0 {
				out = append(out, stand(t, l, b, asOf))
			}
		}
	}
	sortByStart(out)
	return out
}

// Find gives the trial of a name or a line id.
func Find(f *book.Facts, name string, asOf time.Time) (Trial, error) {
	var found []Trial
	for _, t := range All(f, asOf) {
		if t.Line == name {
			return t, nil
		}
		if book.Key(t.Plan.Name) == book.Key(name) {
			found = append(found, t)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return Trial{}, fmt.Errorf("no trial %q is in the book", name)
	}
	return Trial{}, fmt.Errorf("%d trials are called %q: expected the id of one, such as %s", len(found), name, found[0].Line)
}

func stand(t *book.TankFacts, l *book.Line, b *book.Trial, asOf time.Time) Trial {
	zone := time.UTC
	if t.Location != nil {
		zone = t.Location
	}
	out := Trial{Line: l.ID, Written: l.At, Tank: t.Tank.Name, Plan: b, Start: b.On[0].From.In(zone)}
	if b.Ends != nil {
		out.Ends = b.Ends.In(zone)
	}
	since := out.Start
	for i := range t.Events {
		at := t.Events[i].At
		if at.After(asOf) || !out.EndedAt.IsZero() {
			break
		}
		switch e := t.Events[i].Body.(type) {
		case *book.PlanEnd:
			if e.Plan == l.ID {
				out.Ended, out.EndedAt, out.Ends = e.Why, at, at
			}
		case *book.PlanResume:
			if e.Plan == l.ID && at.After(since) {
				since = at
			}
		}
	}
	until := asOf
	if !out.EndedAt.IsZero() {
		until = out.EndedAt
	}
	if fired, ok := stoprule.First(stoprule.All(b.StopWhen), t, since, until); ok {
		out.Fired = &fired
	}
	switch {
	case !out.EndedAt.IsZero(), !out.Ends.IsZero() && !asOf.Before(out.Ends):
		out.State = Over
	case out.Fired != nil:
		out.State = Stopped
	case asOf.Before(out.Start):
		out.State = Planned
	default:
		out.State = Running
	}
	return out
}

// Until is the last moment whose figures count: the planned or early end, or the
// moment it is looked at.
func (t Trial) Until(asOf time.Time) time.Time {
	if t.Ends.IsZero() || t.Ends.After(asOf) {
		return asOf
	}
	return t.Ends
}

// spans are the stretches the change is on for the statistics: from the moment it
// comes until it goes, the ramp counted as settling.
func spans(b *book.Trial) []effect.Span {
	out := make([]effect.Span, len(b.On))
	for i, p := range b.On {
		out[i].From = *p.From
		if p.Until != nil {
			out[i].Until = *p.Until
		}
	}
	return out
}

// settle is the time after a change that counts for nothing: ramp and settling.
func settle(b *book.Trial) time.Duration {
	ramp, _ := b.RampDays.Float()
	after, _ := b.SettleDays.Float()
	return time.Duration((ramp + after) * 24 * float64(time.Hour))
}

// baseline is how far back figures from before the start count: as long as the
// trial lasts, three months at least.
func baseline(start, until time.Time) time.Time {
	return start.Add(-max(until.Sub(start), 90*24*time.Hour))
}
