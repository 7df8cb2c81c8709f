package feeding

import (
	"math"
	"math/rand/v2"
	"slices"

	"driftline/internal/drift"
	"driftline/internal/food"
	"driftline/internal/standing"
	"driftline/units"
)

// Settling is where a level goes if all goes on as planned now, in the unit the
// keeper uses, and how long it takes to get there but for a twentieth.
type Settling struct {
	Mean, SD      float64
	P10, P50, P90 float64
	Unit          string
	Days          float64
	Below, Above  float64 // chance that it settles outside its band, on either side
	// Yield is the share of the food that ends in the water; false while the book
	// tells of too little food to learn it.
	Yield   standing.Estimate
	Learned bool
	// RockChance is how likely rock gives and takes of it by what the readings say,
	// and RockShare what part of the removal at the usual level that is.
	RockChance, RockShare float64
	// HoldsAim is how many times the food of now would settle at the aim; nil when
	// there is no aim or no food.
	HoldsAim *Times
	// Cut is the drained harvest a week that would settle it at the aim as fed now,
	// g, on top of what is cut out now; nil when none is needed.
	Cut *Times
}

// Times is a figure between two others that leave one case in ten each.
type Times struct {
	P10 float64 `json:"p10"`
	P50 float64 `json:"p50"`
	P90 float64 `json:"p90"`
}

const settleDraws = 2000

// leastYield keeps what would be divided by a yield of nearly nothing finite.
const leastYield = 0.03

// Settle works out where a quantity settles, from the engine's own removal.
func Settle(o *standing.Outset) *Settling {
	g, usual := o.Going(), o.State.UsualFood()
	drawn := o.State.Draw(settleDraws, rand.New(rand.NewPCG(1, 17)))
	levels, days := make([]float64, 0, settleDraws), make([]float64, 0, settleDraws)
	var feeds, cuts []float64
	aim, aimed := o.Aim()
	cut, _ := food.Cut(o.Quantity, 1)
	for _, d := range drawn.Draws {
		way := drawn.Ways[d.Way]
		k := way.Flow.Relax + g.Share
		if !(k > 0) {
			continue
		}
		over := 0.0
		if usual > 0 {
			over = d.Yield * (g.Food - usual)
		}
		gain := way.Flow.Relax*way.Ref - d.Demand + over + g.Given + g.Share*g.New
		levels, days = append(levels, math.Max(gain/k, drawn.Floor)), append(days, way.Rock.Settles(k))
		if !aimed {
			continue
		}
		surplus := gain - k*aim
		if g.Food > 0 && usual > 0 {
			feeds = append(feeds, math.Max(g.Food-surplus/math.Max(d.Yield, leastYield), 0)/g.Food)
		}
		if cut > 0 {
			cuts = append(cuts, 7*surplus*o.Litres()/1000/cut)
		}
	}
	if len(levels) == 0 {
		return nil
	}
	s := settled(o, levels)
	slices.Sort(days)
	s.Days = days[len(days)/2]
	s.Yield.Mean, s.Yield.SD, s.Learned = yieldOf(o.State)
	s.RockChance, s.RockShare = o.State.Rocky()
	if len(feeds) > 0 {
		s.HoldsAim = times(feeds)
	}
	if t := times(cuts); t != nil && t.P50 > 0 {
		t.P10 = math.Max(t.P10, 0)
		s.Cut = t
	}
	return s
}

func yieldOf(s *drift.State) (mean, sd float64, ok bool) {
	y, ok := s.Yield()
	return y.Mean, y.SD, ok
}

// settled tells the levels in the keeper's unit. The outermost hundredth on either
// side is left out of mean and deviation: rates of removal near nothing have no
// level to settle at.
func settled(o *standing.Outset, levels []float64) *Settling {
	slices.Sort(levels)
	n := len(levels)
	s := &Settling{Unit: o.Unit, P10: o.Shown(levels[n/10]), P50: o.Shown(levels[n/2]), P90: o.Shown(levels[n-1-n/10])}
	for _, v := range levels {
		if v < o.Limits.Low {
			s.Below += 1 / float64(n)
		}
		if v > o.Limits.High {
			s.Above += 1 / float64(n)
		}
	}
	middle := levels[n/100 : n-n/100]
	sum, squares := 0.0, 0.0
	for i, v := range middle {
		shown := o.Shown(v)
		d := shown - sum
		sum += d / float64(i+1)
		squares += d * (shown - sum)
	}
	s.Mean, s.SD = sum, math.Sqrt(squares/math.Max(float64(len(middle)-1), 1))
	return s
}

func times(v []float64) *Times {
	if len(v) == 0 {
		return nil
	}
	slices.Sort(v)
	n := len(v)
	return &Times{v[n/10], v[n/2], v[n-1-n/10]}
}

// nutrient is one of the two that food makes.
func nutrient(outsets []*standing.Outset, q units.Quantity) *standing.Outset {
	for _, o := range outsets {
		if o.Quantity == q {
			return o
		}
	}
	return nil
}
