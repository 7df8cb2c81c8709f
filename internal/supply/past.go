package supply

import (
	"sort"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/internal/substance"
	"driftline/units"
)

// How far back the log tells how hand work is done, in days.
const (
	windowDays = 60
	leastDays  = 7
)

// hand is the hand work of a tank on a jar: what was declared and what was done
// over the window, and what is declared from now on.
type hand struct {
	declared, turns   float64 // over the window
	logged, squares   float64 // over the window, steps of plans left out
	window            float64 // days
	ahead             bool    // a routine is in force, or will be
	salted            bool    // water changes
	perTurn, perWeek  float64
	cumul, cumulOfSqs []float64 // declared from now on, by day
}

// window is how many days of a tank's log tell of its habits.
func (w *worker) window(t *book.TankFacts) float64 {
	if len(t.Events) == 0 {
		return leastDays
	}
	return min(windowDays, max(leastDays, w.asOf.Sub(t.Events[0].At).Hours()/24))
}

func (w *worker) hand(j *jar, t *book.TankFacts) *hand {
	key := t.Tank.Name
	h, ok := j.hands[key]
	if !ok {
		h = &hand{window: w.window(t)}
		j.hands[key] = h
	}
	return h
}

// past takes off what was taken since each jar was counted, and learns the
// habits of the window.
func (w *worker) past() {
	for i := range w.f.Tanks {
		t := &w.f.Tanks[i]
		steps := w.stepsOf(t)
		from := w.asOf.Add(-days(w.window(t)))
		for _, j := range w.jars {
			if !j.absent && j.since.Before(from) {
				from = j.since
			}
		}
		first := sort.Search(len(t.Events), func(k int) bool { return !t.Events[k].At.Before(from) })
		for k := first; k < len(t.Events) && !t.Events[k].At.After(w.asOf); k++ {
			w.event(t, &t.Events[k], steps)
		}
		for _, r := range standing.HeldRoutines(t) {
			if r.Routine.Automatic {
				w.ran(r)
			}
		}
	}
	w.madeUp()
}

func days(n float64) time.Duration { return time.Duration(n * 24 * float64(time.Hour)) }

// stepsOf are the logged doses that were steps of an accepted plan.
func (w *worker) stepsOf(t *book.TankFacts) map[string]bool {
	out := map[string]bool{}
	for _, p := range standing.PlannedDoses(t, w.asOf) {
		if p.Done != "" {
			out[p.Done] = true
		}
	}
	return out
}

// event takes off what a line of the log took.
func (w *worker) event(t *book.TankFacts, l *book.Line, steps map[string]bool) {
	var all []taken
	planned, cause := steps[l.ID], ""
	switch b := l.Body.(type) {
	case *book.Dose:
		grams, mL, ok := amountOf(b.Amount, b.Unit)
		if !ok {
			return
		}
		planned = planned || b.Plan != ""
		all = w.takes(b.Substance, grams, mL, l.At)
	case *book.TopOff:
		all = w.dissolved(b, l.At)
	case *book.WaterChange:
		_, mL, ok := amountOf(b.Volume, b.Unit)
		if !ok {
			return
		}
		cause, all = "salt", w.salts(mL/1000, b.Mix, l.At)
	case *book.Feeding:
		if grams, mL, ok := amountOf(b.Amount, b.Unit); ok {
			all = w.food(b.Food, grams, mL, l.At)
		}
	}
	for _, x := range all {
		if x.amount > 0 {
			w.took(t, x, l.At, planned, cause)
		}
	}
}

func (w *worker) took(t *book.TankFacts, x taken, at time.Time, planned bool, cause string) {
	if !x.jar.absent && at.After(x.jar.since) {
		x.jar.used += x.amount
		x.jar.squares += x.amount * x.amount
		if cause != "" {
			x.jar.parts[cause] += x.amount
		}
	}
	if h := w.hand(x.jar, t); !planned && !at.Before(w.asOf.Add(-days(h.window))) {
		h.logged += x.amount
		h.squares += x.amount * x.amount
		h.salted = h.salted || cause == "salt"
	}
}

// dissolved is what a top-off takes: its concentration is by weight for what is
// weighed, by volume for a solution.
func (w *worker) dissolved(b *book.TopOff, at time.Time) []taken {
	v, ok := b.Volume.Float()
	per, said := b.Concentration.Float()
	litres, err := units.Litres(v, b.Unit)
	if !ok || !said || err != nil {
		return nil
	}
	s := w.find(b.Substance, at)
	if s != nil && s.Form == substance.Solution && s.Name != substance.Limewater {
		return w.takes(b.Substance, 0, litres*per, at)
	}
	return w.takes(b.Substance, litres*per, 0, at)
}

// food is taken off only where it is written on the shelf.
func (w *worker) food(name string, grams, mL float64, at time.Time) []taken {
	if j, ok := w.byKey[w.key(name)]; !ok || j.absent || strings.TrimSpace(name) == "" {
		return nil
	}
	return w.takes(name, grams, mL, at)
}

// routineTakes is what one turn of a routine takes.
func (w *worker) routineTakes(b *book.Routine, at time.Time) (all []taken, cause string) {
	n := b.Amount
	if n == "" {
		n = b.Volume
	}
	if book.Key(b.Action) == "water change" && b.Volume != "" {
		n = b.Volume
	}
	grams, mL, ok := amountOf(n, b.Unit)
	if !ok {
		return nil, ""
	}
	switch book.Key(b.Action) {
	case "dose":
		return w.takes(b.Substance, grams, mL, at), ""
	case "feeding":
		return w.food(b.Food, grams, mL, at), ""
	case "water change":
		return w.salts(mL/1000, b.Mix, at), "salt"
	}
	return nil, ""
}

// ran takes off what a machine gave since each jar was counted.
func (w *worker) ran(r standing.Held) {
	all, cause := w.routineTakes(r.Routine, r.Start)
	for _, x := range all {
		from, to := r.Start, w.asOf
		if x.jar.since.After(from) {
			from = x.jar.since
		}
		if !r.End.IsZero() && r.End.Before(to) {
			to = r.End
		}
		if x.jar.absent || !to.After(from) || !(r.EveryDays > 0) {
			continue
		}
		amount := x.amount / r.EveryDays * to.Sub(from).Hours() / 24
		x.jar.used += amount
		x.jar.parts[causeOf(cause, r.Line)] += amount
		if cause == "" {
			x.jar.doubt[causeOf(cause, r.Line)] = weighing
		}
	}
}

// causeOf names a standing error: that of a salt, or of one setting of a machine.
func causeOf(cause, line string) string {
	if cause != "" {
		return cause
	}
	return "machine " + line
}

// madeUp takes off what went into home-made solutions that stand on the shelf
// themselves: what came on top of one without a price was made up from the solid.
func (w *worker) madeUp() {
	for _, j := range w.jars {
		s := j.stuff
		if j.absent || s == nil || s.Form != substance.Solution || !s.Declared || j.unit != "mL" {
			continue
		}
		for _, l := range j.lines {
			_, priced := l.body.Price.Float()
			if !l.body.Added || priced || !(l.mL > 0) {
				continue
			}
			for _, x := range w.fromSolids(s, 0, l.mL) {
				w.madeInto(x, l.at)
			}
		}
	}
}

func (w *worker) madeInto(x taken, at time.Time) {
	if !x.jar.absent && at.After(x.jar.since) {
		x.jar.used += x.amount
		x.jar.squares += x.amount * x.amount
	}
	if at.After(w.asOf.Add(-days(windowDays))) {
		x.jar.made.sum += x.amount
		x.jar.made.squares += x.amount * x.amount
	}
}
