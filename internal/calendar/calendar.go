package calendar

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"driftline/internal/animals"
	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/rounds"
	"driftline/internal/standing"
	"driftline/internal/upkeep"
	"driftline/units"
)

// Longest is how many days ahead a calendar looks at most.
const Longest = 30

// Entry is one thing to do on a day.
type Entry struct {
	Key   string // stable for the same thing on the same day
	Day   time.Time
	Tank  string // "" for what belongs to no tank
	Title string
	Why   string
	Do    rounds.Action
}

// Calendar is the days ahead.
type Calendar struct {
	From     time.Time // midnight of the first day, in the zone of the first tank
	Days     int
	Entries  []Entry  // in order of days, tanks as declared
	Machines []string // what runs by itself, a line each
}

// Make writes the calendar of so many days from today on.
func Make(d *standing.Desk, f *book.Facts, on time.Time, days int) (Calendar, error) {
	if days < 1 || days > Longest {
		return Calendar{}, fmt.Errorf("a calendar of %d days is not possible; expected 1 to %d", days, Longest)
	}
	sheet, err := rounds.Ahead(d, f, on, days)
	if err != nil {
		return Calendar{}, err
	}
	w := &writer{c: Calendar{Days: days}, on: on, zone: zoneOf(f)}
	w.c.From = midnight(on.In(w.zone))
	w.until = w.c.From.AddDate(0, 0, days)
	for i := range f.Tanks {
		w.routines(&f.Tanks[i])
	}
	w.rows(sheet)
	all := animals.Register(f, on)
	for i := range f.Tanks {
		t := &f.Tanks[i]
		w.tasks(t.Tank.Name, upkeep.Tasks(t, on))
		w.wayIn(d, f, t.Tank.Name, all)
	}
	w.tasks("", upkeep.Instruments(f, on))
	w.labels(f)
	w.absences(f)
	w.order(f)
	return w.c, nil
}

// zoneOf is the zone the days are told in: that of the first tank.
func zoneOf(f *book.Facts) *time.Location {
	if len(f.Tanks) > 0 && f.Tanks[0].Location != nil {
		return f.Tanks[0].Location
	}
	return time.UTC
}

func midnight(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, t.Location())
}

type writer struct {
	c     Calendar
	on    time.Time
	until time.Time
	zone  *time.Location
}

// put writes an entry on the day of a moment, today when that is over; nothing that
// falls after the end.
func (w *writer) put(at time.Time, e Entry) {
	e.Day = midnight(at.In(w.zone))
	if e.Day.Before(w.c.From) {
		e.Day = w.c.From
	}
	if !e.Day.Before(w.until) {
		return
	}
	if e.Key == "" {
		e.Key = book.Key(e.Tank) + "|" + book.Key(e.Title)
	}
	e.Key = e.Day.Format(time.DateOnly) + "|" + e.Key
	w.c.Entries = append(w.c.Entries, e)
}

// routines lists the turns of hand routines, and what machines do.
func (w *writer) routines(t *book.TankFacts) {
	for _, d := range standing.Schedule(t, w.on) {
		if d.Routine.Automatic {
			if !d.Start.After(w.until) {
				w.c.Machines = append(w.c.Machines, fmt.Sprintf("%s, %s: %s", prose.Capital(d.Routine.Name), t.Tank.Name, prose.Lower(strings.TrimSuffix(why(d), "."))))
			}
			continue
		}
		w.turns(t.Tank.Name, d)
	}
}

func (w *writer) turns(tank string, d standing.Due) {
	at := d.Next
	if at.Before(w.c.From) {
		at = w.on
	}
	step := time.Duration(math.Max(d.EveryDays, 1.0/24) * 24 * float64(time.Hour))
	perDay := map[time.Time]int{}
	var days []time.Time
	for ; at.Before(w.until) && (d.End.IsZero() || at.Before(d.End)); at = at.Add(step) {
		day := midnight(at.In(w.zone))
		if perDay[day] == 0 {
			days = append(days, day)
		}
		perDay[day]++
	}
	for _, day := range days {
		e := Entry{Key: "turn|" + book.Key(tank) + "|" + book.Key(d.Routine.Name), Tank: tank, Title: prose.Capital(d.Routine.Name), Do: rounds.Action{Do: book.Key(d.Routine.Action), Tank: tank, Routine: d.Routine.Name, Quantity: testedBy(d.Routine)}}
		e.Why = why(d)
		if n := perDay[day]; n > 1 {
			e.Title += fmt.Sprintf(", %d times", n)
		}
		w.put(day, e)
	}
}

func testedBy(r *book.Routine) string {
	if q, err := units.ParseQuantity(r.Quantity); err == nil && book.Key(r.Action) == "test" {
		return string(q)
	}
	return ""
}

