package away

import (
	"fmt"
	"math"
	"slices"
	"time"

	"driftline/internal/animals"
	"driftline/internal/book"
	"driftline/internal/feeding"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/internal/whatif"
	"driftline/units"
)

// Ask is an absence.
type Ask struct {
	From, Until time.Time
	Every       float64 // days from one visit to the next; 0: nobody comes
}

// Longest is the longest absence that is followed, in days; judgement.
const Longest = 120

// spare is what is prepared beyond what is expected to be used.
const spare = 1.2

// Tank is what an absence means for one tank.
type Tank struct {
	Name    string
	Prepare []string // to fill, portion and bottle
	Before  []string // to do in the last days
	Visit   []string // what a visitor does; nothing else
	Risks   []Risk   // that leave their band, likeliest first
	Assumed []string
}

// Risk is a quantity that may leave its band while nobody is there.
type Risk struct {
	Quantity string
	Chance   float64 // of having left by the end
	GoingOn  float64 // the same with all hand work done
	Says     string
}

// Plan is a whole absence.
type Plan struct {
	From, Until time.Time
	Days        int
	Visits      []time.Time
	Tanks       []Tank
}

// worthTelling is the chance from which a risk is told.
const worthTelling = 0.1

// Check refuses an absence that cannot be followed.
func (ask Ask) Check(asOf time.Time) error {
	days := ask.Until.Sub(ask.From).Hours() / 24
	switch {
	case !(days > 0):
		return fmt.Errorf("the absence ends on %s, before it begins", ask.Until.Format(time.DateOnly))
	case days > Longest || ask.Until.Sub(asOf).Hours()/24 > 365:
		return fmt.Errorf("an absence of %.0f days is too long to follow; expected %d days at most, within a year", days, Longest)
	case !ask.Until.After(asOf):
		return fmt.Errorf("the absence ended on %s; expected one to come", ask.Until.Format(time.DateOnly))
	case ask.Every < 0 || math.IsNaN(ask.Every) || ask.Every > 0 && ask.Every < 0.5:
		return fmt.Errorf("a visit every %g days; expected half a day or more, or none", ask.Every)
	}
	return nil
}

// Work plans an absence for every tank of a book.
func Work(desk *standing.Desk, f *book.Facts, ask Ask, asOf time.Time) (Plan, error) {
	if err := ask.Check(asOf); err != nil {
		return Plan{}, err
	}
	days := ask.Until.Sub(ask.From).Hours() / 24
	p := Plan{From: ask.From, Until: ask.Until, Days: int(math.Ceil(days)), Visits: visits(ask.From, ask.Until, ask.Every)}
	all := animals.Register(f, asOf)
	for i := range f.Tanks {
		t, err := tankOf(desk, f, &f.Tanks[i], p, ask, all, asOf)
		if err != nil {
			return p, err
		}
		p.Tanks = append(p.Tanks, t)
	}
	return p, nil
}

func hours(v float64) time.Duration { return time.Duration(v * float64(time.Hour)) }

func tankOf(desk *standing.Desk, f *book.Facts, t *book.TankFacts, p Plan, ask Ask, all []*animals.Animal, asOf time.Time) (Tank, error) {
	out := Tank{Name: t.Tank.Name}
	out.follow(desk, f, ask, asOf)
	out.machines(t, p, asOf)
	out.byHand(t, p, asOf)
	out.meals(t, p)
	for _, a := range all {
		if book.Key(a.Tank) == book.Key(t.Tank.Name) && a.Here() && slices.Contains([]string{"arrival", "quarantine", "meeting"}, a.Stage) {
			out.Before = append(out.Before, fmt.Sprintf("%s is on its way in (%s) and wants a look each day: let whoever comes look, or wait with leaving.", prose.Capital(a.Name), a.Stage))
		}
	}
	out.Visit = append(out.Visit, lookSays)
	return out, nil
}

