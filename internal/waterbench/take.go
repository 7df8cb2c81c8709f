package waterbench

import (
	"fmt"
	"math"

	"driftline/internal/standing"
	"driftline/seawater"
	"driftline/units"
)

// figure is a number with one standard deviation.
type figure struct{ v, sd float64 }

// What stands for a salinity or temperature nobody measured; common practice.
var (
	unknownSalinity = figure{35, 1.5}   // PSU
	unknownTemp     = figure{25.5, 1.5} // °C
)

// water is a sample on the standard scales.
type water struct {
	name  string
	typed []Entry                   // with canonical units and doubts
	got   map[units.Quantity]figure // default unit; alkalinity, pH and oxygen see below
	unit  map[units.Quantity]string // as typed last
	airUA float64                   // CO2 in the air over it, µatm; zero for open air

	sp, tempC figure
	guessed   []string // what was taken for granted of salinity and temperature
	sea       seawater.Water
	content   []string // what was taken for granted of the content

	ta figure // µmol/kg
	ph figure // total scale
	o2 figure // mg/L

	warnings []string
}

func (w *water) has(q units.Quantity) bool { _, ok := w.got[q]; return ok }

// take turns what was typed to the standard scales.
func take(s Sample) (*water, error) {
	if !(s.AirPCO2 >= 0 && s.AirPCO2 <= 1e5) {
		return nil, fmt.Errorf("carbon dioxide of the air %g µatm is not possible, expected 0 to 100,000 µatm", s.AirPCO2)
	}
	w := &water{name: s.Name, airUA: s.AirPCO2, got: map[units.Quantity]figure{}, unit: map[units.Quantity]string{}}
	for _, e := range s.Entries {
		if err := w.enter(e); err != nil {
			return nil, err
		}
	}
	w.saltAndWarmth()
	return w, w.settle()
}

// enter checks one entry and keeps it in its default unit.
func (w *water) enter(e Entry) error {
	unit, err := units.ParseUnit(e.Quantity, e.Unit)
	if err != nil {
		return err
	}
	e.Unit = unit
	if err := units.Check(e.Quantity, e.Value, unit); err != nil {
		return err
	}
	if !(e.SD >= 0) || math.IsInf(e.SD, 0) {
		return fmt.Errorf("doubt %g of %s is not possible, expected 0 or more", e.SD, e.Quantity)
	}
	f, err := inDefault(&e)
	if err != nil {
		return err
	}
	w.typed = append(w.typed, e)
	w.unit[e.Quantity] = unit
	if old, twice := w.got[e.Quantity]; twice {
		f = w.both(e.Quantity, old, f)
	}
	w.got[e.Quantity] = f
	return nil
}

// inDefault is an entry in the default unit; it fills in the usual doubt.
func inDefault(e *Entry) (f figure, err error) {
	q, to := e.Quantity, e.Quantity.Default()
	if e.SampleTempC != nil && units.MindsTemperature(q, e.Unit) {
		if f.v, err = units.ConvertSample(q, e.Value, e.Unit, to, *e.SampleTempC); err != nil {
			return f, err
		}
		f.sd, err = units.ConvertSampleSD(q, e.Value, e.SD, e.Unit, to, *e.SampleTempC)
	} else {
		if f.v, err = units.Convert(q, e.Value, e.Unit, to); err != nil {
			return f, err
		}
		f.sd, err = units.ConvertSD(q, e.Value, e.SD, e.Unit, to)
	}
	if err != nil || e.SD > 0 {
		return f, err
	}
	method := ""
	if q == units.Salinity && e.Unit == "mS/cm" {
		method = "conductivity probe"
	}
	f.sd = standing.UsualDoubt(q, method, f.v)
	e.SD, err = units.ConvertSD(q, f.v, f.sd, to, e.Unit)
	return f, err
}

// both joins two figures of one quantity by their doubts, and says when they
// cannot both be right.
func (w *water) both(q units.Quantity, a, b figure) figure {
	if off := math.Abs(a.v - b.v); off > 2*math.Hypot(a.sd, b.sd) {
		w.warn("Two figures of %s, %s and %s, disagree by more than their doubts allow: one of them is wrong.",
			q, units.Format(q, a.v, q.Default()), units.Format(q, b.v, q.Default()))
	}
	wa, wb := 1/(a.sd*a.sd), 1/(b.sd*b.sd)
	return figure{(a.v*wa + b.v*wb) / (wa + wb), 1 / math.Sqrt(wa+wb)}
}

func (w *water) warn(format string, args ...any) {
	w.warnings = append(w.warnings, fmt.Sprintf(format, args...))
}

// settle works out the constants of the water and puts what depends on salinity
// and temperature to the standard scales.
func (w *water) settle() error {
	// A limit converted from another unit may come out a hair beyond itself.
	w.sp.v = math.Min(math.Max(w.sp.v, seawater.MinSP), seawater.MaxSP)
	w.tempC.v = math.Min(math.Max(w.tempC.v, seawater.MinTempC), seawater.MaxTempC)
	sea, err := seawater.NewWater(w.sp.v, w.tempC.v, basisFor(w.sp.v, w.tempC.v))
	if err != nil {
		return err
	}
	if sea.Extrapolated() {
		w.warn("Salinity %.3g and %.3g °C lie outside the range the carbonate constants were measured for: take those figures as a rough guide.", w.sp.v, w.tempC.v)
	}
	if w.sea, err = sea.With(w.contents(&sea)); err != nil {
		return err
	}
	if w.has(units.Alkalinity) {
		if w.ta, err = w.alkalinityPerKg(); err != nil {
			return err
		}
	}
	if w.has(units.PH) {
		if w.ph, err = w.phTotal(); err != nil {
			return err
		}
	}
	if f, ok := w.got[units.Oxygen]; ok {
		if w.o2, err = w.oxygenMgPerL(f); err != nil {
			delete(w.got, units.Oxygen)
			w.warn("Oxygen in %% cannot be told in mg/L here: %v.", err)
		}
	}
	return nil
}

