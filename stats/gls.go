package stats

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Correlation says how errors resemble their neighbours.
type Correlation int

// The kinds of correlation.
const (
	Independent    Correlation = iota
	Autoregressive             // phi to the number of rows between, phi from -0.98 to 0.995
	ContinuousTime             // phi to the time between, phi from 0 to 1
)

// Likelihood says what is maximised over the correlation.
type Likelihood int

// The likelihoods.
const (
	REML Likelihood = iota
	ML
)

// Design is a regression y = X b + e of figures at times T, rows in order of
// time. X has one row a figure.
type Design struct {
	T, Y []float64
	X    [][]float64
}

// Fit is a fitted regression. SE and the t law have n-p degrees of freedom and
// take Phi as known, for both likelihoods.
type Fit struct {
	Coef, SE      []float64
	Vcov          [][]float64
	DF            int
	Sigma         float64 // of one figure; by n-p for REML, by n for ML
	Phi           float64 // of a row, or of a unit of time; 0 when independent
	LogLikelihood float64
}

// ErrSingular says that the columns of a design cannot be told apart.
var ErrSingular = errors.New("the columns of the design cannot be told apart")

// FitGLS fits a design. It fails when it is not in order, when there are no
// more figures than columns, or when columns cannot be told apart.
func FitGLS(d Design, c Correlation, l Likelihood) (Fit, error) {
	w, err := newWork(d)
	if err != nil {
		return Fit{}, err
	}
	score := func(u float64) float64 {
		s := w.solve(gapCorrelation(c, u))
		if !s.ok {
			return math.Inf(-1)
		}
		return w.logLikelihood(s, l)
	}
	u := 0.0
	if c != Independent {
		u = highest(score, correlationRange(c))
	}
	s := w.solve(gapCorrelation(c, u))
	if !s.ok {
		return Fit{}, ErrSingular
	}
	return w.fit(s, l, phiOf(c, u)), nil
}

// P is the two-sided p value of a coefficient being zero.
func (f Fit) P(i int) float64 {
	return 2 * distuv.StudentsT{Sigma: 1, Nu: float64(f.DF)}.Survival(math.Abs(f.Coef[i]/f.SE[i]))
}

// The correlation is searched over a coordinate u that makes it smooth: phi
// itself for rows, the logarithm of the correlation time for continuous time.
func correlationRange(c Correlation) [2]float64 {
	if c == ContinuousTime {
		return [2]float64{math.Log(0.05), math.Log(5e4)}
	}
	return [2]float64{-0.98, 0.995}
}

func phiOf(c Correlation, u float64) float64 {
	switch c {
	case Autoregressive:
		return u
	case ContinuousTime:
		return math.Exp(-math.Exp(-u))
	}
	return 0
}

// gapCorrelation gives the correlation across a gap of time.
func gapCorrelation(c Correlation, u float64) func(gap float64) float64 {
	switch c {
	case Autoregressive:
		return func(float64) float64 { return u }
	case ContinuousTime:
		rate := math.Exp(-u)
		return func(gap float64) float64 { return math.Exp(-gap * rate) }
	}
	return func(float64) float64 { return 0 }
}

// highest finds where a function of one variable is highest: a grid, then a
// golden section around its best point.
func highest(f func(float64) float64, between [2]float64) float64 {
	const points = 80
	step := (between[1] - between[0]) / points
	best, at := math.Inf(-1), between[0]
	for i := range points + 1 {
		u := between[0] + float64(i)*step
		if v := f(u); v > best {
			best, at = v, u
		}
	}
	a, b := max(between[0], at-step), min(between[1], at+step)
	golden := (math.Sqrt(5) - 1) / 2
	x, y := b-golden*(b-a), a+golden*(b-a)
	fx, fy := f(x), f(y)
	for b-a > 1e-9*(1+math.Abs(a)) {
		if fx >= fy {
			b, y, fy = y, x, fx
			x = b - golden*(b-a)
			fx = f(x)
		} else {
			a, x, fx = x, y, fy
			y = a + golden*(b-a)
			fy = f(y)
		}
	}
	return (a + b) / 2
}

func (d Design) check() error {
	n := len(d.Y)
	if len(d.T) != n || len(d.X) != n {
		return fmt.Errorf("a design of %d times, %d figures and %d rows: expected as many of each", len(d.T), n, len(d.X))
	}
	if n == 0 || len(d.X[0]) == 0 || len(d.X[0]) >= n {
		return fmt.Errorf("a design of %d figures: expected more figures than columns, and a column", n)
	}
	for i := range n {
		if len(d.X[i]) != len(d.X[0]) {
			return fmt.Errorf("row %d of the design has %d columns: expected %d", i+1, len(d.X[i]), len(d.X[0]))
		}
		if i > 0 && d.T[i] < d.T[i-1] {
			return fmt.Errorf("row %d of the design is before row %d: expected them in order of time", i+1, i)
		}
		for _, v := range append([]float64{d.T[i], d.Y[i]}, d.X[i]...) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return fmt.Errorf("row %d of the design holds %v: expected finite figures", i+1, v)
			}
		}
	}
	return nil
}
