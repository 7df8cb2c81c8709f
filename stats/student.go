package stats

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// law is Student's, as far as a mixture of such laws needs it.
type law interface {
	CDF(x float64) float64
	around(q float64) (low, high float64) // holds the quantile
}

type student distuv.StudentsT

func (s student) CDF(x float64) float64 { return distuv.StudentsT(s).CDF(x) }

func (s student) around(q float64) (low, high float64) {
	x := distuv.StudentsT(s).Quantile(q)
	return x, x
}

// table is the law at even steps of x/(1+|x|), looked up by cubics; it is within
// 1e-9 of the law for 3 degrees of freedom and more.
type table struct{ value, slope []float64 }

const tableSteps = 2000 // to either side of 0

func tableOf(df float64) table {
	s := distuv.StudentsT{Sigma: 1, Nu: df}
	t := table{make([]float64, 2*tableSteps+1), make([]float64, 2*tableSteps+1)}
	for i := range t.value {
		x := tableX(i)
		t.value[i] = s.CDF(x)
		if !math.IsInf(x, 0) {
			t.slope[i] = s.Prob(x) * (1 + math.Abs(x)) * (1 + math.Abs(x)) / tableSteps
		}
	}
	return t
}

func tableX(i int) float64 {
	u := float64(i)/tableSteps - 1
	return u / (1 - math.Abs(u))
}

func (t table) CDF(x float64) float64 {
	at := (x/(1+math.Abs(x)) + 1) * tableSteps
	i := int(at)
	if !(at > 0) || i >= 2*tableSteps {
		if x > 0 {
			return 1
		}
		return 0
	}
	f := at - float64(i)
	g := 1 - f
	c := (1+2*f)*g*g*t.value[i] + f*f*(3-2*f)*t.value[i+1] + f*g*(g*t.slope[i]-f*t.slope[i+1])
	return min(max(c, 0), 1)
}

func (t table) around(q float64) (low, high float64) {
	i := sort.SearchFloat64s(t.value, q)
	return tableX(max(i-1, 1)), tableX(min(i, 2*tableSteps-1))
}