// basisFor keeps to constants within the range they were published for.
func basisFor(sp, tempC float64) seawater.Basis {
	for _, set := range []seawater.CarbonSet{seawater.Lueker2000, seawater.Waters2014} {
		if lowSP, highSP, lowC, highC, err := set.Published(); err == nil && sp >= lowSP && sp <= highSP && tempC >= lowC && tempC <= highC {
			return seawater.Basis{Carbon: set, Extrapolate: true}
		}
	}
	return seawater.Basis{Carbon: seawater.Waters2014, Extrapolate: true}
}

// molar masses of what kits count, g/mol; Prohaska et al. 2022.
const (
	massPO4  = 94.970
	massSiO2 = 60.083
	massNH4  = 18.039
	massNO3  = 62.004
	massNO2  = 46.005
	massB    = 10.81
)

// contents is what was measured beside carbon, in µmol/kg.
func (w *water) contents(sea *seawater.Water) seawater.Content {
	mol := func(q units.Quantity, mass float64) float64 {
		perKg, err := seawater.PerKilogram(w.got[q].v/mass*1000, w.sp.v, w.tempC.v)
		if err != nil {
			return 0
		}
		return perKg
	}
	if !w.has(units.Calcium) {
		w.content = append(w.content, "calcium from salinity")
	}
	return seawater.Content{
		Phosphate: mol(units.Phosphate, massPO4), Silicate: mol(units.Silicate, massSiO2), Ammonia: mol(units.TotalAmmonia, massNH4),
		Boron: mol(units.Boron, massB), Calcium: sea.CalciumFromMgPerL(w.got[units.Calcium].v),
	}
}

// alkalinityPerKg is alkalinity in µmol/kg of this water; what was typed so
// stays as it was typed.
func (w *water) alkalinityPerKg() (figure, error) {
	f := w.got[units.Alkalinity]
	if w.unit[units.Alkalinity] == "µmol/kg" {
		return convert(units.Alkalinity, f, "dKH", "µmol/kg")
	}
	meq, err := convert(units.Alkalinity, f, "dKH", "meq/L")
	if err != nil {
		return f, err
	}
	perKg, err := seawater.PerKilogram(meq.v*1000, w.sp.v, w.tempC.v)
	if err != nil || !(meq.v > 0) {
		return figure{perKg, meq.sd * 1000}, err
	}
	return figure{perKg, meq.sd * perKg / meq.v}, nil
}

// scaleDoubt is how well an electrode's pH in NBS buffers is known on the total
// scale, beside the error of the electrode: package seawater, phscale.go.
const scaleDoubt = 0.02

func (w *water) phTotal() (figure, error) {
	f := w.got[units.PH]
	if w.unit[units.PH] == "total" {
		return convert(units.PH, f, "NBS", "total")
	}
	v, err := w.sea.ConvertPH(f.v, seawater.NBSScale, seawater.TotalScale)
	return figure{v, math.Hypot(f.sd, scaleDoubt)}, err
}

// oxygenMgPerL turns a percentage back and takes it at this water's saturation.
func (w *water) oxygenMgPerL(f figure) (figure, error) {
	if w.unit[units.Oxygen] != "%" {
		return f, nil
	}
	pc, err := convert(units.Oxygen, f, "mg/L", "%")
	if err != nil {
		return f, err
	}
	full, err := seawater.OxygenSolubilityMgPerL(w.sp.v, w.tempC.v)
	return figure{pc.v * full / 100, pc.sd * full / 100}, err
}

func convert(q units.Quantity, f figure, from, to string) (out figure, err error) {
	if out.v, err = units.Convert(q, f.v, from, to); err != nil {
		return out, err
	}
	out.sd, err = units.ConvertSD(q, f.v, f.sd, from, to)
	return out, err
}

// carry works a figure out with the doubts of what it rests on, by slopes over a
// hundredth of each doubt, on one side where the other cannot be.
func carry(f func(x []float64) (float64, error), in ...figure) (figure, error) {
	x := make([]float64, len(in))
	for i := range in {
		x[i] = in[i].v
	}
	middle, err := f(x)
	if err != nil {
		return figure{}, err
	}
	sum := 0.0
	for i, g := range in {
		if !(g.sd > 0) {
			continue
		}
		step := g.sd / 100
		x[i] = g.v + step
		other, err := f(x)
		if err != nil {
			x[i] = g.v - step
			if other, err = f(x); err != nil {
				return figure{}, err
			}
		}
		x[i] = g.v
		sum += (other - middle) * (other - middle) * 1e4
	}
	return figure{middle, math.Sqrt(sum)}, nil
}

// chanceAbove is the chance that the true figure is above a limit.
func chanceAbove(f figure, limit float64) float64 {
	if !(f.sd > 0) {
		if f.v > limit {
			return 1
		}
		return 0
	}
	return 0.5 * math.Erfc((limit-f.v)/f.sd/math.Sqrt2)
}

// saltAndWarmth takes what was measured of salinity and temperature, and else the
// usual, saying so.
func (w *water) saltAndWarmth() {
	w.sp, w.tempC = unknownSalinity, unknownTemp
	if f, ok := w.got[units.Salinity]; ok {
		w.sp = f
	} else {
		w.guessed = append(w.guessed, "salinity 35 ± 1.5")
	}
	if f, ok := w.got[units.Temperature]; ok {
		w.tempC = f
	} else {
		w.guessed = append(w.guessed, "25.5 ± 1.5 °C")
	}
}
