package supply

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
)

// ninety is how many standard deviations nine chances in ten lie within.
const ninety = 1.6449

// month is its mean length in days.
const month = 365.25 / 12

// curve is what will have been taken by the end of each day from today on, with
// its variance; that of what is left now is part of it.
type curve struct{ mean, variance []float64 }

// restOfToday is the part of today still to come, in days.
func (w *worker) restOfToday() float64 { return w.dateOf(1).Sub(w.asOf).Hours() / 24 }

// curve adds up all that will be taken from a jar, without the plans of some lines.
func (w *worker) curve(j *jar, without ...string) curve {
	c := curve{make([]float64, far+1), make([]float64, far+1)}
	for i := range c.variance {
		c.variance[i] = weighing * weighing * j.squares
	}
	causes := map[string][]float64{}
	of := func(cause string) []float64 {
		if causes[cause] == nil {
			causes[cause] = make([]float64, far+1)
		}
		return causes[cause]
	}
	for cause := range j.parts {
		of(cause)
	}
	for i := range j.streams {
		s := &j.streams[i]
		if s.rate > 0 {
			w.addMachine(&c, s, of(s.cause))
		}
		if !slices.Contains(without, s.user.Line) {
			addSteps(&c, s.steps)
		}
	}
	for _, key := range sortedKeys(j.hands) {
		h := j.hands[key]
		w.addHand(&c, h, of)
		w.addBeside(&c, h.beside)
	}
	w.addBeside(&c, j.made.beside)
	for _, cause := range sortedKeys(causes) {
		for i, ahead := range causes[cause] {
			sd := j.doubt[cause] * (j.parts[cause] + ahead)
			c.variance[i] += sd * sd
		}
	}
	return c
}

func sortedKeys[T any](m map[string]T) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// addMachine adds a steady rate over the days it runs.
func (w *worker) addMachine(c *curve, s *stream, shared []float64) {
	for i := range c.mean {
		from, to := s.from, w.dateOf(i+1)
		if w.asOf.After(from) {
			from = w.asOf
		}
		if !s.to.IsZero() && s.to.Before(to) {
			to = s.to
		}
		if span := to.Sub(from).Hours() / 24; span > 0 {
			c.mean[i] += span * s.rate
			shared[i] += span * s.rate
		}
	}
}

// addSteps adds the doses of a plan, each weighed by itself.
func addSteps(c *curve, steps []step) {
	for _, s := range steps {
		for i := s.day; i <= far; i++ {
			c.mean[i] += s.amount
			c.variance[i] += weighing * weighing * s.amount * s.amount
		}
	}
}

// addHand adds hand work as it is done by the log.
func (w *worker) addHand(c *curve, h *hand, of func(string) []float64) {
	if h.cumul == nil {
		return
	}
	share, sd, spread := h.habit()
	sum, squares := 0.0, 0.0
	for i := range c.mean {
		sum += h.cumul[i]
		squares += h.cumulOfSqs[i]
		c.mean[i] += share * sum
		c.variance[i] += sd*sd*sum*sum + spread*spread*squares
		if h.salted {
			of("salt")[i] += share * sum
		}
	}
}

// addBeside adds what no routine asks for, at the rate of the window.
func (w *worker) addBeside(c *curve, of func() (rate, sd, spread float64)) {
	rate, sd, spread := of()
	if rate == 0 {
		return
	}
	for i := range c.mean {
		t := w.restOfToday() + float64(i)
		c.mean[i] += rate * t
		c.variance[i] += sd*sd*t*t + spread*spread*t
	}
}

// beside is how much a day is made up into solutions.
func (m made) beside() (rate, sd, spread float64) {
	return m.sum / windowDays, math.Sqrt(m.squares) / windowDays, math.Sqrt(m.squares / windowDays)
}

// item is a jar as it is told.
func (w *worker) item(j *jar, until *time.Time) Item {
	c := w.curve(j)
	it := Item{Name: j.name, Unit: j.unit, Count: j.count, Added: j.added, Used: j.used, Notes: j.notes, Users: w.users(j), Daily: w.daily(j), shown: j.shown}
	if j.counted {
		it.Counted = &j.since
	}
	for _, l := range j.lines {
		it.Lines = append(it.Lines, l.line)
	}
	if !j.absent {
		left := j.count + j.added - j.used
		it.Left = standing.Estimate{Mean: left, SD: w.leftSD(j)}
		it.RunsOut = w.runsOut(c, left)
		it.Forecast = w.forecast(c, left)
		if until != nil {
			it.Hold = w.hold(c, left, w.dayOf(*until))
		}
	}
	it.State = it.state(w)
	if it.Price = w.price(j); it.Price != nil {
		it.AMonth = it.Daily.Mean * month * it.Price.Per
	}
	it.say(w)
	if it.Hold != nil && it.Hold.Need.Mean > 0 {
		it.Says += it.holdWords(w.date(*until))
	}
	return it
}

// leftSD is the doubt of what is left: of each weighing, and of what shares a
// standing error.
func (w *worker) leftSD(j *jar) float64 {
	v := weighing * weighing * j.squares
	for cause, amount := range j.parts {
		v += j.doubt[cause] * j.doubt[cause] * amount * amount
	}
	return math.Sqrt(v)
}

