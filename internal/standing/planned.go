package standing

import (
	"math"
	"sort"
	"strconv"
	"time"

	"driftline/internal/book"
	"driftline/internal/drift"
)

// Planned is a dose of an accepted correction or course.
type Planned struct {
	Plan      string // id of the line
	Step      int    // index in the plan's steps, or turn of a course
	At        time.Time
	Substance string
	Amount    book.Number
	Unit      string
	Done      string    // id of the line that did it; empty while nothing has
	DoneAt    time.Time // of that line
	Given     float64   // amount that was given, in Unit's own measure when it is the same
	Stopped   bool      // its plan was stopped before its time, so it is not asked for
}

// Ahead says whether the dose is still to be expected after a moment.
func (p *Planned) Ahead(asOf time.Time) bool { return p.Done == "" && !p.Stopped && p.At.After(asOf) }

// PlannedDoses lists the doses of every accepted correction and course of a tank
// that has not been ended, in order of time, each with the logged dose that did
// it: one that names the plan, else one of the same substance nearest in time
// and not further off than half the way to its neighbours, at most half a day.
func PlannedDoses(t *book.TankFacts, asOf time.Time) []Planned {
	ended := endedPlans(t, asOf)
	var out []Planned
	for i := range t.Events {
		l := &t.Events[i]
		if !l.At.After(asOf) && !ended[l.ID] {
			out = append(out, DosesOf(t, l, asOf)...)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].At.Before(out[j].At) })
	return out
}

// DosesOf lists the doses of one correction or course, ended or not.
func DosesOf(t *book.TankFacts, l *book.Line, asOf time.Time) []Planned {
	switch b := l.Body.(type) {
	case *book.Correction:
		return halted(t, l, asOf, matched(t, asOf, stepsOf(l.ID, b)))
	case *book.Course:
		if book.Key(b.Action) != "chore" {
			return halted(t, l, asOf, matched(t, asOf, turnsOf(t, l, b)))
		}
	}
	return nil
}

func endedPlans(t *book.TankFacts, asOf time.Time) map[string]bool {
	ended := map[string]bool{}
	for i := range t.Events {
		if b, ok := t.Events[i].Body.(*book.PlanEnd); ok && !t.Events[i].At.After(asOf) {
			ended[b.Plan] = true
		}
	}
	return ended
}

func stepsOf(id string, b *book.Correction) []Planned {
	var out []Planned
	for i, s := range b.Steps {
		if s.Amount == "" || s.At == nil {
			continue
		}
		p := Planned{Plan: id, Step: i, At: *s.At, Substance: s.Substance, Amount: s.Amount, Unit: s.Unit}
		if p.Substance == "" {
			p.Substance = b.Substance
		}
		out = append(out, p)
	}
	return out
}

func turnsOf(t *book.TankFacts, l *book.Line, b *book.Course) []Planned {
	every, ok1 := b.EveryHours.Float()
	days, ok2 := b.Days.Float()
	if !ok1 || !ok2 || !(every >= 1) {
		return nil
	}
	start := CourseStart(l, b)
	var out []Planned
	for i := 0; float64(i)*every < days*24-1e-9; i++ {
		at := TurnAt(start, every, i, t.Location)
		out = append(out, Planned{Plan: l.ID, Step: i, At: at, Substance: b.Substance, Amount: TurnAmount(b, i), Unit: b.Unit})
	}
	return out
}

// TurnAt is when a turn is due. Turns that come at the same hours each day keep to
// the clock of the tank's place when it is put forward or back.
func TurnAt(start time.Time, everyHours float64, turn int, place *time.Location) time.Time {
	hours := float64(turn) * everyHours
	if place == nil || math.Mod(24, everyHours) != 0 && math.Mod(everyHours, 24) != 0 {
		return start.Add(time.Duration(hours * float64(time.Hour)))
	}
	days := math.Floor(hours / 24)
	return start.In(place).AddDate(0, 0, int(days)).Add(time.Duration((hours - 24*days) * float64(time.Hour)))
}

// CourseStart is when the first turn of a course is due.
func CourseStart(l *book.Line, b *book.Course) time.Time {
	if b.From != nil {
		return *b.From
	}
	return l.At
}

// TurnAmount is the dose of a turn, half of it on the days that begin a course
// with half.
func TurnAmount(b *book.Course, turn int) book.Number {
	half, ok1 := b.HalfDays.Float()
	every, ok2 := b.EveryHours.Float()
	amount, ok3 := b.Amount.Float()
	if !ok1 || !ok2 || !ok3 || float64(turn)*every >= half*24-1e-9 {
		return b.Amount
	}
	return book.Number(strconv.FormatFloat(amount/2, 'f', -1, 64))
}

// matched gives each planned dose the logged one that did it.
func matched(t *book.TankFacts, asOf time.Time, plan []Planned) []Planned {
	if len(plan) == 0 {
		return nil
	}
	from := plan[0].At.Add(-12 * time.Hour)
	first := sort.Search(len(t.Events), func(i int) bool { return !t.Events[i].At.Before(from) })
	for i := range t.Events {
		l := &t.Events[i]
		b, ok := l.Body.(*book.Dose)
		if !ok || l.At.After(asOf) || b.Plan != plan[0].Plan && i < first {
			continue
		}
		if at := nearestStep(plan, l, b); at >= 0 {
			plan[at].Done, plan[at].DoneAt = l.ID, l.At
			plan[at].Given, _ = b.Amount.Float()
		}
	}
	return plan
}

// nearestStep is the open step that a logged dose does, -1 for none.
func nearestStep(plan []Planned, l *book.Line, b *book.Dose) int {
	named := b.Plan == plan[0].Plan
	if !named && b.Plan != "" {
		return -1
	}
	best, gap := -1, math.Inf(1)
	for i := range plan {
		if plan[i].Done != "" || book.Key(plan[i].Substance) != book.Key(b.Substance) {
			continue
		}
		off := math.Abs(l.At.Sub(plan[i].At).Hours())
		if off < gap && (named || off <= reachOf(plan, i)) {
			best, gap = i, off
		}
	}
	return best
}

// reachOf is how many hours off its time a dose may be taken for a step.
func reachOf(plan []Planned, i int) float64 {
	reach := 12.0
	if i > 0 {
		reach = min(reach, plan[i].At.Sub(plan[i-1].At).Hours()/2)
	}
	if i+1 < len(plan) {
		reach = min(reach, plan[i+1].At.Sub(plan[i].At).Hours()/2)
	}
	return reach
}

// addPlanned plans the doses of accepted plans that are still to come. One that
// was missed is not made up for: the next stays as it is. A plan that has stopped
// gives none.
func (s *survey) addPlanned(m *matter) {
	for _, p := range PlannedDoses(s.tank, s.asOf) {
		if !p.Ahead(s.asOf) {
			continue
		}
		grams, mL, ok := amountOf(p.Amount, p.Unit)
		delta, known := s.raises(m.q, p.Substance, grams, mL, s.asOf)
		if !ok || !known || delta == 0 {
			continue
		}
		at := dayOf(p.At)
		src := m.source("plan", shortName(p.Substance))
		m.schedule = append(m.schedule, turn{hand: true, next: at, every: 1e6, start: at, end: math.Inf(1), source: src,
			input: drift.Input{Delta: delta, SD: doseDoubt * math.Abs(delta), Source: src}})
	}
}
