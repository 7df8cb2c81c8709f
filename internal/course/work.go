package course

import (
	"fmt"
	"math"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/substance"
	"driftline/units"
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
		Unit: ask.Unit, EveryHours: ask.EveryHours, Days: ask.Days, Start: ask.Start, Signs: ask.Signs, Watch: ask.Watch, Stop: ask.Stop}
	if p.Start.IsZero() {
		p.Start = asOf
	}
	perLitre, most := 0.0, 0.0
	if ask.Known != "" {
		k, ok := courses[book.Key(ask.Known)]
		if !ok {
			return Plan{}, fmt.Errorf("course %q is not known; expected %s, %s, or one of your own with its substance and amount", ask.Known, Peroxide, LightsOut)
		}
		k.fill(&p)
		perLitre, most = k.perLitre, k.mostPerLitre
	}
	if err := p.check(); err != nil {
		return Plan{}, err
	}
	if p.Action == "dose" {
		if err := p.dose(f, t, perLitre, most, asOf); err != nil {
			return Plan{}, err
		}
	}
	p.finish()
	return p, nil
}

// fill gives the plan what the keeper left open.
func (k knownCourse) fill(p *Plan) {
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
	p.Warnings = append(p.Warnings, k.warnings...)
}

func (p *Plan) check() error {
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
	}
	return nil
}

// dose sizes the doses and holds them to the ceiling.
func (p *Plan) dose(f *book.Facts, t *book.TankFacts, perLitre, most float64, asOf time.Time) error {
	if strings.TrimSpace(p.Substance) == "" {
		return fmt.Errorf("the substance is missing; expected what is dosed")
	}
	if heals(p.Substance) || heals(p.Name) {
		p.refuse("Treatments of animals' illnesses are not planned here.", "Ask a veterinarian, treat in a hospital tank, and keep to the label and the local law.")
		return nil
	}
	volume, ok := t.Tank.NetVolume.Float()
	litres, err := units.Litres(volume, t.Tank.Unit)
	if !ok || err != nil {
		return fmt.Errorf("the net volume of %s is not known", p.Tank)
	}
	sub, err := substance.Find(f, p.Substance, asOf)
	if err == nil {
		p.Cautions = append(p.Cautions, sub.Cautions...)
	} else {
		p.Cautions = append(p.Cautions, "Read the label and the safety sheet first: they go before anything said here.")
	}
	if err == nil && peroxide(sub) {
		return p.dosePeroxide(sub, litres, perLitre, most)
	}
	if !(p.Amount > 0) {
		return fmt.Errorf("the amount is missing; expected that of one dose")
	}
	if p.Unit == "" {
		p.Unit = "mL"
	}
	p.Warnings = append(p.Warnings, "No ceiling is known for "+p.Substance+": the label's holds, and half of it for the first days.")
	return nil
}

// peroxide says whether a substance is a solution of hydrogen peroxide.
func peroxide(s substance.Substance) bool {
	return len(s.Parts) == 1 && s.Parts[0].Formula.String() == "H2O2"
}

// dosePeroxide scales the dose to the strength and refuses what is above the
// ceiling.
func (p *Plan) dosePeroxide(s substance.Substance, litres, perLitre, most float64) error {
	percent := s.PerLitre / 10 * s.Purity
	if s.Form != substance.Solution || percent > strongest {
		p.refuse("Peroxide above 8 % burns skin and eyes and is not computed with.", "Thin it to 3 % by its label first, or buy that.")
		return nil
	}
	if perLitre == 0 {
		k := courses[Peroxide]
		perLitre, most = k.perLitre, k.mostPerLitre
		p.Warnings = append(p.Warnings, k.warnings...)
	}
	p.Most = math.Floor(most*litres/(percent*10)*10) / 10 // mg/L over mg/mL
	if p.Amount == 0 {
		p.Amount, p.Unit = substance.Round(perLitre*litres*usualPeroxide/percent), "mL"
	}
	mL, err := units.Litres(p.Amount, p.unitOr("mL"))
	if err != nil {
		return fmt.Errorf("peroxide is measured in mL, not in %q", p.Unit)
	}
	p.Amount, p.Unit = math.Round(mL*1e6)/1000, "mL"
	if p.Amount > p.Most {
		p.refuse(fmt.Sprintf("%s mL a dose would be %.1f mg/L of peroxide; more than %.0f mg/L, %s mL, is never planned where animals live.",
			units.FormatAmount(p.Amount), p.Amount*percent*10/litres, most, units.FormatAmount(p.Most)), "Keep to the trade's dose, twice a day, and be patient.")
	}
	return nil
}

func (p *Plan) unitOr(unit string) string {
	if p.Unit == "" {
		return unit
	}
	return p.Unit
}

func (p *Plan) refuse(why, instead string) {
	p.Refused, p.Instead = why, instead
}

// finish counts the turns and says the plan in a sentence.
func (p *Plan) finish() {
	if p.Refused != "" {
		p.Says = p.Refused + " " + p.Instead
		return
	}
	p.Turns = int(math.Ceil(p.Days*24/p.EveryHours - 1e-9))
	p.Total = math.Round(p.Amount*float64(p.Turns)*1000) / 1000
	p.Cautions = append(p.Cautions, "Water and mains: drip loops, a residual-current device, and hands out of the water while anything is plugged in and wet.")
	p.Warnings = append(p.Warnings, "A missed turn is left out, never doubled.")
	what := p.Chore
	if p.Action == "dose" {
		what = fmt.Sprintf("%s %s of %s", units.FormatAmount(p.Amount), p.Unit, p.Substance)
	}
	p.Says = fmt.Sprintf("%s every %s hours for %s days, %d times in all.", prose.Capital(what), units.FormatAmount(p.EveryHours), units.FormatAmount(p.Days), p.Turns)
}
