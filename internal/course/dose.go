package course

import (
	"fmt"
	"math"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/substance"
	"driftline/units"
)

// dose sizes the doses and holds them to the ceiling.
func (p *Plan) dose(f *book.Facts, t *book.TankFacts, perLitre, most float64, asOf time.Time) error {
	p.Chore = ""
	if strings.TrimSpace(p.Substance) == "" {
		return fmt.Errorf("the substance is missing; expected what is dosed")
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
	return p.doseOwn(f, sub)
}

// doseOwn is a dose whose size is the keeper's; what it may raise in a day is held
// to the ceiling later, with all that is planned.
func (p *Plan) doseOwn(f *book.Facts, sub substance.Substance) error {
	if !(p.Amount > 0) {
		return fmt.Errorf("the amount is missing; expected that of one dose")
	}
	p.Unit = p.unitOr("mL")
	if p.Most == 0 && !paced(f, sub) {
		p.Warnings = append(p.Warnings, "No ceiling is known for "+p.Substance+": the label's holds.")
	}
	if p.HalfDays == 0 {
		p.Warnings = append(p.Warnings, "What a tank has not had before is best begun with half of it for the first days.")
	}
	p.ceiling("the ceiling you set")
	return nil
}

// paced says whether something it gives has a largest rise of a day.
func paced(f *book.Facts, sub substance.Substance) bool {
	for _, q := range sub.Quantities() {
		if _, ok := substance.MostADay(f, q); ok {
			return true
		}
	}
	return false
}

// ceiling refuses a dose above the most there may be.
func (p *Plan) ceiling(whose string) {
	if p.Most > 0 && p.Amount > p.Most {
		p.refuse(fmt.Sprintf("A dose of %s %s is above %s, %s %s.", units.FormatAmount(p.Amount), p.Unit, whose, units.FormatAmount(p.Most), p.Unit),
			"Give less each time, for longer.")
	}
}

// peroxide says whether a substance is a solution of hydrogen peroxide.
func peroxide(s substance.Substance) bool {
	return len(s.Parts) == 1 && s.Parts[0].Formula.String() == "H2O2"
}

// dosePeroxide scales the dose to the strength and refuses what is above the
// ceiling. The keeper's own may only be lower.
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
	if p.HalfDays == 0 {
		p.Warnings = append(p.Warnings, "The trade gives half a dose on the first two days; this plan does not.")
	}
	if p.Amount == 0 {
		p.Amount, p.Unit = substance.Round(perLitre*litres*usualPeroxide/percent), "mL"
	}
	litresOf := func(v float64) (float64, error) { return units.Litres(v, p.unitOr("mL")) }
	mL, err := litresOf(p.Amount)
	own, err2 := litresOf(p.Most)
	if err != nil || err2 != nil {
		return fmt.Errorf("peroxide is measured in mL, not in %q", p.Unit)
	}
	p.Amount, p.Most, p.Unit = math.Round(mL*1e6)/1000, math.Floor(most*litres/(percent*10)*10)/10, "mL" // mg/L over mg/mL
	if p.Amount > p.Most {
		p.refuse(fmt.Sprintf("%s mL a dose would be %.1f mg/L of peroxide; more than %.0f mg/L, %s mL, is never planned where animals live.",
			units.FormatAmount(p.Amount), p.Amount*percent*10/litres, most, units.FormatAmount(p.Most)), "Keep to the trade's dose, twice a day, and be patient.")
		return nil
	}
	if own > 0 && own*1000 < p.Most {
		p.Most = math.Round(own*1e6) / 1000
		p.ceiling("the ceiling you set")
	}
	return nil
}

func (p *Plan) unitOr(unit string) string {
	if p.Unit == "" {
		return unit
	}
	return p.Unit
}

func (p *Plan) refuse(why, instead string) { p.Refused, p.Instead = why, instead }
