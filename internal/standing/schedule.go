package standing

import (
	"sort"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/units"
)

// Due is a routine in force, or still to begin, and when its turn comes.
type Due struct {
	Routine   *book.Routine
	Line      string
	Start     time.Time
	End       time.Time // zero while open
	EveryDays float64
	Last      time.Time // newest logged line that does it; zero when none
	Next      time.Time // when it falls due; may lie in the past
}

// version is one declaration of a routine with the span in which it held.
type version struct {
	routine    *book.Routine
	line       string
	start, end time.Time // end zero while open
	every      float64
}

// versions gives each declaration of each routine its span: from its own
// `from`, else its line, until its `until` or the start of the next
// declaration of the same name.
func versions(t *book.TankFacts) []version {
	byName := map[string][]version{}
	var names []string
	for _, d := range t.Routines {
		every, ok := d.Body.EveryDays.Float()
		if !ok || !(every > 0) {
			continue
		}
		v := version{routine: d.Body, line: d.Line, start: d.From, every: every}
		if d.Body.From != nil {
			v.start = *d.Body.From
		}
		if d.Body.Until != nil {
			v.end = *d.Body.Until
		}
		key := book.Key(d.Body.Name)
		if byName[key] == nil {
			names = append(names, key)
		}
		byName[key] = append(byName[key], v)
	}
	var out []version
	for _, name := range names {
		out = append(out, cutSpans(byName[name])...)
	}
	return out
}

func cutSpans(vs []version) []version {
	var out []version
	for i, v := range vs {
		for _, later := range vs[i+1:] { // in the order they were told: the later word holds
			if v.end.IsZero() || later.start.Before(v.end) {
				v.end = later.start
			}
		}
		if v.end.IsZero() || v.end.After(v.start) {
			out = append(out, v)
		}
	}
	return out
}

// Schedule lists the routines that are in force at a moment or begin later,
// with the newest logged line of each and the next turn: a hand routine counts
// from its last logged line, a machine from its start.
func Schedule(t *book.TankFacts, asOf time.Time) []Due {
	last := lastDone(t, asOf)
	var out []Due
	for _, v := range versions(t) {
		if !v.end.IsZero() && !v.end.After(asOf) {
			continue
		}
		d := Due{Routine: v.routine, Line: v.line, Start: v.start, End: v.end, EveryDays: v.every}
		d.Last = last[doneKey(v.routine)]
		d.Next = v.start
		if v.routine.Automatic {
			for turns := int((dayOf(asOf) - dayOf(v.start)) / v.every); turns >= 0 && d.Next.Before(asOf); turns++ {
				d.Next = addDays(v.start, float64(turns)*v.every)
			}
		} else if !d.Last.IsZero() {
			if next := addDays(d.Last, v.every); next.After(d.Next) {
				d.Next = next
			}
		}
		out = append(out, d)
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Next.Before(out[j].Next) })
	return out
}

// doneKey says which logged lines do a routine.
func doneKey(r *book.Routine) string {
	switch action := book.Key(r.Action); action {
	case "dose":
		return "dose|" + book.Key(r.Substance)
	case "feeding":
		return "feeding|" + book.Key(r.Food)
	case "test":
		return "test|" + quantityKey(r.Quantity)
	case "chore":
		if strings.TrimSpace(r.Chore) != "" {
			return "chore|" + book.Key(r.Chore)
		}
		return "chore|" + book.Key(r.Name)
	default:
		return action + "|"
	}
}

func quantityKey(name string) string {
	if q, err := units.ParseQuantity(name); err == nil {
		return string(q)
	}
	return book.Key(name)
}

// lastDone finds the newest line of each deed a routine may ask for.
func lastDone(t *book.TankFacts, asOf time.Time) map[string]time.Time {
	wanted := map[string]bool{}
	for _, r := range t.Routines {
		wanted[doneKey(r.Body)] = true
	}
	out := map[string]time.Time{}
	for i := len(t.Events) - 1; i >= 0 && len(out) < len(wanted); i-- {
		e := &t.Events[i]
		if e.At.After(asOf) {
			continue
		}
		for _, key := range doneBy(e) {
			if _, seen := out[key]; !seen && wanted[key] {
				out[key] = e.At
			}
		}
	}
	return out
}

func doneBy(e *book.Line) []string {
	switch b := e.Body.(type) {
	case *book.Dose:
		return []string{"dose|" + book.Key(b.Substance)}
	case *book.TopOff:
		return []string{"top-off|", "dose|" + book.Key(b.Substance)}
	case *book.WaterChange:
		return []string{"water change|"}
	case *book.Feeding:
		return []string{"feeding|" + book.Key(b.Food), "feeding|"}
	case *book.Reading:
		return []string{"test|" + quantityKey(b.Quantity)}
	case *book.Chore:
		return []string{"chore|" + book.Key(b.Name)}
	}
	return nil
}
