package waterbench

import (
	"fmt"
	"math"
	"runtime"
	"sync"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/seawater"
	"driftline/units"
)

// Past is what follows from a tank's log over time: carbon dioxide, saturation
// with aragonite, un-ionised ammonia, oxygen and the ions brought to salinity 35.
// A series without points says what it would need; of one longer than 4,000 the
// older part is thinned. Readings that look like misreads are left out. Lines
// after as-of are ignored.
func Past(f *book.Facts, tank string, asOf time.Time) ([]Series, error) {
	return PastFrom(standing.NewDesk(), f, tank, asOf)
}

// PastFrom is Past with a desk that may remember which readings are misreads.
func PastFrom(d *standing.Desk, f *book.Facts, tank string, asOf time.Time) ([]Series, error) {
	l, err := openLog(f, tank, asOf)
	if err != nil {
		return nil, err
	}
	if err := l.leaveOutMisreads(d, f); err != nil {
		return nil, err
	}
	out := l.carbon()
	out = append(out, l.ammonia())
	out = append(out, l.oxygen()...)
	for _, i := range ionOf {
		out = append(out, l.ion(i.q, i.ion))
	}
	for i := range out {
		out[i].Says = l.says(&out[i])
	}
	return out, nil
}

func (s *Series) add(at time.Time, f figure) {
	if !math.IsNaN(f.v) && !math.IsInf(f.v, 0) && !math.IsNaN(f.sd) && !math.IsInf(f.sd, 0) {
		s.Points = append(s.Points, Point{at, f.v, f.sd})
	}
}

func level(v float64) *float64 { return &v }

// carbon is carbon dioxide, the same against open air, and aragonite, at each
// reading of pH.
func (l *logbook) carbon() []Series {
	co2 := Series{Key: "carbon dioxide", Title: "Carbon dioxide", Unit: "µatm", Mark: level(openAirPPM), MarkName: "open air"}
	ratio := Series{Key: "carbon dioxide to air", Title: "Carbon dioxide against open air", Unit: "times", Mark: level(1), MarkName: "balance"}
	aragonite := Series{Key: "aragonite", Title: "Saturation with aragonite", Low: level(1)}
	for _, p := range l.carbonPoints() {
		if p.fits {
			*co2.Mark = p.air
			co2.add(p.at, p.co2)
			ratio.add(p.at, p.ratio)
			aragonite.add(p.at, p.aragonite)
		}
	}
	need := l.needs("pH and alkalinity within two months of each other", units.PH, units.Alkalinity)
	assumed := l.taken(units.Alkalinity, units.Temperature, units.Salinity)
	out := []Series{co2, ratio, aragonite}
	for i := range out {
		out[i].Assumed = assumed
		if len(out[i].Points) == 0 {
			out[i].Needs = need
		}
	}
	out[2].Assumed = append(out[2].Assumed[:len(assumed):len(assumed)], l.taken(units.Calcium)...)
	return out
}

// carbonPoint is what one reading of pH tells.
type carbonPoint struct {
	fits                  bool
	at                    time.Time
	air                   float64
	co2, ratio, aragonite figure
}

// carbonPoints works out the readings of pH, in as many parts as there are
// processors: the costliest of what a tank's past needs.
func (l *logbook) carbonPoints() []carbonPoint {
	list := thinned(l.readings[units.PH])
	out := make([]carbonPoint, len(list))
	parts := runtime.GOMAXPROCS(0)
	var wait sync.WaitGroup
	for part := range parts {
		wait.Go(func() {
			var w water
			for i := len(list) * part / parts; i < len(list)*(part+1)/parts; i++ {
				if l.waterAt(&w, units.PH, &list[i], units.Alkalinity, units.Calcium) {
					out[i] = w.carbonPoint(list[i].At)
				}
			}
		})
	}
	wait.Wait()
	return out
}

func (w *water) carbonPoint(at time.Time) carbonPoint {
	c, sd, err := w.solve()
	if err != nil {
		return carbonPoint{}
	}
	a := openAir(&w.sea)
	co2 := figure{c.PCO2, sd.PCO2}
	return carbonPoint{fits: true, at: at, air: a.v, co2: co2, ratio: co2.over(a), aragonite: w.aragonite(c, sd)}
}

// over is one figure by another, their doubts independent.
func (f figure) over(g figure) figure {
	r := f.v / g.v
	return figure{r, math.Hypot(f.sd/g.v, r*g.sd/g.v)}
}