// why says what a hand routine asks for, where its name does not, and how often.
func why(d standing.Due) string {
	every := "every " + rounds.EveryWords(d.EveryDays)
	if deed := rounds.DeedWords(d.Routine); deed != "" {
		return prose.Capital(deed) + ", " + every + "."
	}
	return prose.Capital(every) + "."
}

// rows takes over what the rounds ask for today and see coming. Hand routines stand
// there already, and a test that a routine brings on the same day is one.
func (w *writer) rows(s *rounds.Sheet) {
	put := func(r rounds.Row, at time.Time, why string) {
		if r.Kind == rounds.RoutineDue || r.Kind == rounds.RoutineMissed {
			return
		}
		if r.Quantity != "" && r.Action.Do == "read" {
			w.dropTests(r.Tank, r.Quantity, at)
		}
		w.put(at, Entry{Key: r.Key, Tank: r.Tank, Title: r.Title, Why: why, Do: r.Action})
	}
	for _, r := range s.Rows {
		put(r, w.on, firstSentence(r.Why)) // the rounds say all of it
	}
	for _, r := range s.Next {
		put(r, *r.On, r.Why)
	}
}

func (w *writer) dropTests(tank, quantity string, at time.Time) {
	day := midnight(at.In(w.zone))
	w.c.Entries = slices.DeleteFunc(w.c.Entries, func(e Entry) bool {
		return e.Do.Do == "test" && e.Do.Quantity == quantity && book.Key(e.Tank) == book.Key(tank) && e.Day.Equal(day)
	})
}

// tasks are upkeep that falls due after today; what is overdue is on the rounds.
func (w *writer) tasks(tank string, all []upkeep.Task) {
	for _, t := range all {
		if t.Next.After(w.on) {
			w.put(t.Next, Entry{Tank: tank, Title: prose.Capital(t.Thing) + ": " + t.Do, Why: strings.TrimSpace(taskWhy(t) + " " + t.Caution), Do: rounds.Action{Do: "upkeep", Tank: tank}})
		}
	}
}

// taskWhy says what an interval rests on.
func taskWhy(t upkeep.Task) string {
	basis := "common practice"
	switch {
	case t.Found != "":
		basis = t.Found
	case t.Own:
		basis = "your own rhythm"
	}
	return fmt.Sprintf("Every %s, %s.", rounds.EveryWords(t.Every), basis)
}

// firstSentence is as much of a why as stands in a list.
func firstSentence(text string) string {
	if i := strings.Index(text, ". "); i >= 0 {
		return text[:i+1]
	}
	return text
}

// wayIn says when animals may go on, by their days.
func (w *writer) wayIn(d *standing.Desk, f *book.Facts, tank string, all []*animals.Animal) {
	warm, _ := d.Level(f, tank, units.Temperature, w.on)
	for _, a := range all {
		if book.Key(a.Tank) != book.Key(tank) {
			continue
		}
		s := animals.WayIn(a, all, warm.Mean, w.on)
		if s == nil || s.Next == "" || !s.Earliest.After(w.on) {
			continue
		}
		w.put(s.Earliest, Entry{Tank: tank, Title: fmt.Sprintf("%s: may go on to %s if all is well", prose.Capital(a.Name), s.Next),
			Why: "Its days are over then; its looks decide.", Do: rounds.Action{Do: "animal", Tank: tank, Animal: a.Name}})
	}
}

func (w *writer) labels(f *book.Facts) {
	for _, e := range upkeep.Expiring(f, w.on) {
		if !e.On.Before(w.c.From) {
			w.put(e.On, Entry{Title: prose.Capital(e.What) + ": good until today", Why: "By the date on its label.", Do: rounds.Action{Do: "upkeep"}})
		}
	}
}

func (w *writer) absences(f *book.Facts) {
	for i := range f.Absences {
		b, ok := f.Absences[i].Body.(*book.Absence)
		if !ok || b.From == nil || b.Until == nil {
			continue
		}
		minder := "Nobody is named to mind the tanks."
		if b.Minder != "" {
			minder = b.Minder + " minds the tanks."
		}
		for _, x := range []struct {
			at    time.Time
			title string
		}{{*b.From, "Away from today"}, {*b.Until, "Back"}} {
			if !x.at.Before(w.c.From) {
				w.put(x.at, Entry{Title: x.title, Why: minder, Do: rounds.Action{Do: "away"}})
			}
		}
	}
}

// order sorts by day, then by tank as declared, what belongs to none last.
func (w *writer) order(f *book.Facts) {
	place := map[string]int{}
	for i := range f.Tanks {
		place[book.Key(f.Tanks[i].Tank.Name)] = i - len(f.Tanks)
	}
	slices.SortStableFunc(w.c.Entries, func(a, b Entry) int {
		return cmp.Or(a.Day.Compare(b.Day), cmp.Compare(place[book.Key(a.Tank)], place[book.Key(b.Tank)]))
	})
}
