package effect

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"driftline/stats"
)

// Noise is how a tank's figures scatter when nothing is changed.
type Noise struct {
	SD  float64 // of one figure around its level, or of one difference to the other tank
	Phi float64 // correlation of figures a day apart, 0 to below 1
}

// Design is a plan of measuring: when, and when the change is on.
type Design struct {
	Days  []float64    // days of the readings from the start, in order; those before are negative
	On    [][2]float64 // days from the start when the change is on; an end of +Inf is the plan's end
	Trend bool         // the model takes a trend along: there is no comparison
	Also  []Design     // other tanks with the same change, at times of their own
}

// simulations are how many trials a power is counted on. Its standard error then
// is 0.011 at most.
const simulations = 2000

// Strength is what a design can show, counted on simulated trials that the method
// of Analyse judges: how large an effect each of them would have needed.
type Strength struct{ needed []float64 }

// Simulate runs trials of a design in a tank of such noise.
func (d Design) Simulate(n Noise, r *rand.Rand) (Strength, error) {
	if err := d.check(n); err != nil {
		return Strength{}, err
	}
	m := d.matrix()
	average, err := stats.NewAverager(m, changeColumn)
	if err != nil {
		return Strength{}, fmt.Errorf("the measuring plan does not tell the change from a trend: %w", err)
	}
	needed := sure // as Ask.needed has it
	if len(m.T)-len(m.X[0]) < tellMisreads {
		needed = sure / 2
	}
	s := Strength{make([]float64, simulations)}
	for i := range s.needed {
		n.fill(m.T, m.Y, r)
		// An effect moves every estimate by as much: one above this lifts the whole
		// interval above 0.
		s.needed[i] = -average.Of(m.Y).Quantile(needed / 2)
	}
	slices.Sort(s.needed)
	return s, nil
}

// Power is the share of trials in which an effect so large shows. Up and down are
// alike.
func (s Strength) Power(effect float64) float64 {
	shown, _ := slices.BinarySearch(s.needed, math.Abs(effect))
	return float64(shown) / float64(len(s.needed))
}

// Detectable is the smallest effect that shows in four of five trials.
func (s Strength) Detectable() float64 { return s.needed[int(0.8*float64(len(s.needed)))] }

// check says what is wrong with a design and its noise.
func (d Design) check(n Noise) error {
	if !(n.SD > 0) || math.IsInf(n.SD, 0) || !(n.Phi >= 0 && n.Phi < 1) {
		return fmt.Errorf("noise of %v with correlation %v: expected a spread above 0, and a correlation from 0 to below 1", n.SD, n.Phi)
	}
	if !slices.IsSorted(d.Days) {
		return errors.New("the days of a measuring plan: expected them in order")
	}
	with := 0
	for _, day := range d.Days {
		if d.on(day) {
			with++
		}
	}
	if with < fewest || len(d.Days)-with < fewest {
		return fmt.Errorf("a plan with %s without the change and %d with it: expected %d or more of each", figures(len(d.Days)-with), with, fewest)
	}
	for _, b := range d.Also {
		if err := b.check(n); err != nil {
			return err
		}
	}
	return nil
}

func (d Design) on(day float64) bool {
	for _, s := range d.On {
		if day >= s[0] && day < s[1] {
			return true
		}
	}
	return false
}

func (d Design) matrix() stats.Design {
	var out stats.Design
	for block, b := range append([]Design{d}, d.Also...) {
		span := math.Max(b.Days[len(b.Days)-1]-b.Days[0], 1)
		for _, day := range b.Days {
			row := []float64{1, 0}
			if b.on(day) {
				row[changeColumn] = 1
			}
			if d.Trend {
				row = append(row, day/span)
			}
			for other := range d.Also {
				own := 0.0
				if other+1 == block {
					own = 1
				}
				row = append(row, own)
			}
			out.T, out.X = append(out.T, day+apart*float64(block)), append(out.X, row)
		}
	}
	out.Y = make([]float64, len(out.T))
	return out
}

// fill draws errors for days in order.
func (n Noise) fill(days, y []float64, r *rand.Rand) {
	e := n.SD * r.NormFloat64()
	for i := range y {
		if i > 0 {
			q := 0.0
			if n.Phi > 0 {
				q = math.Pow(n.Phi, days[i]-days[i-1])
			}
			e = q*e + n.SD*math.Sqrt(1-q*q)*r.NormFloat64()
		}
		y[i] = e
	}
}
