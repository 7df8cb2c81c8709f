package correction

import (
	"fmt"
	"math"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/internal/substance"
	"driftline/units"
)

// worker holds a plan while it is worked out. Levels are in the unit of the plan;
// factor turns a rise in the default unit into one of that unit.
type worker struct {
	desk   *standing.Desk
	f      *book.Facts
	tank   *book.TankFacts
	ask    Ask
	asOf   time.Time
	q      standing.Quantity
	sub    substance.Substance
	rate   substance.Rate
	litres float64
	factor float64
	most   float64 // largest rise a day, plan's unit
	plan   Plan
}

// Work works a correction out as of a moment. It fails when the ask is
// impossible; what is possible but unwise comes back as a plan that is refused.
func Work(desk *standing.Desk, f *book.Facts, ask Ask, asOf time.Time) (Plan, error) {
	w, err := newWorker(desk, f, ask, asOf)
	if err != nil {
		return Plan{}, err
	}
	if w.refuse() {
		return w.plan, nil
	}
	if err := w.size(); err != nil {
		return Plan{}, err
	}
	w.hold()
	if w.plan.Refused == "" && len(w.plan.Steps) > 0 {
		w.checks()
		w.effects()
		w.warn()
	}
	w.say()
	return w.plan, nil
}

func newWorker(desk *standing.Desk, f *book.Facts, ask Ask, asOf time.Time) (*worker, error) {
	t, ok := f.Tank(ask.Tank)
	if !ok {
		return nil, fmt.Errorf("tank %q is not in the book", ask.Tank)
	}
	var replaces []string
	if ask.Anew {
		if f, t, replaces, ok = without(f, t, ask.Quantity, asOf); !ok {
			return nil, fmt.Errorf("the plan of %s cannot be worked out again; expected it to be ended first", ask.Quantity)
		}
	}
	rate, ok := substance.MostADay(f, ask.Quantity)
	if !ok || ask.Quantity == units.Salinity {
		return nil, fmt.Errorf("%s is not corrected by doses; expected such as magnesium, calcium or alkalinity", ask.Quantity)
	}
	if ask.Substance == "" {
		ask.Substance = substance.Usual(ask.Quantity)[0]
	}
	sub, err := substance.Find(f, ask.Substance, asOf)
	if err != nil {
		return nil, err
	}
	if sub.PerUnit(ask.Quantity) <= 0 {
		return nil, fmt.Errorf("%s does not raise %s", sub.Name, ask.Quantity)
	}
	q, err := desk.Quantity(f, ask.Tank, string(ask.Quantity), asOf, longestPlan+7)
	if err != nil {
		return nil, err
	}
	if ask.Unit == "" {
		ask.Unit = q.Unit
	}
	unit, err := units.ParseUnit(ask.Quantity, ask.Unit)
	if err != nil {
		return nil, err
	}
	w := &worker{desk: desk, f: f, tank: t, ask: ask, asOf: asOf, q: q, sub: sub, rate: rate}
	if w.litres, err = netLitres(&t.Tank); err != nil {
		return nil, err
	}
	if err := w.frame(unit); err != nil {
		return nil, err
	}
	w.plan.Replaces = replaces
	return w, nil
}

// without are the facts as they would be with the open plans of a quantity ended.
func without(f *book.Facts, t *book.TankFacts, q units.Quantity, asOf time.Time) (*book.Facts, *book.TankFacts, []string, bool) {
	all, err := Stand(f, t.Tank.Name, asOf)
	if err != nil {
		return f, t, nil, false
	}
	var open []string
	for _, s := range all {
		if s.Quantity == q && s.Open() {
			open = append(open, s.Line)
		}
	}
	if len(open) == 0 {
		return f, t, nil, true
	}
	f, ok := f.Supposing(ends(t.Tank.Name, open, asOf)...)
	if !ok {
		return nil, nil, nil, false
	}
	t, ok = f.Tank(t.Tank.Name)
	return f, t, open, ok
}

func netLitres(t *book.Tank) (float64, error) {
	v, ok := t.NetVolume.Float()
	litres, err := units.Litres(v, t.Unit)
	if !ok || err != nil || !(litres > 0) {
		return 0, fmt.Errorf("the net volume of %s is not known", t.Name)
	}
	return litres, nil
}

