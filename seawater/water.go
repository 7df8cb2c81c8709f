package seawater

import "math"

// BoronRatio names a published ratio of boron to salinity.
type BoronRatio int

// The ratios of total boron to salinity.
const (
	Uppstrom1974 BoronRatio = iota // Uppström 1974, Deep-Sea Res. 21:161
	Lee2010                        // Lee et al. 2010, Geochim. Cosmochim. Acta 74:1801
)

// FluorideSet names a published constant of hydrogen fluoride.
type FluorideSet int

// The constants of hydrogen fluoride.
const (
	PerezFraga1987   FluorideSet = iota // Mar. Chem. 21:161, salinity 10 to 40, 9 to 33 °C
	DicksonRiley1979                    // Mar. Chem. 7:101, salinity 5 to 45, 0 to 45 °C
)

// MinorSet says how the constants of water, phosphate and silicate of Millero
// 1995, Geochim. Cosmochim. Acta 59:661, come to the total scale.
type MinorSet int

// The two ways to the total scale, which differ by up to 2 % in the constants.
const (
	Converted1995 MinorSet = iota // computed with bisulfate and fluoride at the salinity and temperature
	Guide2007                     // Dickson, Sabine and Christian 2007: 0.015 taken from each logarithm
)

// Basis is the choice of constants. The zero value is Lueker 2000, Uppström
// 1974, Perez and Fraga 1987 and Millero 1995 turned to the total scale;
// bisulfate is always Dickson 1990, boric acid Dickson 1990, CO2 Weiss 1974,
// ammonium Clegg and Whitfield 1995 and the solubilities Mucci 1983.
type Basis struct {
	Carbon   CarbonSet
	Boron    BoronRatio
	Fluoride FluorideSet
	Minor    MinorSet
	// Extrapolate allows salinity and temperature outside those Carbon was
	// published for; Water.Extrapolated then tells.
	Extrapolate bool
}

// Content is what was measured in a water beside its carbon, in µmol per kg of
// seawater, each 0 to 1e5: totals of phosphate, silicate, ammonia, boron and
// calcium. Boron and calcium of zero mean not measured: they follow salinity.
type Content struct {
	Phosphate, Silicate, Ammonia float64
	Boron, Calcium               float64
}

// Water is a salinity and temperature with all constants worked out, so that
// many samples can be solved with it. It is a plain value, safe to copy and to
// read from several goroutines.
type Water struct {
	sp, tempC float64
	basis     Basis
	content   Content
	c         Constants
	kgPerL    float64
	freeRatio float64 // hydrogen on the total scale over free
	ksTotal   float64 // KS in terms of hydrogen on the total scale
	// What to add to pH on the total scale for the others.
	toFree, toSeawater, toNBS float64
	vapourAtm                 float64
}

// NewWater works out the constants at a practical salinity of 0 to 60 and -2 to
// 50 °C. Outside the range of the chosen K1 and K2 it refuses with
// ErrExtrapolated, unless the basis says to extrapolate; Beyond lists the other
// constants used outside theirs.
func NewWater(sp, tempC float64, basis Basis) (Water, error) {
	if err := checkState(sp, tempC); err != nil {
		return Water{}, err
	}
	if err := basis.check(sp, tempC); err != nil {
		return Water{}, err
	}
	w := Water{sp: sp, tempC: tempC, basis: basis, kgPerL: gibbsDensity(sp, tempC) / 1000}
	x := stateOf(sp, tempC)
	w.c.totals(sp, basis.Boron)
	w.c.KS = math.Exp(x.lnKS())
	w.scales(x)
	w.equilibria(x)
	return w, nil
}

func (b Basis) check(sp, tempC float64) error {
	if err := within("choice of boron ratio", float64(b.Boron), 0, 1, ""); err != nil {
		return err
	}
	if err := within("choice of fluoride constant", float64(b.Fluoride), 0, 1, ""); err != nil {
		return err
	}
	if err := within("choice of minor constants", float64(b.Minor), 0, 1, ""); err != nil {
		return err
	}
	if err := b.Carbon.check(sp, tempC); err != nil && (!b.Extrapolate || !b.Carbon.known()) {
		return err
	}
	return nil
}

// totals are those that go with salinity, in mol per kg. Sulfate and fluoride:
// Morris and Riley 1966, Deep-Sea Res. 13:699, and Riley 1965, Deep-Sea Res.
// 12:219; calcium: Riley and Tongudai 1967, Chem. Geol. 2:263; boron: 0.1284 and
// 0.1336 mg per kg and unit of salinity.
func (c *Constants) totals(sp float64, boron BoronRatio) {
	chlorinity := sp / 1.80655
	c.Sulfate = 0.14 / 96.062 * chlorinity
	c.Fluoride = 6.7e-5 / 18.9984 * chlorinity
	c.Calcium = 0.02128 / 40.078 * chlorinity
	c.Boron = 0.1284e-3 / 10.811 * sp
	if boron == Lee2010 {
		c.Boron = 0.1336e-3 / 10.811 * sp
	}
}

