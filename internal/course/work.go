package course

import (
	"fmt"
	"math"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/pace"
	"driftline/internal/standing"
	"driftline/internal/stoprule"
	"driftline/internal/substance"
)

// The longest course and the shortest gap between its turns.
const (
	longestDays  = 90
	shortestHour = 1
	strongest    = 8.0 // percent of peroxide above which nothing is computed: it burns
)

// Work works a course out. It fails when the ask is impossible; what is possible
// but unsafe comes back refused.
func Work(f *book.Facts, ask Ask, asOf time.Time) (Plan, error) {
	t, ok := f.Tank(ask.Tank)
	if !ok {
		return Plan{}, fmt.Errorf("tank %q is not in the book", ask.Tank)
	}
	p := Plan{Tank: t.Tank.Name, Name: strings.TrimSpace(ask.Name), Action: ask.Action, Substance: ask.Substance, Chore: ask.Chore, Amount: ask.Amount,
		Unit: ask.Unit, EveryHours: ask.EveryHours, Days: ask.Days, Start: ask.Start, Signs: ask.Signs, Watch: ask.Watch, Stop: ask.Stop,
		Most: ask.Most, rules: ask.StopWhen, place: t.Location}
	if p.Start.IsZero() {
		p.Start = asOf
	}
	if ask.HalfDays != nil {
		p.HalfDays = *ask.HalfDays
	}
	perLitre, most := 0.0, 0.0
	if ask.Known != "" {
		k, ok := courses[book.Key(ask.Known)]
		if !ok {
			return Plan{}, fmt.Errorf("course %q is not known; expected %s, %s, or one of your own with its substance and amount", ask.Known, Peroxide, LightsOut)
		}
		k.fill(&p, ask)
		perLitre, most = k.perLitre, k.mostPerLitre
	}
	if err := p.check(asOf); err != nil {
		return Plan{}, err
	}
	if heals(p.Substance) || heals(p.Name) || heals(p.Chore) {
		p.refuse("Treatments of animals' illnesses are not planned here.", "Ask a veterinarian, treat in a hospital tank, and keep to the label and the local law.")
	} else if p.Action == "dose" {
		if err := p.dose(f, t, perLitre, most, asOf); err != nil {
			return Plan{}, err
		}
	}
	if err := p.twice(f, asOf); err != nil {
		return Plan{}, err
	}
	p.hold(f, t, asOf)
	p.finish()
	return p, nil
}

// hold refuses what would, with the doses of other plans, raise something by more
// than it may rise in a day.
func (p *Plan) hold(f *book.Facts, t *book.TankFacts, asOf time.Time) {
	if p.Action != "dose" || p.Refused != "" {
		return
	}
	const own = "this course"
	doses := pace.Planned(t, asOf)
	for turn := 0; float64(turn)*p.EveryHours < p.Days*24-1e-9; turn++ {
		amount, ok := standing.TurnAmount(p.body(), turn).Float()
		if ok {
			doses = append(doses, pace.Dose{At: standing.TurnAt(p.Start, p.EveryHours, turn, t.Location), Substance: p.Substance, Amount: amount, Unit: p.Unit, Plan: own})
		}
	}
	e, over := pace.Over(f, t, doses, func(d pace.Dose) bool { return d.Plan == own }, asOf)
	if !over {
		return
	}
	what, instead := "The course", "Give less, or less often. What makes up for a daily demand is a routine, not a course."
	if len(e.Plans) > 1 {
		what, instead = "The course and what is planned besides it", "Wait until the other plan is over, or end it first."
	}
	p.refuse(e.Says(what), instead)
}

// fill gives the plan what the keeper left open.
func (k knownCourse) fill(p *Plan, ask Ask) {
	text := func(into *string, v string) {
		if *into == "" {
			*into = v
		}
	}
	text(&p.Name, k.name)
	text(&p.Action, k.action)
	text(&p.Substance, k.substance)
	text(&p.Chore, k.chore)
	text(&p.Stop, k.stop)
	if p.EveryHours == 0 {
		p.EveryHours = k.everyHours
	}
	if p.Days == 0 {
		p.Days = k.days
	}
	if len(p.Signs) == 0 {
		p.Signs = k.signs
	}
	if len(p.Watch) == 0 {
		p.Watch = k.watch
	}
	if p.rules == nil {
		p.rules, _ = stoprule.ParseList(k.stopWhen) // written here, and tested
	}
	if ask.HalfDays == nil {
		p.HalfDays = k.halfDays
	}
	p.Warnings = append(p.Warnings, k.warnings...)
}

func (p *Plan) check(asOf time.Time) error {
	if p.Action == "" {
		p.Action = "dose"
	}
	switch {
	case p.Name == "":
		return fmt.Errorf("the course has no name; expected one such as \"iodine dips\"")
	case p.Action != "dose" && p.Action != "chore":
		return fmt.Errorf("action %q is not known; expected dose or chore", p.Action)
	case p.Action == "chore" && strings.TrimSpace(p.Chore) == "":
		return fmt.Errorf("the chore is missing; expected what is done each time")
	case !(p.EveryHours >= shortestHour) || p.EveryHours > 24*longestDays:
		return fmt.Errorf("every %g hours is not possible; expected 1 or more", p.EveryHours)
	case !(p.Days > 0) || p.Days > longestDays:
		return fmt.Errorf("%g days are not possible; expected more than 0 and up to %d", p.Days, longestDays)
	case !(p.HalfDays >= 0) || p.HalfDays > p.Days:
		return fmt.Errorf("%g days at half the dose are not possible; expected 0 to the %g days of the course", p.HalfDays, p.Days)
	case p.Most < 0 || p.Amount < 0 || math.IsNaN(p.Most) || math.IsNaN(p.Amount):
		return fmt.Errorf("an amount below 0 is not possible; expected that of one dose")
	case p.Start.Before(asOf.Add(-24 * time.Hour)):
		return fmt.Errorf("the start on %s lies in the past; expected one from today on", p.Start.Format("2 January 2006, 15:04"))
	case p.Start.After(asOf.AddDate(0, 0, longestDays)):
		return fmt.Errorf("the start on %s lies too far ahead; expected one within %d days", p.Start.Format("2 January 2006, 15:04"), longestDays)
	}
	return nil
}

// twice refuses a course of what another one that is under way gives already.
func (p *Plan) twice(f *book.Facts, asOf time.Time) error {
	all, err := Stand(f, p.Tank, asOf)
	if err != nil || p.Refused != "" {
		return err
	}
	for _, s := range all {
		if s.Over || book.Key(s.Course.Chore) != book.Key(p.Chore) || !sameStuff(f, s.Course.Substance, p.Substance, asOf) {
			continue
		}
		p.refuse(fmt.Sprintf("The course %q, accepted on %s, is still under way with the same.", s.Course.Name, s.Accepted.Format("2 January 2006")),
			"Carry it on, or end it first: two together would double the dose.")
		return nil
	}
	return nil
}

func sameStuff(f *book.Facts, a, b string, asOf time.Time) bool {
	if book.Key(a) == book.Key(b) {
		return true
	}
	x, err1 := substance.Find(f, a, asOf)
	y, err2 := substance.Find(f, b, asOf)
	return err1 == nil && err2 == nil && (peroxide(x) && peroxide(y) || book.Key(x.Name) == book.Key(y.Name))
}
