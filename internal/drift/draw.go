package drift

import (
	"math"
	"math/rand/v2"

	"driftline/statespace"
)

// Way is one set of spreads that the log leaves possible: how the level goes on
// under it, and the middle of what is believed under it as of the moment.
type Way struct {
	Flow                  statespace.Flow
	Ref                   float64 // level at which relaxation adds nothing to the demand
	Usual                 float64 // the tank's usual level
	Level, Demand, Wander float64
	Yield                 float64 // of food
	Rock                  Rock    // whose exchange comes on top of the demand
	RockLevel             float64 // the level it is at rest with
}

// Draw is one tank that the log leaves possible. What it takes a day is
// Demand + Wander + Relax·(level − Ref) of its way, less Yield times what the food
// gives over the usual.
type Draw struct {
	Way     int
	Level   float64
	Demand  float64 // long-run
	Wander  float64
	Rock    float64   // the level the rock is at rest with
	Yield   float64   // share of the food that ends in the water, not learned where the case tells of none
	Lasting float64   // how many standard deviations of the level's lasting noise it gathers
	Mixes   []float64 // standing error of each mix of the case
}

// Drawn is a sample of the tanks that the log leaves possible, those of one way
// together.
type Drawn struct {
	Ways  []Way
	Draws []Draw

	Restless float64 // share of the level's noise that is movement, the rest lasts
	Floor    float64
	Skewed   bool // quantiles of a forecast take the shape that Skew gives
}

// Draw takes n tanks from what the log leaves possible. Following them by their
// ways has the distribution of Forecast.
func (s *State) Draw(n int, rng *rand.Rand) Drawn {
	h := s.e.habit
	out := Drawn{Ways: make([]Way, len(s.points)), Draws: make([]Draw, 0, n), Restless: h.Restless, Floor: h.Floor, Skewed: h.Skewed}
	due := 0.0
	for i, p := range s.points {
		x := p.w.f.X
		out.Ways[i] = Way{Flow: p.w.flow, Ref: p.w.ref, Usual: s.e.ref,
			Level: x[stateLevel], Demand: x[p.w.l.mean], Wander: x[stateWander], Rock: p.w.rock}
		if p.w.rock.Rate > 0 {
			out.Ways[i].RockLevel = x[stateRock]
		}
		if y := p.w.l.yield; y >= 0 {
			out.Ways[i].Yield = x[y]
		}
		due += p.weight * float64(n)
		last := int(math.Round(due))
		if i == len(s.points)-1 {
			last = n
		}
		d := newDrawer(p.w)
		for j := range d.shift {
			d.shift[j] = rng.Float64()
		}
		for number := 0; len(out.Draws) < last; number++ {
			x := d.draw(number)
			out.Draws = append(out.Draws, Draw{Way: i, Level: x.level, Demand: x.demand, Wander: x.wander, Rock: x.rock, Yield: x.yield,
				Lasting: rng.NormFloat64(), Mixes: append([]float64(nil), x.mixes...)})
		}
	}
	if out.yieldless(s) {
		for i := range out.Draws {
			out.Draws[i].Yield = h.Yield + h.YieldSD*rng.NormFloat64()
		}
		for i := range out.Ways {
			out.Ways[i].Yield = h.Yield
		}
	}
	for i := range out.Draws {
		out.Draws[i].Yield = max(out.Draws[i].Yield, 0)
	}
	return out
}

// yieldless says whether the case told of no food, so that nothing was learned of
// its yield.
func (d *Drawn) yieldless(s *State) bool { return len(s.e.c.Food) == 0 && s.e.habit.Yield > 0 }

// Eased is the way with the straight line of demand over level bent where the
// level goes far below the usual one, keeping the demand where it stands: nothing
// is taken from water that holds nothing.
func (w Way) Eased(level, wander float64) Way {
	w.Flow.Relax, w.Ref = eased(w.Flow.Relax, w.Ref, w.Usual, level, w.Demand+wander)
	return w
}

func eased(relax, ref, usual, level, use float64) (float64, float64) {
	if usual <= 0 || level > far*usual || level <= 0 {
		return relax, ref
	}
	demand := use + relax*(level-ref)
	slope := demand / level
	if slope <= relax {
		return relax, ref
	}
	return slope, level - (demand-use)/slope
}

// Skew gives a level of a skewed quantity the shape of a log-normal law with the
// same median and about the same width: feeding, uptake and colour tests err by
// factors.
func Skew(level, median, sd float64) float64 {
	if median <= 0 || sd <= 0 {
		return level
	}
	k := min(sd/median, mostSkew)
	return median + sd*math.Expm1(k*(level-median)/sd)/k
}
