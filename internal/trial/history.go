package trial

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"

	"driftline/internal/book"
)

// Version is a trial's plan as it was written at one time.
type Version struct {
	Line    string
	Written time.Time
	Plan    *book.Trial
}

// WithHistory adds the plan's versions, oldest first, from all lines of the book.
func (t Trial) WithHistory(lines []book.Line) Trial {
	byID := map[string]*book.Line{}
	for i := range lines {
		byID[lines[i].ID] = &lines[i]
	}
	t.Versions = nil
	for id := t.Line; id != "" && byID[id] != nil && len(t.Versions) < 100; id = byID[id].Replaces {
		l := byID[id]
		b, ok := l.Body.(*book.Trial)
		if !ok {
			break
		}
		written, known := book.IDTime(id)
		if !known {
			written = l.At
		}
		t.Versions = append(t.Versions, Version{id, written, b})
	}
	slices.Reverse(t.Versions)
	if n := len(t.Versions); n > 0 {
		t.Written = t.Versions[n-1].Written
	}
	return t
}

// AsPlanned is the plan as it stood when the change came; the first version when
// none is that old.
func (t Trial) AsPlanned() Version {
	v := Version{t.Line, t.Written, t.Plan}
	if len(t.Versions) == 0 {
		return v
	}
	v = t.Versions[0]
	for _, later := range t.Versions[1:] {
		if !later.Written.After(t.Start) {
			v = later
		}
	}
	return v
}

// Changed names what a later version says otherwise.
func (v Version) Changed(later Version) []string {
	var out []string
	a, b := *v.Plan, *later.Plan
	for _, part := range []struct {
		name string
		same bool
	}{
		{"its question", a.Question == b.Question}, {"the change", a.Change == b.Change},
		{"when the change is on", slices.EqualFunc(a.On, b.On, samePhase)}, {"its end", sameMoment(a.Ends, b.Ends)},
		{"its tanks", reflect.DeepEqual(a.AlsoIn, b.AlsoIn) && reflect.DeepEqual(a.Comparison, b.Comparison)},
		{"the settling", a.RampDays == b.RampDays && a.SettleDays == b.SettleDays},
		{"what it watches", slices.Equal(a.Outcomes, b.Outcomes)}, {"its stop rules", slices.Equal(a.StopWhen, b.StopWhen)},
		{"the lot", sameMoment(a.DrawnFrom, b.DrawnFrom) && sameMoment(a.DrawnUntil, b.DrawnUntil)},
	} {
		if !part.same {
			out = append(out, part.name)
		}
	}
	return out
}

func samePhase(a, b book.Phase) bool {
	return sameMoment(a.From, b.From) && sameMoment(a.Until, b.Until)
}

func sameMoment(a, b *time.Time) bool {
	return a == nil && b == nil || a != nil && b != nil && a.Equal(*b)
}

// rewritten tells of plans that were written or changed after the change came.
func (t Trial) rewritten() []string {
	planned := t.AsPlanned()
	if late := planned.Written.Sub(t.Start); late > 24*time.Hour {
		return []string{fmt.Sprintf("The plan was written %.0f days after the change came: what to look for may have been chosen by what was seen.", late.Hours()/24)}
	}
	var out []string
	for i := 1; i < len(t.Versions); i++ {
		v := t.Versions[i]
		if !v.Written.After(t.Start) {
			continue
		}
		if what := t.Versions[i-1].Changed(v); len(what) > 0 {
			out = append(out, fmt.Sprintf("The plan was changed on %s, after the change had come: %s.", v.Written.In(t.Start.Location()).Format("2 January 2006"), strings.Join(what, ", ")))
		}
	}
	return out
}
