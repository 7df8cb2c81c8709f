package trial

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/effect"
	"driftline/units"
)

// Clash is another change in the time of a trial.
type Clash struct {
	What string // "flow of stream pump set to 70 %"
	At   time.Time
	On   effect.Span
	// Mixed is the correlation it creates between the two effects, by the plan's
	// dates; near 1 or -1 the two cannot be told apart.
	Mixed float64
	In    bool // between the start and the end, not in the time before
	// Separate is the earliest start at which the two could be told apart, zero when
	// they can be, or when no start in the half year after would do.
	Separate time.Time
	trial    bool
}

// apartFrom is the correlation below which two effects can be told apart.
const apartFrom = 0.7

// Together tells whether the two cannot be told apart.
func (c Clash) Together() bool { return math.Abs(c.Mixed) > 0.9 }

// Says tells what the clash does to the answer.
func (c Clash) Says() string {
	switch {
	case c.Together():
		return fmt.Sprintf("these two can't be told apart (correlation %.2f)", c.Mixed)
	case math.Abs(c.Mixed) > apartFrom:
		return fmt.Sprintf("hard to tell apart (correlation %.2f): the answer is much less sure", c.Mixed)
	case math.Abs(c.Mixed) > 0.3:
		return fmt.Sprintf("told apart at a cost (correlation %.2f)", c.Mixed)
	}
	return fmt.Sprintf("hardly in the way (correlation %.2f)", c.Mixed)
}

func sameQuantity(a, b string) bool {
	x, errX := units.ParseQuantity(a)
	y, errY := units.ParseQuantity(b)
	return errX == nil && errY == nil && x == y
}

// clashes finds what else was changed in the treated tank, by the log: other
// trials, courses, corrections, settings, routines declared anew. Their mixing is
// worked out on weekly looks.
func clashes(f *book.Facts, t Trial, from, until time.Time) []Clash {
	tank, ok := f.Tank(t.Tank)
	if !ok {
		return nil
	}
	end := until
	if t.Ends.After(end) {
		end = t.Ends
	}
	var out []Clash
	for i := range tank.Events {
		l := &tank.Events[i]
		if c, ok := clashOf(tank, l, t); ok && c.At.After(from) && c.At.Before(end) {
			out = append(out, c)
		}
	}
	for _, r := range tank.Routines {
		if c, ok := routineClash(tank, r); ok && c.At.After(from) && c.At.Before(end) {
			out = append(out, c)
		}
	}
	d := weekly(t.Plan, t.Start, from, end)
	for i := range out {
		c := &out[i]
		c.In = !c.At.Before(t.Start)
		c.Mixed = d.Mixed(c.during(t.Start))
		if math.Abs(c.Mixed) > apartFrom {
			c.Separate = separate(t, *c, from, end)
		}
	}
	slices.SortStableFunc(out, func(a, b Clash) int { return a.At.Compare(b.At) })
	return out
}

// during tells by the day from a start when the other change is on.
func (c Clash) during(start time.Time) func(float64) bool {
	from, until := c.On.From.Sub(start).Hours()/24, math.Inf(1)
	if !c.On.Until.IsZero() {
		until = c.On.Until.Sub(start).Hours() / 24
	}
	return func(day float64) bool { return day >= from && day < until }
}

// weekly is a plan of weekly looks around the change.
func weekly(b *book.Trial, start, from, end time.Time) effect.Design {
	d := effect.Design{Trend: len(b.Comparison) == 0}
	for day := math.Floor(from.Sub(start).Hours()/24/7) * 7; day <= end.Sub(start).Hours()/24; day += 7 {
		d.Days = append(d.Days, day+0.5)
	}
	for _, p := range b.On {
		until := math.Inf(1)
		if p.Until != nil {
			until = p.Until.Sub(start).Hours() / 24
		}
		d.On = append(d.On, [2]float64{p.From.Sub(start).Hours() / 24, until})
	}
	return d
}

// separate looks for the earliest later start, by weeks, that tells the two
// changes apart; the trial keeps its length.
func separate(t Trial, c Clash, from, end time.Time) time.Time {
	for week := 1; week <= 26; week++ {
		shift := time.Duration(week) * 7 * 24 * time.Hour
		start := t.Start.Add(shift)
		d := weekly(t.Plan, t.Start, from.Add(shift), end.Add(shift))
		for i := range d.On {
			d.On[i][0] += float64(week) * 7
			d.On[i][1] += float64(week) * 7
		}
		if math.Abs(d.Mixed(c.during(t.Start))) < apartFrom {
			return start
		}
	}
	return time.Time{}
}