// needs says what a series lacks, naming only what the log has not.
func (l *logbook) needs(all string, qs ...units.Quantity) string {
	var lacking []string
	for _, q := range qs {
		if !l.has(q) {
			lacking = append(lacking, string(q))
		}
	}
	switch len(lacking) {
	case 0:
		return "Needs readings of " + all + "."
	case 1:
		return "Needs readings of " + lacking[0] + "."
	}
	return fmt.Sprintf("Needs readings of %s and %s.", lacking[0], lacking[1])
}

// ammonia is the un-ionised part at each reading of total ammonia.
func (l *logbook) ammonia() Series {
	s := Series{Key: "un-ionised ammonia", Title: "Un-ionised ammonia", Unit: "mg/L NH3", High: level(ammoniaFourDays),
		Assumed: l.taken(units.PH, units.Temperature, units.Salinity)}
	var w water
	for _, m := range thinned(l.readings[units.TotalAmmonia]) {
		if !l.waterAt(&w, units.TotalAmmonia, &m, units.PH) {
			continue
		}
		if share, err := w.ammoniaShare(); err == nil {
			s.add(m.At, unionised(share, figure{m.Value, m.Doubt()}))
		}
	}
	if len(s.Points) == 0 {
		s.Needs = l.needs("total ammonia and pH within two months of each other", units.TotalAmmonia, units.PH)
	}
	return s
}

// oxygen is what air brings into the water at each reading of temperature, and
// how full of it the water is at each of oxygen.
func (l *logbook) oxygen() []Series {
	full := Series{Key: "oxygen in air", Title: "Oxygen in balance with air", Unit: "mg/L", Low: level(oxygenLow),
		Assumed: append(l.taken(units.Salinity), "air pressure of one atmosphere")}
	percent := Series{Key: "oxygen saturation", Title: "Oxygen saturation", Unit: "%", Mark: level(100), MarkName: "balance with air",
		Assumed: append(l.taken(units.Temperature, units.Salinity), "air pressure of one atmosphere")}
	for _, m := range thinned(l.readings[units.Temperature]) {
		sp, ok := l.level(units.Salinity, m.At)
		if !ok {
			sp = unknownSalinity
		}
		if f, err := oxygenFull(sp, figure{m.Value, m.Doubt()}); err == nil {
			full.add(m.At, f)
		}
	}
	var w water
	for _, m := range thinned(l.readings[units.Oxygen]) {
		if !l.waterAt(&w, units.Oxygen, &m) {
			continue
		}
		if f, err := oxygenFull(w.sp, w.tempC); err == nil {
			percent.add(m.At, w.o2.over(f).times(100))
		}
	}
	if len(full.Points) == 0 {
		full.Needs = "Needs readings of temperature."
	}
	if len(percent.Points) == 0 {
		percent.Needs = "Needs readings of oxygen."
	}
	return []Series{full, percent}
}

func oxygenFull(sp, tempC figure) (figure, error) {
	return carry(func(x []float64) (float64, error) { return seawater.OxygenSolubilityMgPerL(x[0], x[1]) }, sp, tempC)
}

// ion is a major ion brought to salinity 35, at each of its readings.
func (l *logbook) ion(q units.Quantity, ion seawater.Ion) Series {
	s := Series{Key: string(q) + " at 35", Title: sentenceCase(string(q)) + " brought to salinity 35", Unit: "mg/L", Assumed: l.taken(units.Salinity)}
	band := standing.BandOf(l.tank, q)
	s.Low, s.High = band.Low, band.High
	if natural, err := seawater.IonMgPerL(ion, 35, unknownTemp.v); err == nil {
		s.Mark, s.MarkName = &natural, "sea water of 35"
	}
	for _, m := range thinned(l.readings[q]) {
		if sp, ok := l.level(units.Salinity, m.At); ok && sp.v > 1 {
			s.add(m.At, figure{m.Value, m.Doubt()}.over(sp).times(35))
		}
	}
	if n := l.leftOut[q]; n > 0 {
		s.Assumed = append(s.Assumed, fmt.Sprintf("%s left out where it looks like a misread (%d)", q, n))
	}
	if len(s.Points) == 0 {
		s.Needs = l.needs(string(q)+" and salinity within two months of each other", q, units.Salinity)
	}
	return s
}
