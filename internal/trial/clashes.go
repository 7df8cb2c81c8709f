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
	What string // "power of stream pump set to 70 %"
	Tank string
	At   time.Time
	On   effect.Span
	// Mixed is the correlation it creates between the two effects, by the plan's
	// dates; near 1 or -1 the two cannot be told apart.
	Mixed float64
	In    bool // between the start and the end, not in the time before
	// Separate is the earliest start at which the two could be told apart, zero when
	// they can be, or when no start in the half year after would do.
	Separate time.Time
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

// clashes finds what else was changed in the treated and the comparison tanks, by
// the log: other trials, courses, settings, routines begun or much changed. Their
// mixing is worked out on weekly looks.
func clashes(f *book.Facts, t Trial, from, until time.Time) []Clash {
	end := until
	if t.Ends.After(end) {
		end = t.Ends
	}
	var out []Clash
	for _, name := range append(append([]string{t.Tank}, t.Plan.AlsoIn...), t.Plan.Comparison...) {
		tank, ok := f.Tank(name)
		if !ok {
			continue
		}
		list := slices.Concat(logged(tank, t), routines(tank))
		out = append(out, slices.DeleteFunc(list, func(c Clash) bool { return !c.At.After(from) || !c.At.Before(end) })...)
	}
	slices.SortStableFunc(out, func(a, b Clash) int { return a.At.Compare(b.At) })
	out = merged(out)
	d := weekly(t.Plan, t.Start, from, end)
	for i := range out {
		c := &out[i]
		c.In = !c.At.Before(t.Start)
		c.Mixed = d.Mixed(c.during(t.Start))
		if math.Abs(c.Mixed) > apartFrom {
			c.Separate = separate(t, *c, from, end)
		}
	}
	return out
}

// merged makes one of changes in one tank on one day: nothing tells them apart.
func merged(list []Clash) []Clash {
	var out []Clash
	for _, c := range list {
		i := slices.IndexFunc(out, func(o Clash) bool {
			return o.Tank == c.Tank && c.At.Sub(o.At).Abs() < 24*time.Hour && o.On.Until.Equal(c.On.Until)
		})
		if i < 0 {
			out = append(out, c)
			continue
		}
		out[i].What += " and " + c.What
	}
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
	rest := settle(b)
	for day := math.Floor(from.Sub(start).Hours()/24/7) * 7; day <= end.Sub(start).Hours()/24; day += 7 {
		if !settles(b, start, day+0.5, rest) {
			d.Days = append(d.Days, day+0.5)
		}
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

func logged(tank *book.TankFacts, t Trial) []Clash {
	var out []Clash
	for i := range tank.Events {
		if c, ok := clashOf(tank, &tank.Events[i], t); ok {
			out = append(out, c)
		}
	}
	return out
}

func clashOf(tank *book.TankFacts, l *book.Line, t Trial) (Clash, bool) {
	c := Clash{Tank: tank.Tank.Name, At: l.At, On: effect.Span{From: l.At}}
	switch b := l.Body.(type) {
	case *book.Trial:
		if l.ID == t.Line || len(b.On) == 0 {
			return c, false
		}
		c.What = "trial " + b.Name
		c.At = *b.On[0].From
		c.On = effect.Span{From: c.At}
		if last := b.On[len(b.On)-1].Until; last != nil {
			c.On.Until = *last
		} else if b.Ends != nil {
			c.On.Until = *b.Ends
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

// much is by what share a routine must change to count as a change; a judgement:
// pumps are trimmed by less every few weeks.
const much = 0.25

// routines are those that began, or were declared anew with much more or less.
func routines(tank *book.TankFacts) []Clash {
	var out []Clash
	rate := map[string]float64{}
	first := map[string]bool{}
	for _, r := range tank.Routines {
		b := r.Body
		action := book.Key(b.Action)
		if action != "dose" && action != "feeding" && action != "water change" {
			continue
		}
		at := r.From
		if b.From != nil {
			at = *b.From
		}
		key, now := book.Key(b.Name), perDay(b)
		was, known := rate[key]
		rate[key] = now
		if known && math.Abs(now-was) <= much*max(now, was) || !known && first[key] {
			continue
		}
		first[key] = true
		c := Clash{What: routineWords(b), Tank: tank.Tank.Name, At: at, On: effect.Span{From: at}}
		if b.Until != nil {
			c.On.Until = *b.Until
		}
		out = append(out, c)
	}
	return out
}

func perDay(b *book.Routine) float64 {
	amount, ok := b.Amount.Float()
	if !ok {
		amount, _ = b.Volume.Float()
	}
	if every, ok := b.EveryDays.Float(); ok && every > 0 {
		return amount / every
	}
	return amount
}

func routineWords(b *book.Routine) string {
	what := strings.Join(strings.Fields(strings.Join([]string{string(b.Amount), b.Unit, b.Substance + b.Food}, " ")), " ")
	if book.Key(b.Action) == "water change" {
		what = fmt.Sprintf("water change of %s %s", b.Volume, b.Unit)
	}
	if b.EveryDays == "1" {
		return fmt.Sprintf("routine %s (%s a day)", b.Name, what)
	}
	return fmt.Sprintf("routine %s (%s every %s days)", b.Name, what, b.EveryDays)
}

// joint are the changes worked out together with the trial's: those that mix with
// it and came while it ran or shortly before, the three that do so most. One in a
// comparison tank moves the difference the other way; the joint model finds that.
func joint(list []Clash) []effect.Other {
	near := slices.DeleteFunc(slices.Clone(list), func(c Clash) bool { return math.Abs(c.Mixed) < 0.5 })
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
