package makeup

import (
	"fmt"
	"math"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/internal/substance"
	"driftline/units"
)

// Following is a water change with the batch, as a keeper means to do it.
type Following struct {
	Tank      string
	Litres    float64  // of one change; 0 takes a tenth of the net volume
	EveryDays float64  // of the routine; 0 takes 7
	Weeks     int      // how far the routine is followed; 0 takes 8
	Reach     []Figure // targets of the series; the aims of the tank for the rest
}

// Change is what the batch does to a tank: at once, in a series, as a routine.
type Change struct {
	Tank        string    `json:"tank"`
	AsOf        time.Time `json:"as_of"`
	Litres      float64   `json:"litres"`
	NetLitres   float64   `json:"net_l"`
	Share       float64   `json:"share"`
	EveryDays   float64   `json:"every_days"`
	Weeks       int       `json:"weeks"`
	Quantities  []Moved   `json:"quantities"`
	Temperature Warmth    `json:"temperature"`
	Salinity    Matching  `json:"salinity"`
	Warnings    []string  `json:"warnings"`
	Uncounted   []string  `json:"uncounted"` // declared dosing of which nobody said what it holds
	Says        string    `json:"says"`
}

// Moved is what the change does to one quantity.
type Moved struct {
	Quantity units.Quantity    `json:"quantity"`
	Unit     string            `json:"unit"`
	Tank     standing.Estimate `json:"tank"` // by the whole log
	NewWater standing.Estimate `json:"new_water"`
	After    standing.Estimate `json:"after"` // right after the change
	Jump     float64           `json:"jump"`
	MostADay float64           `json:"most_a_day"` // largest step a day; 0 where the trade has none
	Low      *float64          `json:"low"`
	Aim      *float64          `json:"aim"`
	High     *float64          `json:"high"`
	Series   Series            `json:"series"`
	Routine  Settling          `json:"routine"`
	Warning  string            `json:"warning,omitempty"`
	Says     string            `json:"says"`
}

// follower holds a change while it is worked out.
type follower struct {
	desk   *standing.Desk
	f      *book.Facts
	tank   *book.TankFacts
	batch  Batch
	ask    Following
	asOf   time.Time
	dosing map[units.Quantity]float64 // declared, a day, default units
	out    Change
}

// Follow says what a change with a batch does to a tank, as of a moment. It fails
// when the ask is impossible.
func Follow(desk *standing.Desk, f *book.Facts, b Batch, ask Following, asOf time.Time) (Change, error) {
	w, err := newFollower(desk, f, b, ask, asOf)
	if err != nil {
		return Change{}, err
	}
	all, err := desk.Tank(f, ask.Tank, asOf, 0)
	if err != nil {
		return Change{}, err
	}
	w.declaredDosing()
	w.out.Temperature = w.warmth(find1(all, units.Temperature))
	w.out.Salinity = w.matching(find1(all, units.Salinity))
	for _, q := range all {
		m, ok, err := w.moved(q)
		if err != nil {
			return Change{}, err
		}
		if ok {
			w.out.Quantities = append(w.out.Quantities, m)
		}
	}
	if err := w.unreached(); err != nil {
		return Change{}, err
	}
	w.warn()
	return w.out, nil
}

func find1(all []standing.Quantity, q units.Quantity) *standing.Quantity {
	for i := range all {
		if all[i].Name == string(q) && len(all[i].Readings) > 0 {
			return &all[i]
		}
	}
	return nil
}