// daily is the lasting use a day: machines and hand work now in force, and what
// is dosed beside them.
func (w *worker) daily(j *jar) standing.Estimate {
	mean, v := 0.0, 0.0
	salt := 0.0
	for _, s := range j.streams {
		if s.rate > 0 && !s.from.After(w.asOf) {
			mean += s.rate
			if s.cause == "salt" {
				salt += s.rate
			} else {
				v += math.Pow(j.doubt[s.cause]*s.rate, 2)
			}
		}
	}
	for _, key := range sortedKeys(j.hands) {
		h := j.hands[key]
		share, sd, _ := h.habit()
		rate := h.perWeek / 7
		mean += share * rate
		v += sd * sd * rate * rate
		if h.salted {
			salt += share * rate
		}
		extra, extraSD, _ := h.beside()
		mean += extra
		v += extraSD * extraSD
	}
	extra, extraSD, _ := j.made.beside()
	mean += extra
	v += extraSD*extraSD + math.Pow(j.doubt["salt"]*salt, 2)
	return standing.Estimate{Mean: mean, SD: math.Sqrt(v)}
}

// runsOut is where what will be taken meets what is left.
func (w *worker) runsOut(c curve, left float64) *RunsOut {
	if c.mean[far] == 0 || left <= 0 {
		return nil
	}
	meets := func(z float64) *time.Time {
		for i := range c.mean {
			if c.mean[i]+z*math.Sqrt(c.variance[i]) >= left*(1-1e-9) && c.mean[i] > 0 {
				at := w.dateOf(i)
				return &at
			}
		}
		return nil
	}
	early := meets(ninety)
	if early == nil {
		return nil
	}
	return &RunsOut{Early: *early, Expected: meets(0), Late: meets(-ninety)}
}

// pictureDays is how far the picture of what is left looks.
const pictureDays = 60

func (w *worker) forecast(c curve, left float64) []Day {
	out := make([]Day, 0, pictureDays+1)
	for i := range pictureDays + 1 {
		out = append(out, Day{w.dateOf(i + 1), left - c.mean[i], math.Sqrt(c.variance[i])})
	}
	return out
}

// hold is what is needed to the end of a day.
func (w *worker) hold(c curve, left float64, day int) *Hold {
	need, sd := c.mean[day], math.Sqrt(c.variance[day])
	h := Hold{Need: standing.Estimate{Mean: need, SD: sd}, Safe: need}
	if need > 0 {
		h.Safe = need + ninety*sd
	}
	h.Short = max(0, h.Safe-left)
	return &h
}

// state is the word for how a thing stands.
func (it *Item) state(w *worker) State {
	for _, u := range it.Users {
		if u.Total > 0 && u.Ends != nil && (it.ends == nil || u.Ends.After(*it.ends)) {
			it.ends = u.Ends
		}
	}
	switch {
	case it.Left.Mean < -1e-9:
		return CountAgain
	case it.Left.Mean <= 1e-9:
		return Empty
	case len(it.Users) == 0:
		return Unused
	case it.RunsOut == nil || it.RunsOut.Expected == nil:
		return Lasting
	case w.dayOf(*it.RunsOut.Expected) <= LowDays, it.ends != nil && !it.RunsOut.Expected.After(*it.ends):
		return Low
	}
	return Lasting
}

// price is the newest price of a unit that was paid.
func (w *worker) price(j *jar) *Price {
	for i := len(j.lines) - 1; i >= 0; i-- {
		l := j.lines[i]
		amount := l.grams
		if j.unit == "mL" {
			amount = l.mL
		}
		if paid, ok := l.body.Price.Float(); ok && amount > 0 {
			return &Price{paid / amount, strings.ToUpper(strings.TrimSpace(l.body.Currency)), l.at}
		}
	}
	return nil
}

// users lists who takes from a jar, and what is dosed beside the routines.
func (w *worker) users(j *jar) []User {
	out := []User{}
	for _, s := range j.streams {
		out = append(out, w.told(j, s.user))
	}
	for _, key := range sortedKeys(j.hands) {
		if rate, _, _ := j.hands[key].beside(); rate > 0 {
			out = append(out, w.told(j, User{Tank: key, What: "beside the routines", AWeek: 7 * rate}))
		}
	}
	if rate, _, _ := j.made.beside(); rate > 0 {
		out = append(out, w.told(j, User{What: "made up", AWeek: 7 * rate}))
	}
	return out
}

// cost adds up the lasting use of a month, each currency by itself.
func (s *Shelf) cost() {
	sums := map[string]float64{}
	for _, i := range s.Items {
		if i.Price != nil && i.AMonth > 0 {
			sums[i.Price.Currency] += i.AMonth
		}
	}
	for _, currency := range sortedKeys(sums) {
		s.Costs = append(s.Costs, Cost{currency, sums[currency]})
	}
}

// gravity orders the states.
var gravity = map[State]int{CountAgain: 0, Empty: 0, Low: 1, Lasting: 2, Unused: 3}

// order puts what runs out first at the top, and drops what is missing and yet
// unused.
func (s *Shelf) order() {
	byName := func(a, b Item) int { return strings.Compare(book.Key(a.Name), book.Key(b.Name)) }
	day := func(i Item) int {
		if i.RunsOut == nil || i.RunsOut.Expected == nil {
			return far + 1
		}
		return s.work.dayOf(*i.RunsOut.Expected)
	}
	slices.SortStableFunc(s.Items, func(a, b Item) int {
		return cmp.Or(gravity[a.State]-gravity[b.State], day(a)-day(b), byName(a, b))
	})
	slices.SortStableFunc(s.Missing, byName)
	s.Missing = slices.DeleteFunc(s.Missing, func(i Item) bool { return len(i.Users) == 0 })
}