// scales sets KF and what leads from one pH scale to another; KS must be there.
func (w *Water) scales(x state) {
	c := &w.c
	w.freeRatio = 1 + c.Sulfate/c.KS
	w.ksTotal = c.KS * w.freeRatio
	if w.basis.Fluoride == DicksonRiley1979 {
		c.KF = math.Exp(x.lnKFDicksonRiley()) * w.freeRatio
	} else {
		c.KF = math.Exp(x.lnKFPerezFraga())
	}
	seawater := 1 + c.Fluoride/c.KF // of KF over the total scale: FT/KF(free)/freeRatio
	w.toFree = math.Log10(w.freeRatio)
	w.toSeawater = -math.Log10(seawater)
	w.toNBS = w.toSeawater - math.Log10(x.activityNBS())
	w.vapourAtm = x.vapourAtm()
}

func (w *Water) equilibria(x state) {
	c := &w.c
	down := w.toSeawater * math.Ln10 // to the logarithm of a constant on the seawater scale
	minor := down
	if w.basis.Minor == Guide2007 {
		minor = -0.015
	}
	fit := &carbonFits[w.basis.Carbon]
	ln1, ln2 := fit.lnK(x)
	if fit.onSeawater {
		ln1, ln2 = ln1+down, ln2+down
	}
	c.K0, c.K1, c.K2 = math.Exp(x.lnK0()), math.Exp(ln1), math.Exp(ln2)
	c.KB, c.KW = math.Exp(x.lnKB()), math.Exp(x.lnKW()+minor)
	p1, p2, p3 := x.phosphoric()
	c.KP1, c.KP2, c.KP3 = math.Exp(p1+minor), math.Exp(p2+minor), math.Exp(p3+minor)
	c.KSi, c.KNH4 = math.Exp(x.lnKSi()+minor), math.Exp(x.lnKNH4())
	aragonite, calcite := x.solubility()
	c.KspAragonite, c.KspCalcite = math.Exp(aragonite*math.Ln10), math.Exp(calcite*math.Ln10)
	c.FugacityShift, c.FugacityMix = x.fugacity()
}

// With is the same water with what was measured in it.
func (w Water) With(m Content) (Water, error) {
	for _, part := range [...]struct {
		name string
		v    float64
	}{
		{"phosphate", m.Phosphate}, {"silicate", m.Silicate}, {"ammonia", m.Ammonia},
		{"boron", m.Boron}, {"calcium", m.Calcium},
	} {
		if err := within(part.name, part.v, 0, 1e5, " µmol/kg"); err != nil {
			return Water{}, err
		}
	}
	w.c.totals(w.sp, w.basis.Boron)
	w.c.Phosphate, w.c.Silicate, w.c.Ammonia = m.Phosphate*1e-6, m.Silicate*1e-6, m.Ammonia*1e-6
	if m.Boron > 0 {
		w.c.Boron = m.Boron * 1e-6
	}
	if m.Calcium > 0 {
		w.c.Calcium = m.Calcium * 1e-6
	}
	w.content = m
	return w, nil
}

// Constants are the constants and totals in use, in mol per kg of seawater.
func (w *Water) Constants() Constants { return w.c }

// Salinity is the practical salinity the water was made with.
func (w *Water) Salinity() float64 { return w.sp }

// TempC is the temperature in °C, ITS-90.
func (w *Water) TempC() float64 { return w.tempC }

// Beyond lists the formulas, other than that of K1 and K2, that are used outside
// the range they were published for; it says with which results to be careful.
// They do not stop NewWater: for the common waters of a tank they matter little
// (see docs/seawater.md).
func (w *Water) Beyond() []Formula {
	fluoride := FluoridePerezFraga
	if w.basis.Fluoride == DicksonRiley1979 {
		fluoride = FluorideDicksonRiley
	}
	var out []Formula
	for _, f := range [...]Formula{CleggWhitfield1995, CO2Solubility, BoricAcid1990, Bisulfate1990, fluoride, WaterAndNutrients, CarbonateSolubility} {
		if f == CleggWhitfield1995 && w.content.Ammonia == 0 {
			continue
		}
		if !published[f].holds(w.sp, w.tempC) {
			out = append(out, f)
		}
	}
	return out
}

// Extrapolated tells whether K1 and K2 are used outside their published range.
func (w *Water) Extrapolated() bool { return w.basis.Carbon.check(w.sp, w.tempC) != nil }

// CalciumFromMgPerL is calcium in µmol per kg, as Content takes it, from mg per
// litre at the water's temperature (40.078 g/mol).
func (w *Water) CalciumFromMgPerL(mgPerL float64) float64 { return mgPerL / 40.078 * 1000 / w.kgPerL }
