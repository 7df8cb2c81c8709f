package correction

import (
	"fmt"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/internal/substance"
	"driftline/units"
)

// warn tells what a keeper should think of before the first dose.
func (w *worker) warn() {
	if len(w.plan.Replaces) > 0 {
		w.warnf("It starts from today's level and takes the place of the plan before. Doses that were given but not written down are not counted: write them down first.")
	}
	w.warnMisread()
	w.warnMagnesium()
	w.warnFight()
	w.warnDilute()
	if w.sub.Name == substance.Limewater {
		if day := w.plan.Total.Amount / w.daysLong(); day > limePer100L*w.litres/100 {
			w.plan.Steps, w.plan.Checks = nil, nil
			w.plan.Refused = fmt.Sprintf("It would take %.1f L of limewater a day; more than %.1f L does not evaporate and lifts the pH too far.", day/1000, limePer100L*w.litres/1e5)
			w.plan.Instead = "Use sodium bicarbonate or carbonate for the correction, and limewater to keep the level."
			return
		}
		w.warnf("Give limewater slowly, over hours, and stop when the pH is at 8.5 (common practice).")
	}
	if j, known := w.jump(w.largest()); known && j > mostPHJump {
		w.warnf("One dose lifts the pH by about %.2f: give it over an hour or more, and watch it.", j)
	}
}

func (w *worker) daysLong() float64 {
	steps := w.plan.Steps
	return max(1, steps[len(steps)-1].At.Sub(steps[0].At).Hours()/24)
}

// warnMisread names a late reading that the engine does not believe.
func (w *worker) warnMisread() {
	for i := max(0, len(w.q.Readings)-2); i < len(w.q.Readings); i++ {
		if r := w.q.Readings[i]; r.Misread > misreadLikely {
			w.warnf("The reading of %s on %s looks like a misread (%s); the plan starts from the whole log. Test once more before the first dose.",
				units.Format(w.ask.Quantity, r.Value, w.q.Unit), r.At.In(w.zone()).Format("2 January"), standing.ChanceWords(r.Misread))
		}
	}
}

// level is how another quantity stands, in its default unit.
func (w *worker) level(q units.Quantity) (standing.Quantity, float64, bool) {
	s, err := w.desk.Quantity(w.f, w.ask.Tank, string(q), w.asOf, 0)
	if err != nil || len(s.Readings) == 0 {
		return s, 0, false
	}
	v, err := units.Convert(q, s.Level.Mean, s.Unit, q.Default())
	return s, v, err == nil
}

func (w *worker) warnMagnesium() {
	if w.ask.Quantity != units.Calcium && w.ask.Quantity != units.Alkalinity {
		return
	}
	if _, mg, ok := w.level(units.Magnesium); ok && mg < lowMagnesium {
		w.warnf("Magnesium is low, at about %s: raise it first, for below %d mg/L calcium and alkalinity do not hold (common practice).",
			units.Format(units.Magnesium, mg, "mg/L"), lowMagnesium)
	}
}

// warnFight tells of a running correction whose doses must not meet these.
func (w *worker) warnFight() {
	other := map[units.Quantity]units.Quantity{units.Calcium: units.Alkalinity, units.Alkalinity: units.Calcium}[w.ask.Quantity]
	if other == "" {
		return
	}
	for _, p := range standing.PlannedDoses(w.tank, w.asOf) {
		if !p.Ahead(w.asOf) || !w.planRaises(p.Plan, other) {
			continue
		}
		w.warnf("A correction of %s is under way as well: calcium and carbonate fall out where they meet, so keep their doses four hours or more apart.", other)
		return
	}
}

func (w *worker) planRaises(id string, q units.Quantity) bool {
	for i := range w.tank.Events {
		if w.tank.Events[i].ID == id {
			b, ok := w.tank.Events[i].Body.(*book.Correction)
			return ok && sameQuantity(b.Quantity, q)
		}
	}
	return false
}

// warnDilute tells when everything is low because the water is thin.
func (w *worker) warnDilute() {
	s, sp, ok := w.level(units.Salinity)
	if !ok || s.Band.Low == nil || s.Level.Mean >= *s.Band.Low {
		return
	}
	w.warnf("Salinity is low, at about %s, and with it everything else is: bring it up first with stronger make-up water, then look again.",
		units.Format(units.Salinity, sp, "PSU"))
}

// say puts the plan in one sentence.
func (w *worker) say() {
	switch {
	case w.plan.Refused != "":
		w.plan.Says = w.plan.Refused + " " + w.plan.Instead
	case len(w.plan.Steps) == 0 && w.plan.From.Mean >= w.plan.Aim:
		w.plan.Says = fmt.Sprintf("%s stands at %s, at its aim of %s: nothing is to be dosed.", prose.Capital(w.plan.Quantity), w.estimate(w.plan.From), w.amount(w.plan.Aim))
	case len(w.plan.Steps) == 0:
		w.plan.Says = fmt.Sprintf("%s stands at %s, and what is declared already brings it to %s: nothing more is to be dosed.",
			prose.Capital(w.plan.Quantity), w.estimate(w.plan.From), w.amount(w.plan.Aim))
	default:
		steps := w.plan.Steps
		w.plan.Says = fmt.Sprintf("From %s to %s: %s %s of %s in %d %s, the last on %s.", w.estimate(w.plan.From), w.amount(w.plan.Aim),
			units.FormatAmount(w.plan.Total.Amount), w.plan.Total.Unit, w.plan.Total.Substance, len(steps), plural(len(steps), "dose", "doses"),
			steps[len(steps)-1].At.Format("2 January"))
	}
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}
