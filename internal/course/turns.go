package course

import (
	"math"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/internal/stoprule"
)

// walk goes through the turns of an accepted course.
type walk struct {
	s     *Standing
	t     *book.TankFacts
	l     *book.Line
	b     *book.Course
	asOf  time.Time
	halts []span
	last  time.Time // by when the last turn could still be done
}

// span is a time in which a course had stopped; to is zero while it still has.
type span struct{ from, to time.Time }

// stops finds when the stop rules held the course: from where one fired until the
// keeper let it go on.
func (w *walk) stops() {
	rules := stoprule.All(w.b.StopWhen)
	since := standing.CourseStart(w.l, w.b)
	for _, r := range append(standing.Resumes(w.t, w.l.ID, w.asOf), time.Time{}) {
		until := w.asOf
		if !r.IsZero() {
			until = r
		}
		if fired, ok := stoprule.First(rules, w.t, since, until); ok {
			w.halts = append(w.halts, span{fired.At, r})
		}
		since = r.Add(1) // what is told of the very moment came before
	}
	if halt, ok := standing.HaltOf(w.t, w.l, w.asOf); ok {
		w.s.Stopped = &halt
	}
}

func (w *walk) held(at time.Time) bool {
	if w.s.Stopped != nil && !at.After(w.asOf) && at.After(w.s.Stopped.At.Add(-w.interval()/2)) {
		return true // was due still when it stopped
	}
	for _, h := range w.halts {
		if !at.Before(h.from) && (h.to.IsZero() || at.Before(h.to)) {
			return true
		}
	}
	return false
}

func (w *walk) interval() time.Duration {
	every, _ := w.b.EveryHours.Float()
	return time.Duration(every * float64(time.Hour))
}

// turns gives each turn its state. One that was done late moves the next so that
// the two do not come too close.
func (w *walk) turns(end *book.Line) {
	every, _ := w.b.EveryHours.Float()
	days, _ := w.b.Days.Float()
	start, interval := standing.CourseStart(w.l, w.b), w.interval()
	done := w.done()
	var last time.Time
	for i := 0; float64(i)*every < days*24-1e-9; i++ {
		turn := Turn{At: standing.TurnAt(start, every, i, w.t.Location)}
		if book.Key(w.b.Action) != "chore" {
			turn.Amount = standing.TurnAmount(w.b, i)
		}
		if d, ok := done[i]; ok {
			turn.State, turn.Line, last = Done, d.line, d.at
		} else {
			if earliest := last.Add(time.Duration(leastGap * float64(interval))); !last.IsZero() && turn.At.Before(earliest) {
				turn.At = earliest
			}
			turn.State = w.stateAt(turn.At, end)
		}
		w.last = turn.At.Add(interval / 2)
		w.s.count(turn)
	}
}

func (w *walk) stateAt(at time.Time, end *book.Line) TurnState {
	switch {
	case w.held(at), end != nil && at.Add(w.interval()/2).After(end.At):
		return Left
	case at.Add(w.interval() / 2).Before(w.asOf):
		return Missed
	case !at.After(w.asOf):
		return Due
	}
	return ToCome
}

func (s *Standing) count(turn Turn) {
	switch turn.State {
	case Done:
		s.Given++
	case Missed:
		s.Missed++
	case Left:
		s.Left++
	default:
		if s.Next == nil {
			at := turn.At
			s.Next, s.Amount = &at, turn.Amount
		}
	}
	s.Turns = append(s.Turns, turn)
}

type doneTurn struct {
	line string
	at   time.Time
}

// done finds what was logged of each turn.
func (w *walk) done() map[int]doneTurn {
	out := map[int]doneTurn{}
	if book.Key(w.b.Action) != "chore" {
		for _, p := range standing.DosesOf(w.t, w.l, w.asOf) {
			if p.Done != "" {
				out[p.Step] = doneTurn{p.Done, p.DoneAt}
			}
		}
		return out
	}
	every, _ := w.b.EveryHours.Float()
	if every <= 0 {
		return out
	}
	start := standing.CourseStart(w.l, w.b)
	for i := range w.t.Events {
		e := &w.t.Events[i]
		c, ok := e.Body.(*book.Chore)
		if !ok || e.At.After(w.asOf) || book.Key(c.Name) != book.Key(w.b.Chore) || c.Plan != "" && c.Plan != w.l.ID {
			continue
		}
		turn := int(math.Round(e.At.Sub(start).Hours() / every))
		if _, taken := out[turn]; !taken && turn >= 0 {
			out[turn] = doneTurn{e.ID, e.At}
		}
	}
	return out
}