func newFollower(desk *standing.Desk, f *book.Facts, b Batch, ask Following, asOf time.Time) (*follower, error) {
	t, ok := f.Tank(ask.Tank)
	if !ok {
		return nil, fmt.Errorf("tank %q is not in the book", clip(ask.Tank))
	}
	v, known := t.Tank.NetVolume.Float()
	net, err := units.Litres(v, t.Tank.Unit)
	if !known || err != nil || !(net > 0) {
		return nil, fmt.Errorf("the net volume of %s is not known", t.Tank.Name)
	}
	if ask.Litres == 0 {
		ask.Litres = net / 10
	}
	if ask.EveryDays == 0 {
		ask.EveryDays = 7
	}
	if ask.Weeks == 0 {
		ask.Weeks = 8
	}
	switch {
	case !(ask.Litres > 0) || ask.Litres > net:
		return nil, fmt.Errorf("a change of %s L is not possible in %s: expected more than 0 and up to its %s L", units.FormatAmount(ask.Litres), t.Tank.Name, units.FormatAmount(net))
	case !(ask.EveryDays >= 0.25) || ask.EveryDays > 365:
		return nil, fmt.Errorf("a change every %g days is not possible; expected 0.25 to 365", ask.EveryDays)
	case ask.Weeks < 1 || ask.Weeks > 104:
		return nil, fmt.Errorf("%d weeks cannot be followed; expected 1 to 104", ask.Weeks)
	}
	w := &follower{desk: desk, f: f, tank: t, batch: b, ask: ask, asOf: asOf}
	w.out = Change{Tank: t.Tank.Name, AsOf: asOf, Litres: ask.Litres, NetLitres: net, Share: ask.Litres / net, EveryDays: ask.EveryDays, Weeks: ask.Weeks}
	w.out.Says = fmt.Sprintf("%s L of the %s L of %s, %.1f %%.", units.FormatAmount(ask.Litres), units.FormatAmount(net), t.Tank.Name, 100*w.out.Share)
	return w, nil
}

// fresh is what the new water holds of a quantity, with the doubt of the test or
// label it rests on.
func (w *follower) fresh(q units.Quantity, unit string) (standing.Estimate, bool) {
	value, from, known := 0.0, q.Default(), q == units.Nitrate || q == units.Phosphate // none in clean salt and purified water
	for _, f := range w.batch.Result {
		if f.Quantity == q {
			value, from, known = f.Value, f.Unit, true
		}
	}
	if !known {
		return standing.Estimate{}, false
	}
	base, err := units.Convert(q, value, from, q.Default())
	if err != nil {
		return standing.Estimate{}, false
	}
	doubt := 0.0
	if base > 0 {
		doubt = standing.UsualDoubt(q, "", base)
	}
	mean, err1 := units.Convert(q, base, q.Default(), unit)
	sd, err2 := units.ConvertSD(q, max(base, 1e-9), doubt, q.Default(), unit)
	return standing.Estimate{Mean: mean, SD: sd}, err1 == nil && err2 == nil
}

// moved is one quantity at the change; ok is false for what was never read in the
// tank, keeps no balance, or is not known of the new water.
func (w *follower) moved(s standing.Quantity) (m Moved, ok bool, err error) {
	q := units.Quantity(s.Name)
	if s.Simple || len(s.Readings) == 0 {
		return m, false, nil
	}
	if q == units.Salinity {
		if s, err = inPSU(s); err != nil {
			return m, false, err
		}
	}
	fresh, known := w.fresh(q, s.Unit)
	if !known {
		return m, false, nil
	}
	share := w.out.Share
	m = Moved{Quantity: q, Unit: s.Unit, Tank: s.Level, NewWater: fresh, Low: s.Band.Low, Aim: s.Band.Aim, High: s.Band.High,
		After: standing.Estimate{Mean: AfterChange(s.Level.Mean, fresh.Mean, share), SD: math.Hypot((1-share)*s.Level.SD, share*fresh.SD)}}
	m.Jump = m.After.Mean - m.Tank.Mean
	per, err := units.ConvertSD(q, w.usual(q), 1, q.Default(), s.Unit)
	if err != nil {
		return m, false, err
	}
	if rate, known := substance.MostADay(w.f, q); known {
		m.MostADay = rate.Careful * per
	}
	name := prose.Capital(string(q))
	m.Says = fmt.Sprintf("%s goes from %s to %s.", name, units.FormatPM(q, m.Tank.Mean, m.Tank.SD, m.Unit), units.FormatPM(q, m.After.Mean, m.After.SD, m.Unit))
	m.Warning = w.jumpWarning(m)
	m.Series = w.series(m)
	m.Routine = w.settle(m, s, per)
	return m, true, nil
}

