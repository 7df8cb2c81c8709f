package supply

import (
	"math"
	"time"

	"driftline/internal/book"
	"driftline/internal/correction"
	"driftline/internal/course"
	"driftline/internal/standing"
)

// far is how many days ahead the shelf is reckoned.
const far = 730

// stream is what one user will take.
type stream struct {
	user  User
	rate  float64 // a day, of a machine, between from and to
	from  time.Time
	to    time.Time // zero while open
	cause string    // of its standing error
	steps []step    // of a plan
}

// step is one dose to come.
type step struct {
	day    int
	amount float64
}

// plan lays out what will be taken.
func (w *worker) plan() error {
	for i := range w.f.Tanks {
		t := &w.f.Tanks[i]
		for _, d := range standing.Schedule(t, w.asOf) {
			all, cause := w.routineTakes(d.Routine, w.asOf)
			for _, x := range all {
				if d.Routine.Automatic {
					w.machine(t, d, x, cause)
				} else {
					w.byHand(t, d, x, cause)
				}
			}
		}
		w.habits(t)
		if err := w.accepted(t); err != nil {
			return err
		}
	}
	return nil
}

func (w *worker) machine(t *book.TankFacts, d standing.Due, x taken, cause string) {
	s := stream{rate: x.amount / d.EveryDays, from: d.Start, to: d.End, cause: causeOf(cause, d.Line),
		user: User{Tank: t.Tank.Name, What: "machine", Name: d.Routine.Name, Line: d.Line, AWeek: 7 * x.amount / d.EveryDays}}
	if cause == "" {
		x.jar.doubt[s.cause] = weighing
	}
	if !d.End.IsZero() {
		s.user.Ends = &d.End
	}
	x.jar.streams = append(x.jar.streams, s)
}

// byHand lays out the turns of hand work as declared; what is overdue is taken to
// be done today.
func (w *worker) byHand(t *book.TankFacts, d standing.Due, x taken, cause string) {
	h := w.hand(x.jar, t)
	h.ahead, h.salted, h.perTurn = true, h.salted || cause == "salt", max(h.perTurn, x.amount)
	user := User{Tank: t.Tank.Name, What: "routine", Name: d.Routine.Name, Line: d.Line, AWeek: 7 * x.amount / d.EveryDays}
	if !d.End.IsZero() {
		user.Ends = &d.End
	}
	if d.Start.After(w.asOf) && d.Next.Before(d.Start) {
		d.Next = d.Start
	}
	if !d.Start.After(w.asOf) {
		h.perWeek += user.AWeek
	}
	x.jar.streams = append(x.jar.streams, stream{user: user})
	if h.cumul == nil {
		h.cumul, h.cumulOfSqs = make([]float64, far+1), make([]float64, far+1)
	}
	next := d.Next
	if next.Before(w.asOf) {
		next = w.asOf
	}
	for n := 0; ; n++ {
		at := next.Add(days(float64(n) * d.EveryDays))
		day := w.dayOf(at)
		if day > far || !d.End.IsZero() && !at.Before(d.End) || n > 24*far {
			break
		}
		h.cumul[day] += x.amount
		h.cumulOfSqs[day] += x.amount * x.amount
	}
}

// habits counts what hand routines declared over the window, to hold what was
// logged against.
func (w *worker) habits(t *book.TankFacts) {
	for _, r := range standing.HeldRoutines(t) {
		if r.Routine.Automatic || !(r.EveryDays > 0) {
			continue
		}
		all, _ := w.routineTakes(r.Routine, w.asOf)
		for _, x := range all {
			h := w.hand(x.jar, t)
			if turns := turnsDue(r, w.asOf.Add(-days(h.window)), w.asOf); turns > 0 {
				h.turns += turns
				h.declared += turns * x.amount
			}
		}
	}
}