// follow holds the absence against going on. A tank that cannot be followed has no
// risks told.
func (t *Tank) follow(desk *standing.Desk, f *book.Facts, ask Ask, asOf time.Time) {
	days := int(math.Ceil(ask.Until.Sub(asOf).Hours() / 24))
	from := ask.From
	if from.Before(asOf) {
		from = asOf
	}
	away := whatif.Away(from, ask.Until.Sub(from).Hours()/24)
	outcomes, err := whatif.Work(desk, f, whatif.Ask{Tank: t.Name, Days: max(days, 1), Seed: 1, Plans: []whatif.Plan{whatif.GoOn(), away}}, asOf)
	if err != nil {
		t.Assumed = append(t.Assumed, "How the water goes on cannot be told: "+err.Error()+".")
		return
	}
	goOn, gone := outcomes[0], outcomes[1]
	for i, c := range gone.Courses {
		if c.PLeave < worthTelling || c.Low == nil && c.High == nil {
			continue
		}
		last := c.Days[len(c.Days)-1]
		q := units.Quantity(c.Quantity)
		t.Risks = append(t.Risks, Risk{Quantity: c.Quantity, Chance: c.PLeave, GoingOn: goOn.Courses[i].PLeave,
			Says: fmt.Sprintf("%s leaves its band: %s; with all hand work done: %s. It is then expected at %s.", prose.Capital(c.Quantity), standing.ChanceWords(c.PLeave), standing.ChanceWords(goOn.Courses[i].PLeave), units.Format(q, last.P50, c.Unit))})
	}
	slices.SortStableFunc(t.Risks, func(a, b Risk) int { return compare(b.Chance, a.Chance) })
	perDay := goOn.TopOffL / math.Max(float64(days), 1)
	length := ask.Until.Sub(ask.From).Hours() / 24
	t.Prepare = append(t.Prepare, fmt.Sprintf("Top-off: %s L of fresh water where the machine or the visitor finds it (%s L a day and a fifth more).", units.Number(perDay*length*spare, 0), units.Number(perDay, 1)))
	for _, text := range goOn.Assumed {
		if !slices.Contains(t.Assumed, text) {
			t.Assumed = append(t.Assumed, text)
		}
	}
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// machines are the vessels that machines empty meanwhile.
func (t *Tank) machines(tank *book.TankFacts, p Plan, asOf time.Time) {
	for _, d := range standing.Schedule(tank, asOf) {
		amount, ok := d.Routine.Amount.Float()
		if !d.Routine.Automatic || !ok || !d.End.IsZero() && d.End.Before(p.From) {
			continue
		}
		all := amount / d.EveryDays * p.Until.Sub(p.From).Hours() / 24 * spare
		switch book.Key(d.Routine.Action) {
		case "dose":
			t.Prepare = append(t.Prepare, fmt.Sprintf("%s: %s of %s in the vessel, a fifth more than it gives meanwhile.", d.Routine.Name, measure(all, d.Routine.Unit), d.Routine.Substance))
		case "feeding":
			t.Prepare = append(t.Prepare, fmt.Sprintf("%s: %s of %s in it.", d.Routine.Name, measure(all, d.Routine.Unit), d.Routine.Food))
		}
	}
}

func measure(v float64, unit string) string {
	switch {
	case v >= 1000 && unit == "mL":
		return units.Number(v/1000, 1) + " L"
	case v >= 20:
		return units.Number(v, 0) + " " + unit
	}
	return units.Number(v, 1) + " " + unit
}

// byHand is what falls due meanwhile and is better done before.
func (t *Tank) byHand(tank *book.TankFacts, p Plan, asOf time.Time) {
	for _, d := range standing.Schedule(tank, asOf) {
		turn := turnAfter(d, p.From)
		if d.Routine.Automatic || !turn.Before(p.Until) || !d.End.IsZero() && d.End.Before(turn) {
			continue
		}
		switch book.Key(d.Routine.Action) {
		case "water change", "chore":
			t.Before = append(t.Before, fmt.Sprintf("%s: do it the day before, it falls due on %s.", prose.Capital(d.Routine.Name), turn.In(place(tank)).Format("2 January")))
		case "dose":
			turns := int(math.Floor(p.Until.Sub(p.From).Hours()/24/d.EveryDays)) + 1
			t.Prepare = append(t.Prepare, fmt.Sprintf("%s: leave it off, or bottle %d single doses of %s %s, each with its date. Nobody measures for you.", prose.Capital(d.Routine.Name), turns, d.Routine.Amount, d.Routine.Unit))
		}
	}
	t.Before = append(t.Before, "Test all of it two days before, so that there is a day left to put something right; change nothing else in the last week.")
}

// turnAfter is the first turn of a routine from a moment on, if it is kept until then.
func turnAfter(d standing.Due, from time.Time) time.Time {
	turn := d.Next
	if turn.Before(from) && d.EveryDays > 0 {
		turns := math.Ceil(from.Sub(turn).Hours() / 24 / d.EveryDays)
		turn = turn.Add(hours(24 * d.EveryDays * turns))
	}
	return turn
}

func place(t *book.TankFacts) *time.Location {
	if t.Location == nil {
		return time.UTC
	}
	return t.Location
}

// meals are portions for the visits.
func (t *Tank) meals(tank *book.TankFacts, p Plan) {
	usual := feeding.Usual(tank, 1)
	if len(usual) == 0 || len(p.Visits) == 0 {
		return
	}
	m := usual[0]
	t.Prepare = append(t.Prepare, fmt.Sprintf("%d portions of %s %s %s, one for each visit, marked with its day. The rest of the food is put away.", len(p.Visits), m.Amount, m.Unit, m.Food))
	t.Visit = append(t.Visit, fmt.Sprintf("Give the portion of the day, %s %s %s, no more. Missed days are not made up for.", m.Amount, m.Unit, m.Food))
}

// What a visitor does, in words.
const (
	lookSays    = "Look: fish all there and breathing calmly, water at its line, pumps running, nothing wet on the floor, the thermometer."
	portionSays = "Give the portion of the day, no more. Missed days are not made up for."
)

// Need is what to do when something is wrong: common practice, no source.
type Need struct{ When, Do string }

// Needs are for whoever minds the tanks.
var Needs = []Need{
	{"Water on the floor", "Do not touch anything electric that is wet. Switch off at the fuse box, then look where it comes from. Call."},
	{"No power", "Fish need air first: a battery air pump, or a jug of the tank's own water poured back from a hand's height each quarter of an hour. No food. After two hours call."},
	{"Too warm (above 27.8 °C) or cold (below 23 °C)", "Warm: lid open, lamp off, a fan across the water, at a distance from splashes. Cold: close the lid, wrap the tank. No ice, no hot water in the tank. Call."},
	{"A dead fish", "Take it out with a net, gloves on, into a bag in the freezer. Look how the others breathe. Call."},
	{"Cloudy or foul water", "No food. Check that pumps run and air comes. Call."},
	{"Something looks ill, or shut", "Write it down, a photo if you can. Nothing is added to the water."},
}