// usual is a level near which a unit's step is taken, for units that are not
// proportional.
func (w *follower) usual(q units.Quantity) float64 {
	if q == units.Salinity {
		return w.batch.SalinityAfter
	}
	return 1
}

// inPSU turns a standing of salinity into practical salinity, in which water mixes.
func inPSU(s standing.Quantity) (standing.Quantity, error) {
	q := units.Salinity
	from := s.Unit
	to := func(v *float64) (*float64, error) {
		if v == nil {
			return nil, nil
		}
		x, err := units.Convert(q, *v, from, "PSU")
		return &x, err
	}
	mean, err := to(&s.Level.Mean)
	if err != nil {
		return s, err
	}
	per, err := units.ConvertSD(q, s.Level.Mean, 1, from, "PSU")
	if err != nil {
		return s, err
	}
	for _, limit := range []**float64{&s.Band.Low, &s.Band.Aim, &s.Band.High} {
		if *limit, err = to(*limit); err != nil {
			return s, err
		}
	}
	s.Level = standing.Estimate{Mean: *mean, SD: s.Level.SD * per}
	s.Demand = standing.Estimate{Mean: s.Demand.Mean * per, SD: s.Demand.SD * per}
	s.Unit = "PSU"
	return s, nil
}

// jumpWarning tells of a step that the change makes at once and that a correction
// would have to spread over days. Nutrients are meant to fall by a change.
func (w *follower) jumpWarning(m Moved) string {
	q := m.Quantity
	step := math.Abs(m.Jump)
	if m.MostADay == 0 || step <= m.MostADay || m.Jump < 0 && (q == units.Nitrate || q == units.Phosphate) {
		return ""
	}
	least := m.MostADay / math.Abs(m.NewWater.Mean-m.Tank.Mean) * w.out.NetLitres
	word := "rises"
	if m.Jump < 0 {
		word = "falls"
	}
	return fmt.Sprintf("%s %s by %s at once, more than the %s of a careful day: change at most %s L a day, or bring the new water nearer to the tank.",
		prose.Capital(string(q)), word, units.Format(q, step, m.Unit), units.Format(q, m.MostADay, m.Unit), units.FormatAmount(roundDown(least)))
}

// roundDown gives litres as a bucket measures them, never more.
func roundDown(v float64) float64 {
	step := 1.0
	if v < 10 {
		step = 0.1
	}
	return math.Floor(v/step+1e-9) * step
}

// unreached fails for a target of something the tank or the water knows nothing of.
func (w *follower) unreached() error {
	for _, r := range w.ask.Reach {
		found := false
		for _, m := range w.out.Quantities {
			found = found || m.Quantity == r.Quantity
		}
		if !found {
			return fmt.Errorf("%s cannot be brought to a target: it was never tested in %s, or is not known of the new water", r.Quantity, w.out.Tank)
		}
	}
	return nil
}

func (w *follower) warn() {
	for _, text := range []string{w.out.Temperature.Warning, w.out.Salinity.Warning} {
		if text != "" {
			w.out.Warnings = append(w.out.Warnings, text)
		}
	}
	for _, m := range w.out.Quantities {
		if m.Warning != "" && m.Quantity != units.Salinity { // salinity has told its own
			w.out.Warnings = append(w.out.Warnings, m.Warning)
		}
	}
	if len(w.out.Uncounted) > 0 {
		w.out.Warnings = append(w.out.Warnings, "Not counted in the routine, since nobody has said what it holds: "+strings.Join(w.out.Uncounted, ", ")+".")
	}
}
