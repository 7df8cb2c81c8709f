package growth

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Measure is what was outlined in one photograph.
type Measure struct {
	At time.Time
	// Areas are those of every outline of it, in one unit; more than one says how much
	// outlines scatter.
	Areas []float64
}

// Interval is a figure with its 95 % limits; NaN where nothing can be said of them.
type Interval struct{ Mean, Low, High float64 }

// Growth is how fast something grew.
type Growth struct {
	N       int
	Days    float64  // from the first date to the last
	Rate    Interval // specific, of the area, a day
	Percent Interval // the same in per cent of itself in 30 days
	Gain    Interval // of area in 30 days, in the areas' unit
	Spread  Interval // of the radius of a disc of that area, in 30 days, in the unit of length
	Double  Interval // days to twice the area; NaN when it does not grow for sure
	Outline float64  // scatter of repeated outlines, as a share of the area; NaN when none was repeated
	Curve   string   // the law that fits best: "none", "linear", "exponential", "levelling off"; "" with too few dates
	Beside  map[string]float64
	best    *fitted
	start   time.Time
	rateSE  float64
	rateDF  float64
}

// ErrFew says that there is nothing to compare.
var ErrFew = errors.New("growth needs areas of two dates at least, of some size")

// month is how long figures are told for, in days.
const month = 30.0

// Of works out how fast something grew.
func Of(all []Measure) (Growth, error) {
	t, y, repeats, start, err := figures(all)
	if err != nil {
		return Growth{}, err
	}
	g := Growth{N: len(t), Days: t[len(t)-1] - t[0], start: start, Outline: math.NaN(), Beside: map[string]float64{}}
	outline, outlineDF := scatter(all)
	if outlineDF > 0 {
		g.Outline = outline
	}
	g.specific(t, logs(y), outline/math.Sqrt(repeats), outlineDF)
	g.Percent = through(g.Rate, func(r float64) float64 { return 100 * math.Expm1(month*r) })
	g.Gain = g.perMonth(t, y)
	radii := make([]float64, len(y))
	for i, a := range y {
		radii[i] = math.Sqrt(a / math.Pi)
	}
	g.Spread = g.perMonth(t, radii)
	g.Double = Interval{math.NaN(), math.NaN(), math.NaN()}
	if g.Rate.Low > 0 {
		g.Double = Interval{math.Ln2 / g.Rate.Mean, math.Ln2 / g.Rate.High, math.Ln2 / g.Rate.Low}
	}
	g.choose(t, y)
	return g, nil
}

// figures are days and areas (geometric means of repeats), in order.
func figures(all []Measure) (t, y []float64, repeats float64, start time.Time, err error) {
	all = slices.Clone(all)
	slices.SortStableFunc(all, func(a, b Measure) int { return a.At.Compare(b.At) })
	for i, m := range all {
		if len(m.Areas) == 0 {
			return nil, nil, 0, start, fmt.Errorf("date %d has no area", i)
		}
		sum := 0.0
		for _, a := range m.Areas {
			if !(a > 0) || math.IsInf(a, 0) {
				return nil, nil, 0, start, fmt.Errorf("date %d has an area of %g; expected more than nothing", i, a)
			}
			sum += math.Log(a)
		}
		if i == 0 {
			start = m.At
		}
		t = append(t, m.At.Sub(start).Hours()/24)
		y = append(y, math.Exp(sum/float64(len(m.Areas))))
		repeats += float64(len(m.Areas)) / float64(len(all))
	}
	if len(t) < 2 || t[len(t)-1]-t[0] < 1 {
		return nil, nil, 0, start, ErrFew
	}
	return t, y, repeats, start, nil
}

// scatter is how much repeated outlines differ, in logarithms of the area, over all
// dates, and how many degrees of freedom that rests on.
func scatter(all []Measure) (sd, df float64) {
	sum := 0.0
	for _, m := range all {
		l := logs(m.Areas)
		c := stat.Mean(l, nil)
		for _, v := range l {
			sum += (v - c) * (v - c)
		}
		df += float64(len(l) - 1)
	}
	if df <= 0 {
		return 0, 0
	}
	return math.Sqrt(sum / df), df
}

