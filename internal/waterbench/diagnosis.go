package waterbench

import (
	"fmt"
	"math"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/seawater"
	"driftline/units"
)

// DiagnosePH says why a tank's pH is what it is, from its levels of pH,
// alkalinity, temperature and salinity as of a moment. It fails when the tank is
// not declared; what the log lacks is told in Needs.
func DiagnosePH(f *book.Facts, tank string, asOf time.Time) (PHDiagnosis, error) {
	return DiagnoseFrom(standing.NewDesk(), f, tank, asOf)
}

// DiagnoseFrom is DiagnosePH with a desk that may remember the levels.
func DiagnoseFrom(d *standing.Desk, f *book.Facts, tank string, asOf time.Time) (PHDiagnosis, error) {
	l, err := openLog(f, tank, asOf)
	if err != nil {
		return PHDiagnosis{}, err
	}
	out := PHDiagnosis{Tank: l.tank.Tank.Name,
		PHUnit:         standing.ShownUnit(l.tank, units.PH, l.readings[units.PH]),
		AlkalinityUnit: standing.ShownUnit(l.tank, units.Alkalinity, l.readings[units.Alkalinity]),
		PHBand:         l.band(units.PH), AlkalinityBand: l.band(units.Alkalinity),
		Assumed: []string{fmt.Sprintf("open air of %.0f ± %.0f ppm carbon dioxide", openAirPPM, openAirSD)}}
	if out.Needs = l.lacksForPH(); out.Needs != "" {
		return out, nil
	}
	w, err := l.standingWater(d, f)
	if err != nil {
		return PHDiagnosis{}, err
	}
	g := diagnosis{PHDiagnosis: &out, log: l, w: w}
	if err := g.work(); err != nil {
		out.Needs = fmt.Sprintf("Needs pH and alkalinity that fit together: %v.", err)
	}
	return out, nil
}

// lacksForPH says which readings are missing or too old.
func (l *logbook) lacksForPH() string {
	for _, q := range []units.Quantity{units.PH, units.Alkalinity} {
		list := l.readings[q]
		if len(list) == 0 {
			return l.needs("pH and alkalinity", units.PH, units.Alkalinity)
		}
		if last := list[len(list)-1].At; l.asOf.Sub(last) > reach {
			return fmt.Sprintf("Needs a new reading of %s: the last is of %s.", q, last.In(l.zone).Format("2 Jan 2006"))
		}
	}
	return ""
}

// band is the band of a quantity in the unit the keeper uses.
func (l *logbook) band(q units.Quantity) Limits {
	b, unit := standing.BandOf(l.tank, q), standing.ShownUnit(l.tank, q, l.readings[q])
	side := func(v *float64) *float64 {
		if v == nil {
			return nil
		}
		out, err := units.Convert(q, *v, q.Default(), unit)
		if err != nil {
			return nil
		}
		return &out
	}
	return Limits{side(b.Low), side(b.Aim), side(b.High)}
}

// standingWater is the tank's water by the levels the rest of the tool shows.
func (l *logbook) standingWater(d *standing.Desk, f *book.Facts) (*water, error) {
	w := &water{got: map[units.Quantity]figure{}, unit: map[units.Quantity]string{}, sp: unknownSalinity, tempC: unknownTemp}
	for _, q := range []units.Quantity{units.PH, units.Alkalinity, units.Temperature, units.Salinity} {
		if !l.has(q) || l.asOf.Sub(l.readings[q][len(l.readings[q])-1].At) > reach {
			continue
		}
		s, err := d.Quantity(f, l.tank.Tank.Name, string(q), l.asOf, 1)
		if err != nil {
			return nil, err
		}
		level, err := convert(q, figure{s.Level.Mean, s.Level.SD}, s.Unit, q.Default())
		if err != nil {
			return nil, err
		}
		w.got[q], w.unit[q] = level, s.Unit
	}
	w.saltAndWarmth()
	return w, w.settle()
}

// diagnosis is one in the making.
type diagnosis struct {
	*PHDiagnosis
	log    *logbook
	w      *water
	shares shares
}

func (g *diagnosis) work() error {
	c, sd, err := g.w.solve()
	if err != nil {
		return err
	}
	rest, err := g.w.atRest(g.w.ta)
	if err != nil {
		return err
	}
	usual, err := g.w.usual()
	if err != nil {
		return err
	}
	g.shares = sharesOf(g.w.ph, rest, usual)
	g.Assumed = append(g.Assumed, g.w.guessed...)
	g.TempC, g.Salinity = estimateOf(g.w.tempC), estimateOf(g.w.sp)
	co2 := figure{c.PCO2, sd.PCO2}
	ratio := co2.over(openAir(&g.w.sea))
	g.CO2, g.Ratio = estimateOf(co2), estimateOf(ratio)
	g.Level = g.place(g.log.asOf, g.w, co2)
	g.ChanceAboveAir = lnAbove(ratio, 1)
	g.ChanceAir = g.shares.airFirst()
	g.recent()
	g.partsOfDay()
	if err := g.lines(); err != nil {
		return err
	}
	if err := g.outcomes(); err != nil {
		return err
	}
	g.tell()
	return nil
}