// frame turns everything into the plan's unit.
func (w *worker) frame(unit string) error {
	q := w.ask.Quantity
	convert := func(e standing.Estimate) (standing.Estimate, error) {
		mean, err := units.Convert(q, e.Mean, w.q.Unit, unit)
		if err != nil {
			return e, err
		}
		sd, err := units.ConvertSD(q, e.Mean, e.SD, w.q.Unit, unit)
		return standing.Estimate{Mean: mean, SD: sd}, err
	}
	from, err := convert(w.q.Level)
	if err != nil {
		return err
	}
	if w.factor, err = units.ConvertSD(q, middle(q), 1, q.Default(), unit); err != nil {
		return err
	}
	perShown, err := units.ConvertSD(q, middle(q), 1, w.q.Unit, unit)
	if err != nil {
		return err
	}
	w.plan = Plan{Tank: w.tank.Tank.Name, Quantity: string(q), Unit: unit, AsOf: w.asOf, From: from,
		Demand: standing.Estimate{Mean: w.q.Demand.Mean * perShown, SD: w.q.Demand.SD * perShown},
		Total:  Total{Substance: w.sub.Name, Unit: w.sub.Unit()}}
	for i := range w.q.Forecast {
		d := &w.q.Forecast[i]
		e, err := convert(standing.Estimate{Mean: d.Mean, SD: d.SD})
		if err != nil {
			return err
		}
		d.Mean, d.SD = e.Mean, e.SD
	}
	switch {
	case w.ask.To != nil:
		w.plan.Aim = *w.ask.To
	case w.q.Band.Aim != nil:
		if w.plan.Aim, err = units.Convert(q, *w.q.Band.Aim, w.q.Unit, unit); err != nil {
			return err
		}
	default:
		return fmt.Errorf("the aim is missing: the band of %s has none", q)
	}
	if err := units.Check(q, w.plan.Aim, unit); err != nil {
		return err
	}
	return w.pace()
}

// pace is the largest rise a day: as asked, the keeper's, or the careful one of
// the trade, and never above the trade's ceiling.
func (w *worker) pace() error {
	w.most = w.rate.Careful * w.factor
	ceiling := w.rate.Ceiling * w.factor
	if w.ask.MostADay < 0 || math.IsNaN(w.ask.MostADay) {
		return fmt.Errorf("a largest rise of %g a day is not possible; expected more than 0", w.ask.MostADay)
	}
	if w.ask.MostADay > 0 {
		w.most = w.ask.MostADay
		if w.most > ceiling {
			w.most = ceiling
			w.warnf("A rise of %s a day was asked for; it is cut to %s, the most that the trade holds safe.",
				w.amount(w.ask.MostADay), w.amount(ceiling))
		}
	}
	w.plan.MostADay = w.most
	return nil
}

// middle is a usual level, for units whose steps depend on it.
func middle(q units.Quantity) float64 {
	if v, ok := highest[q]; ok {
		return v / 1.3
	}
	return 1
}

func (w *worker) warnf(format string, args ...any) {
	w.plan.Warnings = append(w.plan.Warnings, fmt.Sprintf(format, args...))
}

func (w *worker) amount(v float64) string { return units.Format(w.ask.Quantity, v, w.plan.Unit) }

func (w *worker) estimate(e standing.Estimate) string {
	return units.FormatPM(w.ask.Quantity, e.Mean, e.SD, w.plan.Unit)
}

// base is the expected level without the correction: routines, machines and
// water changes as declared.
func (w *worker) base(at time.Time) standing.Estimate {
	days := w.q.Forecast
	x := at.Sub(w.asOf).Hours() / 24
	if len(days) == 0 {
		return w.plan.From
	}
	i := min(max(int(math.Floor(x)), 0), len(days)-1)
	if i == len(days)-1 {
		return standing.Estimate{Mean: days[i].Mean, SD: days[i].SD}
	}
	part := min(max(x-float64(i), 0), 1)
	return standing.Estimate{Mean: days[i].Mean + part*(days[i+1].Mean-days[i].Mean), SD: days[i].SD + part*(days[i+1].SD-days[i].SD)}
}

// raise is what an amount of the substance does to the level, in the plan's unit.
func (w *worker) raise(amount float64) float64 {
	return w.sub.Raise(w.ask.Quantity, amount, w.litres) * w.factor
}