// specific is the slope of the logarithms. The scatter around the line is not taken for
// less than that of outlines; of two dates it is all there is.
func (g *Growth) specific(t, l []float64, outline, outlineDF float64) {
	a, b := stat.LinearRegression(t, l, nil, false)
	n, mt, xx, rss := float64(len(t)), stat.Mean(t, nil), 0.0, 0.0
	for i := range t {
		xx += (t[i] - mt) * (t[i] - mt)
		rss += (l[i] - a - b*t[i]) * (l[i] - a - b*t[i])
	}
	sd, df := 0.0, n-2
	if df > 0 {
		sd = math.Sqrt(rss / df)
	}
	if outline > sd {
		sd, df = outline, math.Max(df, outlineDF)
	}
	g.rateSE, g.rateDF = sd/math.Sqrt(xx), df
	g.Rate = limits(b, g.rateSE, df)
}

// limits are Student's, 95 %.
func limits(v, se, df float64) Interval {
	if df <= 0 || se <= 0 && df <= 0 {
		return Interval{v, math.NaN(), math.NaN()}
	}
	q := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(0.975) * se
	return Interval{v, v - q, v + q}
}

func through(i Interval, f func(float64) float64) Interval {
	return Interval{f(i.Mean), f(i.Low), f(i.High)}
}

// perMonth is the slope of a straight line, of 30 days.
func (g *Growth) perMonth(t, y []float64) Interval {
	f, err := fit(linear, t, y, false)
	if err != nil {
		_, b := stat.LinearRegression(t, y, nil, false)
		rel := g.rateSE / math.Max(math.Abs(g.Rate.Mean), 1e-12)
		i := limits(b, math.Abs(b)*rel, g.rateDF)
		return through(i, func(v float64) float64 { return month * v })
	}
	return through(limits(f.p[1], math.Sqrt(f.cov.At(1, 1)), float64(f.df)), func(v float64) float64 { return month * v })
}

// choose takes the law with the least criterion; a simpler one is kept unless the next is
// better by two.
func (g *Growth) choose(t, y []float64) {
	for _, c := range []curve{none, linear, exponential, logistic} {
		f, err := fit(c, t, y, true)
		if err != nil || math.IsInf(f.criterion, 0) || c.name == logistic.name && !(f.p[2] > 0) {
			continue
		}
		g.Beside[c.name] = f.criterion
		if g.best == nil || f.criterion < g.best.criterion-2 && f.k > g.best.k || f.criterion < g.best.criterion && f.k == g.best.k {
			g.best, g.Curve = f, c.name
		}
	}
}

// At is the area by the best law at a moment, one standard error beside it; NaN where
// the dates are too few for a law.
func (g *Growth) At(at time.Time) (area, se float64) {
	if g.best == nil {
		return math.NaN(), math.NaN()
	}
	return g.best.at(at.Sub(g.start).Hours() / 24)
}

// Apart is the difference of two rates, in per cent points of 30 days, with its limits
// (Welch & Satterthwaite).
func Apart(a, b Growth) Interval {
	va, vb := a.rateSE*a.rateSE, b.rateSE*b.rateSE
	d := a.Rate.Mean - b.Rate.Mean
	if va+vb == 0 || a.rateDF <= 0 || b.rateDF <= 0 {
		return through(Interval{d, math.NaN(), math.NaN()}, perCent)
	}
	df := (va + vb) * (va + vb) / (va*va/a.rateDF + vb*vb/b.rateDF)
	return through(limits(d, math.Sqrt(va+vb), df), perCent)
}

func perCent(r float64) float64 { return 100 * month * r }

// Changed is by how much the rate changed at a moment, in per cent points of 30 days: the
// slope of the logarithms after less the slope before, the line unbroken there.
func Changed(all []Measure, at time.Time) (Interval, error) {
	t, y, _, start, err := figures(all)
	if err != nil {
		return Interval{}, err
	}
	knee := at.Sub(start).Hours() / 24
	before, after := 0, 0
	for _, v := range t {
		if v <= knee {
			before++
		} else {
			after++
		}
	}
	if before < 2 || after < 2 || len(t) < 5 {
		return Interval{}, errors.New("a change of the rate needs two dates before it, two after it and five in all")
	}
	bent := curve{"bent", 3, func(p []float64, x float64) (float64, []float64) {
		over := math.Max(x-knee, 0)
		return p[0] + p[1]*x + p[2]*over, []float64{1, x, over}
	}, func(t, y []float64) []float64 {
		a, b := stat.LinearRegression(t, y, nil, false)
		return []float64{a, b, 0}
	}}
	f, err := fit(bent, t, logs(y), false)
	if err != nil {
		return Interval{}, err
	}
	return through(limits(f.p[2], math.Sqrt(f.cov.At(2, 2)), float64(f.df)), perCent), nil
}