func estimateOf(f figure) Estimate { return Estimate{f.v, f.sd} }

// place is a water on the picture, in the keeper's units.
func (g *diagnosis) place(at time.Time, w *water, co2 figure) Place {
	return Place{At: at, CO2: estimateOf(co2), Alkalinity: estimateOf(g.shownAlkalinity(w.got[units.Alkalinity])),
		PH: estimateOf(figure{g.shownPH(w, w.ph.v), w.got[units.PH].sd})}
}

// shownPH is a pH on the total scale, on the scale the keeper uses.
func (g *diagnosis) shownPH(w *water, total float64) float64 {
	if g.PHUnit == "total" {
		return total
	}
	v, err := w.sea.ConvertPH(total, seawater.TotalScale, seawater.NBSScale)
	if err != nil {
		return total
	}
	return v
}

// shownAlkalinity is alkalinity in dKH in the keeper's unit.
func (g *diagnosis) shownAlkalinity(f figure) figure {
	if out, err := convert(units.Alkalinity, f, "dKH", g.AlkalinityUnit); err == nil {
		return out
	}
	return f
}

// How far back the picture looks, and how many points it takes at most.
const (
	recentSpan = 30 * 24 * time.Hour
	recentMost = 120
)

// recent are the readings of pH of the last month before the newest.
func (g *diagnosis) recent() {
	list := g.log.readings[units.PH]
	newest := list[len(list)-1].At
	var w water
	for i := max(0, len(list)-recentMost); i < len(list); i++ {
		if newest.Sub(list[i].At) > recentSpan || !g.log.waterAt(&w, units.PH, &list[i], units.Alkalinity) {
			continue
		}
		if c, sd, err := w.solve(); err == nil {
			g.Recent = append(g.Recent, g.place(list[i].At, &w, figure{c.PCO2, sd.PCO2}))
		}
	}
	if n := len(g.Recent); n > 0 {
		g.Newest = g.Recent[n-1]
	}
}

// Parts of the day by the tank's clock: pH is lowest when the lights come on and
// highest before they go out.
var parts = []struct {
	name     string
	from, to int // hours
}{{"morning", 4, 11}, {"evening", 17, 24}}

const partLeast = 3 // readings in each

// partsOfDay tells morning from evening where the readings of the last month
// differ by more than twice their doubt.
func (g *diagnosis) partsOfDay() {
	list := g.log.readings[units.PH]
	newest := list[len(list)-1].At
	var out []HourPart
	var means []figure
	for _, p := range parts {
		var values []float64
		for i := len(list) - 1; i >= 0 && newest.Sub(list[i].At) <= recentSpan; i-- {
			if h := list[i].At.In(g.log.zone).Hour(); h >= p.from && h < p.to {
				values = append(values, list[i].Value)
			}
		}
		if len(values) < partLeast {
			return
		}
		mean := meanOf(values)
		means = append(means, mean)
		// The instrument sits off in both parts alike: the level's doubt is the rest.
		level := g.w.got[units.PH]
		v := *g.w
		v.ph = figure{g.w.ph.v + mean.v - level.v, math.Hypot(g.w.ph.sd, mean.sd)}
		c, sd, err := v.solve()
		if err != nil {
			return
		}
		out = append(out, HourPart{Name: p.name, Readings: len(values),
			PH: Estimate{g.shownPH(&v, v.ph.v), mean.sd}, CO2: Estimate{c.PCO2, sd.PCO2}})
	}
	if d := means[1].v - means[0].v; math.Abs(d) > 2*math.Hypot(means[0].sd, means[1].sd) {
		g.Day = out
	}
}

// leastPart is the doubt a part of the day keeps however many readings it has:
// the steps of a meter and the hour at which it was read.
const leastPart = 0.02

// meanOf is a mean with the doubt of its scatter.
func meanOf(values []float64) figure {
	n, sum, square := float64(len(values)), 0.0, 0.0
	for _, v := range values {
		sum += v
	}
	for _, v := range values {
		square += (v - sum/n) * (v - sum/n)
	}
	return figure{sum / n, math.Max(math.Sqrt(square/(n-1)/n), leastPart)}
}
