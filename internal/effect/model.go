package effect

import (
	"math"

	"driftline/stats"
)

// model is the design that the figures are fitted to. Column 1 is the change.
type model struct {
	figures []figure
	design  stats.Design
	slope   int   // column of the change of trend, 0 without
	others  []int // column of each of Ask.Others, 0 when it is not in
}

const changeColumn = 1

// columns are what a model has besides a level and the change.
type columns struct{ trend, slope bool }

// modelOf builds the design over figures, none of them settling.
func (a Ask) modelOf(figures []figure, c columns) model {
	m := model{figures: figures, others: make([]int, len(a.Others))}
	span := 1.0
	for _, f := range figures {
		span = math.Max(span, abs(f.day))
	}
	for _, f := range figures {
		during := 0.0
		if a.state(f.at) != off {
			during = 1
		}
		row := []float64{1, during}
		if c.trend || c.slope {
			row = append(row, f.day/span)
		}
		if c.slope {
			row = append(row, during*f.day/span)
		}
		for block := range a.Also { // a level for each tank
			own := 0.0
			if f.block == block+1 {
				own = 1
			}
			row = append(row, own)
		}
		m.design.T = append(m.design.T, f.day+apart*float64(f.block))
		m.design.Y = append(m.design.Y, f.value)
		m.design.X = append(m.design.X, row)
	}
	if c.slope {
		m.slope = 3
	}
	for i, o := range a.Others {
		m.add(i, o)
	}
	return m
}

// add puts another change into the model unless it cannot be told from what is
// there.
func (m *model) add(i int, o Other) {
	column := make([]float64, len(m.figures))
	for k, f := range m.figures {
		for _, s := range o.On {
			if s.holds(f.at) {
				column[k] = 1
			}
		}
	}
	wider := make([][]float64, len(column))
	for k, row := range m.design.X {
		wider[k] = append(append(make([]float64, 0, len(row)+1), row...), column[k])
	}
	d := m.design
	d.X = wider
	if len(d.X) <= len(d.X[0]) {
		return
	}
	if _, err := stats.FitGLS(d, stats.Independent, stats.REML); err != nil {
		return
	}
	m.design = d
	m.others[i] = len(wider[0]) - 1
}

// without is the fitted value of each figure with the change taken off.
func (m model) without(coef []float64) []float64 {
	out := make([]float64, len(m.design.X))
	for i, row := range m.design.X {
		for j, x := range row {
			if j != changeColumn && (m.slope == 0 || j != m.slope) {
				out[i] += x * coef[j]
			}
		}
	}
	return out
}

// leaving leaves one row out.
func (m model) leaving(i int) stats.Design {
	cut := func(v []float64) []float64 {
		return append(append(make([]float64, 0, len(v)-1), v[:i]...), v[i+1:]...)
	}
	rows := append(append(make([][]float64, 0, len(m.design.X)-1), m.design.X[:i]...), m.design.X[i+1:]...)
	return stats.Design{T: cut(m.design.T), Y: cut(m.design.Y), X: rows}
}

// correlation is the restricted likelihood's correlation a day apart, below 1.
func (m model) correlation() (float64, stats.Fit, error) {
	fit, err := stats.FitGLS(m.design, stats.ContinuousTime, stats.REML)
	if err != nil {
		return 0, fit, err
	}
	return math.Min(fit.Phi, 0.9999), fit, nil
}

// byChance is how often a figure is left out that was none: seldom, since leaving
// out the farthest of sound figures makes the rest look surer than they are.
const byChance = 0.01

// tellMisreads is the least number of degrees of freedom with which a misread can
// be told from what the change did.
const tellMisreads = 6

// dropMisreads takes out the figures that all others speak against, one at a
// time, a tenth of them at most; both sides keep enough.
func (a Ask) dropMisreads(figures []figure, c columns) (kept, dropped []figure) {
	kept = figures
	for range max(1, len(figures)/10) {
		m := a.modelOf(kept, c)
		phi, _, err := m.correlation()
		if err != nil {
			return kept, dropped
		}
		off, err := stats.Misfits(m.design, phi)
		if err != nil || len(kept)-len(m.design.X[0])-1 < tellMisreads {
			return kept, dropped
		}
		worst := 0
		for i := range off {
			if math.Abs(off[i]) > math.Abs(off[worst]) {
				worst = i
			}
		}
		if math.Abs(off[worst]) < stats.MisfitLimit(len(kept), len(m.design.X[0]), byChance) || !a.canSpare(kept, worst) {
			return kept, dropped
		}
		dropped = append(dropped, kept[worst])
		kept = append(append(make([]figure, 0, len(kept)-1), kept[:worst]...), kept[worst+1:]...)
	}
	return kept, dropped
}

// canSpare tells whether its side has figures enough without one.
func (a Ask) canSpare(figures []figure, i int) bool {
	side, n := a.state(figures[i].at), 0
	for _, f := range figures {
		if a.state(f.at) == side {
			n++
		}
	}
	return n > fewest
}

func medianGap(t []float64) float64 { return stats.MedianGap(t) }

func abs(v float64) float64 { return math.Abs(v) }
