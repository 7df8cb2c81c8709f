package drift

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// ErrNoReadings says that a case has no reading up to the moment asked for.
var ErrNoReadings = errors.New("no reading yet")

// searchReadings is how many of the newest readings the spreads are found from:
// older ones tell of other regimes and cost time.
const searchReadings = 300

// engine is a case made ready: what does not depend on the spreads.
type engine struct {
	c          *Case
	habit      Habit
	asOf       float64
	start      float64
	ref        float64 // the tank's usual level
	startLevel float64
	biasVar    []float64
	readVar    []float64 // of each reading, by the kit's own account
	roundVar   []float64 // from rounding
	wideVar    []float64 // extra variance of a misread
	usualFood  float64   // on average over the days the case tells of
	exchanged  float64   // what water changes take a day of the usual level
}

// State is what the log says of a quantity at a moment.
type State struct {
	e      *engine
	mode   spreads
	points []point // design points over the spreads, with the belief as of the moment
	sites  []site
	jump   jump // of the likeliest course
}

// point is one possible set of spreads.
type point struct {
	s      spreads
	weight float64
	w      *walker // carried to as-of
	jump   jump
}

// jump loosens the demand at a moment by one standard deviation; none has size 0.
type jump struct{ at, size float64 }

// Analyse estimates the state as of a moment, in days from the origin of the
// case. Readings and events after it are ignored. It fails with ErrNoReadings
// when there is none, and with a sentence when the case is not in order or holds a
// figure that is not finite.
func Analyse(c Case, asOf float64) (*State, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	c = c.upTo(asOf)
	if len(c.Readings) == 0 {
		return nil, ErrNoReadings
	}
	e := newEngine(&c, asOf)
	s := &State{e: e}
	s.mode = e.search()
	s.sites = e.judge(s.mode)
	s.points = e.design(s.mode, s.sites)
	settle(s.sites, s.points)
	s.jump = likeliest(s.points)
	return s, nil
}

// upTo leaves out what came later.
func (c Case) upTo(asOf float64) Case {
	r, _ := slices.BinarySearchFunc(c.Readings, asOf, func(r Reading, t float64) int { return later(r.T, t) })
	c.Readings = c.Readings[:r]
	i, _ := slices.BinarySearchFunc(c.Inputs, asOf, func(r Input, t float64) int { return later(r.T, t) })
	c.Inputs = c.Inputs[:i]
	w, _ := slices.BinarySearchFunc(c.Changes, asOf, func(r Change, t float64) int { return later(r.T, t) })
	c.Changes = c.Changes[:w]
	return c
}

func later(t, asOf float64) int {
	if t > asOf {
		return 1
	}
	return -1
}

// check refuses what the engine cannot work with.
func (c *Case) check() error {
	last := math.Inf(-1)
	for i, r := range c.Readings {
		if !finite(r.T, r.Value) || r.T < last || r.Kit < 0 || r.Kit >= len(c.Kits) {
			return fmt.Errorf("reading %d: time %g, value %g, kit %d: expected finite figures in order of time and a known kit", i, r.T, r.Value, r.Kit)
		}
		last = r.T
	}
	last = math.Inf(-1)
	for i, in := range c.Inputs {
		if !finite(in.T, in.Delta, in.SD) || in.T < last {
			return fmt.Errorf("input %d: time %g, amount %g: expected finite figures in order of time", i, in.T, in.Delta)
		}
		last = in.T
	}
	last = math.Inf(-1)
	for i, w := range c.Changes {
		if !finite(w.T, w.Value, w.SD) || w.T < last || !(w.Fraction >= 0 && w.Fraction <= 1) || w.Mix >= len(c.Mixes) {
			return fmt.Errorf("water change %d: time %g, fraction %g: expected finite figures in order of time and a fraction from 0 to 1", i, w.T, w.Fraction)
		}
		last = w.T
	}
	for i, f := range c.Feeds {
		if !finite(f.Rate) || math.IsNaN(f.From) || math.IsNaN(f.To) {
			return fmt.Errorf("feed %d: rate %g: expected a finite rate", i, f.Rate)
		}
	}
	return checkFood(c.Food)
}

func finite(v ...float64) bool {
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

func newEngine(c *Case, asOf float64) *engine {
	e := &engine{c: c, asOf: asOf, start: c.Readings[0].T}
	levels := rollingMedians(values(c.Readings), 2)
	e.ref = median(append([]float64(nil), levels...))
	e.usualFood = usualFood(c.Food, e.start, asOf)
	e.exchanged = e.byChanges()
	e.habit = c.Habit.at(e.ref).supplied(e.supply()).fed(e.usualFood, e.ref, e.exchanged)
	e.startLevel = levels[0]
	for _, k := range c.Kits {
		e.biasVar = append(e.biasVar, sq(k.BiasSD)+sq(k.RelBiasSD*e.ref))
	}
	e.setNoise(levels)
	return e
}

// supply is what doses and feeds bring a day, on average from the first reading to now.
func (e *engine) supply() float64 {
	sum, days := 0.0, e.asOf-e.start
	if days <= 0 {
		days = 1
	}
	for _, f := range e.c.Feeds {
		sum += f.Rate * math.Max(0, math.Min(f.To, e.start+days)-math.Max(f.From, e.start))
	}
	if days < 7 {
		return sum / days // one dose would count for many
	}
	for _, in := range e.c.Inputs {
		if in.T >= e.start {
			sum += in.Delta
		}
	}
	return sum / days
}

// setNoise works out the error of each reading from what the level was about
// then. The level is taken over a stretch of readings, for an error that fell
// with each low reading would give low readings too much weight.
func (e *engine) setNoise(levels []float64) {
	n := len(e.c.Readings)
	levels = rollingMedians(levels, 6)
	e.readVar, e.roundVar, e.wideVar = make([]float64, n), make([]float64, n), make([]float64, n)
	for i, r := range e.c.Readings {
		k := e.c.Kits[r.Kit]
		e.readVar[i] = sq(k.SD) + sq(k.RelSD*levels[i])
		e.roundVar[i] = sq(k.Resolution) / 12
		if e.readVar[i]+e.roundVar[i] <= 0 {
			e.readVar[i] = sq(1e-4*levels[i] + 1e-9)
		}
		// A slip of the pen may be off by any factor: its tail must reach it.
		e.wideVar[i] = 30*(e.readVar[i]+e.roundVar[i]) + sq(0.1*levels[i]) + sq(r.Value-levels[i])
	}
}

// rollingMedians gives a robust value at each place, from it and up to so many
// neighbours on either side, and nothing less than nothing.
func rollingMedians(v []float64, reach int) []float64 {
	out := make([]float64, len(v))
	near := make([]float64, 0, 2*reach+1)
	for i := range v {
		near = append(near[:0], v[max(0, i-reach):min(len(v), i+reach+1)]...)
		out[i] = math.Max(median(near), 0)
	}
	return out
}

func values(rs []Reading) []float64 {
	out := make([]float64, len(rs))
	for i, r := range rs {
		out[i] = r.Value
	}
	return out
}

func median(v []float64) float64 {
	slices.Sort(v)
	n := len(v)
	return (v[(n-1)/2] + v[n/2]) / 2
}
