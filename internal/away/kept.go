package away

import (
	"slices"
	"time"

	"driftline/internal/book"
	"driftline/internal/feeding"
)

// Absence is one that is written down.
type Absence struct {
	Line        string // id
	From, Until time.Time
	Every       float64 // days from visit to visit; 0: nobody comes
	Minder      string
	Call        string
	Link        string // SHA-256 of the link's secret; "" without a link
}

// Kept lists the absences of a book, the latest to begin first.
func Kept(f *book.Facts) []Absence {
	var out []Absence
	for i := range f.Absences {
		l := &f.Absences[i]
		b, ok := l.Body.(*book.Absence)
		if !ok || b.From == nil || b.Until == nil {
			continue
		}
		every, _ := b.EveryDays.Float()
		out = append(out, Absence{l.ID, *b.From, *b.Until, every, b.Minder, b.Call, b.Link})
	}
	slices.SortStableFunc(out, func(a, b Absence) int { return b.From.Compare(a.From) })
	return out
}

// Who is the name that a visit's lines are written under.
func (a Absence) Who() string {
	if a.Minder == "" {
		return "whoever minds the tanks"
	}
	return a.Minder
}

// grace is how long after the end a link is still good, for whoever comes once more.
const grace = 48 * time.Hour

// Open says whether the link of an absence can be used at a moment.
func (a Absence) Open(at time.Time) bool { return a.Link != "" && at.Before(a.Until.Add(grace)) }

// Visits are the moments somebody comes.
func (a Absence) Visits() []time.Time { return visits(a.From, a.Until, a.Every) }

func visits(from, until time.Time, every float64) []time.Time {
	var out []time.Time
	if every <= 0 {
		return nil
	}
	for at := from.Add(hours(24 * every)); at.Before(until); at = at.Add(hours(24 * every)) {
		out = append(out, at)
	}
	return out
}

// LookedAt is the chore that says a visit found the tank as it should be.
const LookedAt = "visit: looked over"

// Errand is one thing a visitor does at a tank, and nothing else.
type Errand struct {
	Tank               string
	Says               string
	Food, Amount, Unit string    // of a portion; "" for a look
	Done               time.Time // today; zero while it is to be done
}

// Errands are what a visitor does today at every tank.
func Errands(f *book.Facts, a Absence, at time.Time) []Errand {
	var out []Errand
	for i := range f.Tanks {
		t := &f.Tanks[i]
		today := dayOf(at, place(t))
		if m, ok := portion(t, a.From); ok && a.Every > 0 {
			e := Errand{Tank: t.Tank.Name, Says: portionSays, Food: m.Food, Amount: string(m.Amount), Unit: m.Unit}
			e.Done = doneSince(t, today, at, func(b book.Body) bool {
				meal, ok := b.(*book.Feeding)
				return ok && book.Key(meal.Food) == book.Key(m.Food)
			})
			out = append(out, e)
		}
		e := Errand{Tank: t.Tank.Name, Says: lookSays}
		e.Done = doneSince(t, today, at, func(b book.Body) bool {
			c, ok := b.(*book.Chore)
			return ok && book.Key(c.Name) == LookedAt
		})
		out = append(out, e)
	}
	return out
}

// portion is the meal a visitor gives: the usual one of before the absence.
func portion(t *book.TankFacts, from time.Time) (feeding.Served, bool) {
	before := *t
	n, _ := slices.BinarySearchFunc(t.Events, from, func(l book.Line, at time.Time) int { return l.At.Compare(at) })
	before.Events = t.Events[:n]
	usual := feeding.Usual(&before, 1)
	if len(usual) == 0 {
		return feeding.Served{}, false
	}
	return usual[0], true
}

func dayOf(at time.Time, zone *time.Location) time.Time {
	y, m, d := at.In(zone).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, zone)
}

func doneSince(t *book.TankFacts, since, at time.Time, is func(book.Body) bool) time.Time {
	for i := len(t.Events) - 1; i >= 0 && !t.Events[i].At.Before(since); i-- {
		if l := &t.Events[i]; !l.At.After(at) && is(l.Body) {
			return l.At
		}
	}
	return time.Time{}
}

// Normal are the newest pictures of each tank from before the absence, at most so many
// of a tank, one of each viewpoint: what the tank looks like when all is well.
func Normal(f *book.Facts, a Absence, most int) map[string][]book.Photo {
	out := map[string][]book.Photo{}
	for i := range f.Tanks {
		t := &f.Tanks[i]
		seen := map[string]bool{}
		for k := len(t.Events) - 1; k >= 0 && len(out[t.Tank.Name]) < most; k-- {
			l := &t.Events[k]
			b, ok := l.Body.(*book.Photo)
			if !ok || !l.At.Before(a.From) || seen[book.Key(b.Viewpoint)] {
				continue
			}
			seen[book.Key(b.Viewpoint)] = true
			out[t.Tank.Name] = append(out[t.Tank.Name], *b)
		}
	}
	return out
}