func clashOf(tank *book.TankFacts, l *book.Line, t Trial) (Clash, bool) {
	c := Clash{At: l.At, On: effect.Span{From: l.At}}
	switch b := l.Body.(type) {
	case *book.Trial:
		if l.ID == t.Line || len(b.On) == 0 {
			return c, false
		}
		c.What, c.trial = "trial "+b.Name, true
		c.At = *b.On[0].From
		c.On = effect.Span{From: c.At}
		if last := b.On[len(b.On)-1].Until; last != nil {
			c.On.Until = *last
		}
	case *book.Course:
		c.What = "course " + b.Name
		if b.From != nil {
			c.At = *b.From
		}
		days, _ := b.Days.Float()
		c.On = effect.Span{From: c.At, Until: c.At.Add(time.Duration(days * 24 * float64(time.Hour)))}
	case *book.Setting:
		c.What = fmt.Sprintf("%s of %s set to %s", b.Property, b.Equipment, settingWords(b))
		if b.Equipment == "" || firstSetting(tank, l, b) || partOf(t.Plan, b) && near(l.At, t.Plan) {
			return c, false
		}
	default:
		return c, false
	}
	return c, true
}

func settingWords(b *book.Setting) string {
	var text string
	if json.Unmarshal(b.Value, &text) != nil {
		text = string(b.Value)
	}
	return strings.TrimSpace(text + " " + b.Unit)
}

// firstSetting tells whether nothing was said of this property before: then it is
// a declaration, not a change.
func firstSetting(tank *book.TankFacts, l *book.Line, b *book.Setting) bool {
	for i := range tank.Events {
		o, ok := tank.Events[i].Body.(*book.Setting)
		if ok && tank.Events[i].At.Before(l.At) && book.Key(o.Equipment) == book.Key(b.Equipment) && book.Key(o.Property) == book.Key(b.Property) {
			return false
		}
	}
	return true
}

// partOf tells whether a setting is the trial's own change: its words name the
// equipment.
func partOf(b *book.Trial, s *book.Setting) bool {
	return strings.Contains(book.Key(b.Change), book.Key(s.Equipment))
}

func near(at time.Time, b *book.Trial) bool {
	ramp, _ := b.RampDays.Float()
	slack := time.Duration((ramp + 1.5) * 24 * float64(time.Hour))
	for _, p := range b.On {
		for _, turn := range []*time.Time{p.From, p.Until} {
			if turn != nil && at.Sub(*turn).Abs() <= slack {
				return true
			}
		}
	}
	return false
}

// routineClash is a routine that began, or was declared anew otherwise than
// before.
func routineClash(tank *book.TankFacts, r book.Declared[*book.Routine]) (Clash, bool) {
	b := r.Body
	at := r.From
	if b.From != nil {
		at = *b.From
	}
	c := Clash{At: at, On: effect.Span{From: at}}
	if b.Until != nil {
		c.On.Until = *b.Until
	}
	what := strings.TrimSpace(strings.Join([]string{string(b.Amount), b.Unit, b.Substance + b.Food}, " "))
	if book.Key(b.Action) == "water change" {
		what = strings.TrimSpace(fmt.Sprintf("water change %s %s", b.Volume, b.Unit))
	}
	c.What = fmt.Sprintf("routine %s (%s every %s days)", b.Name, strings.TrimSpace(what), b.EveryDays)
	action := book.Key(b.Action)
	return c, action == "dose" || action == "feeding" || action == "water change"
}

// joint are the changes worked out together with the trial's: those of its own
// time that mix with it, the three that do so most.
func joint(list []Clash) []effect.Other {
	near := slices.DeleteFunc(slices.Clone(list), func(c Clash) bool { return math.Abs(c.Mixed) < 0.3 })
	slices.SortStableFunc(near, func(a, b Clash) int {
		switch x, y := math.Abs(a.Mixed), math.Abs(b.Mixed); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	var out []effect.Other
	for _, c := range near[:min(len(near), 3)] {
		out = append(out, effect.Other{Name: c.What, On: []effect.Span{c.On}})
	}
	return out
}