// turnsDue is how many turns of a routine fell due in a window. One that began in
// it was due then.
func turnsDue(r standing.Held, from, to time.Time) float64 {
	ended := !r.End.IsZero() && r.End.Before(to)
	if ended {
		to = r.End
	}
	begun := r.Start.After(from)
	if begun {
		from = r.Start
	}
	n := to.Sub(from).Hours() / 24 / r.EveryDays
	switch {
	case n < 0:
		return 0
	case begun && ended:
		return math.Ceil(n - 1e-9)
	case begun:
		return math.Floor(n+1e-9) + 1
	}
	return n
}

// accepted lays out the doses to come of accepted corrections and courses. What
// was missed is not made up for, and a stopped plan takes nothing.
func (w *worker) accepted(t *book.TankFacts) error {
	plans, err := correction.Stand(w.f, t.Tank.Name, w.asOf)
	if err != nil {
		return err
	}
	for _, p := range plans {
		if p.State != correction.Running {
			continue
		}
		user := User{Tank: t.Tank.Name, What: "correction", Name: "correction of " + string(p.Quantity), Line: p.Line, Quantity: string(p.Quantity)}
		var doses []dose
		for _, d := range p.ToCome {
			doses = append(doses, dose{d.At, d.Substance, d.Amount, d.Unit})
		}
		w.doses(user, doses)
	}
	courses, err := course.Stand(w.f, t.Tank.Name, w.asOf)
	if err != nil {
		return err
	}
	for _, c := range courses {
		if c.Over || book.Key(c.Course.Action) == "chore" {
			continue
		}
		user := User{Tank: t.Tank.Name, What: "course", Name: c.Course.Name, Line: c.Line}
		var doses []dose
		for _, turn := range c.Turns {
			if turn.State == course.Due || turn.State == course.ToCome {
				doses = append(doses, dose{turn.At, c.Course.Substance, turn.Amount, c.Course.Unit})
			}
		}
		w.doses(user, doses)
	}
	return nil
}

// dose is one of a plan to come.
type dose struct {
	at        time.Time
	substance string
	amount    book.Number
	unit      string
}

// doses gives each jar that a plan takes from its steps.
func (w *worker) doses(user User, all []dose) {
	steps := map[*jar]*stream{}
	var order []*jar
	for _, d := range all {
		grams, mL, ok := amountOf(d.amount, d.unit)
		if !ok {
			continue
		}
		for _, x := range w.takes(d.substance, grams, mL, w.asOf) {
			s := steps[x.jar]
			if s == nil {
				s = &stream{user: user}
				steps[x.jar] = s
				order = append(order, x.jar)
			}
			at := d.at
			s.user.Total += x.amount
			s.user.Ends = &at
			s.steps = append(s.steps, step{min(max(w.dayOf(at), 0), far), x.amount})
		}
	}
	for _, j := range order {
		j.streams = append(j.streams, *steps[j])
	}
}

// habit is the share of its declared hand work that is done, with its doubt, and
// the spread of a single turn. The log's turns are weighed against one turn done
// as declared.
func (h *hand) habit() (share, sd, spread float64) {
	share = 1
	if h.declared+h.perTurn > 0 {
		share = min((h.logged+h.perTurn)/(h.declared+h.perTurn), mostShare)
	}
	spread = max(math.Sqrt(math.Abs(share*(1-share))), leastSpread)
	return share, spread / math.Sqrt(h.turns+1), spread
}

// How far hand work may go beyond what is declared, and the least spread of a
// turn; judgement.
const (
	mostShare   = 3.0
	leastSpread = 0.1
)

// beside is what is dosed in a tank that no routine asks for, a day: its rate and
// doubt, and the spread of a day.
func (h *hand) beside() (rate, sd, spread float64) {
	if h.ahead || h.window <= 0 {
		return 0, 0, 0
	}
	extra, share := max(0, h.logged-h.declared), 0.0 // of a routine that has ended, what went beyond it
	if h.logged > 0 {
		share = extra / h.logged
	}
	squares := h.squares * share
	return extra / h.window, math.Sqrt(squares) / h.window, math.Sqrt(squares / h.window)
}
