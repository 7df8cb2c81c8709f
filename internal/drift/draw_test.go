package drift

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// Tanks drawn and followed one by one must have the distribution that the
// Kalman recursion of Forecast gives in closed form. The standard error of a
// sample quantile is √(p(1−p)/n)/density (Kendall & Stuart, The Advanced Theory
// of Statistics, vol. 1, section 10.10); four of them, with the density of a
// normal law of the same spread, is what is allowed.
func TestDrawsFollowTheForecast(t *testing.T) {
	values := []float64{8.2, 8.3, 8.1, 8.2, 8.4, 8.2, 8.1, 8.3, 8.2, 8.2}
	restless := calm(values...)
	restless.Habit.Restless = 0.6
	nutrient := calm(12, 14, 11, 13, 16, 12, 13, 15, 14, 13)
	nutrient.Habit, nutrient.Kits = HabitOf("nitrate", "mixed", 1), []Kit{{SD: 0.5, RelSD: 0.1, BiasSD: 1}}
	for name, c := range map[string]Case{"calm": calm(values...), "restless": restless, "skewed": nutrient, "falling far": stopped(20)} {
		s := analyse(t, c)
		const n, days = 20000, 40
		plan := Plan{Feeds: []Feed{{From: s.e.asOf, To: s.e.asOf + days, Rate: 0.3}}}
		want := s.Forecast(plan, days).Days
		got := followed(s, n, days, 0.3)
		for _, d := range []int{0, 1, 7, days} {
			for i, p := range Quantiles {
				z := quantileZ[i]
				density := math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) / want[d].SD
				slack := 4*math.Sqrt(p*(1-p)/n)/density + 0.02*want[d].SD
				if q := got[d][int(p*n)]; math.Abs(q-want[d].Q[i]) > slack {
					t.Errorf("%s, day %d, quantile %g: drawn %.4f, forecast %.4f ± %.4f", name, d, p, q, want[d].Q[i], slack)
				}
			}
		}
	}
}

// followed carries draws along day by day under a constant feed, by the formulas
// that Flow states, and returns the levels of each day in order.
func followed(s *State, n, days int, feed float64) [][]float64 {
	rng := rand.New(rand.NewPCG(1, 2))
	drawn := s.Draw(n, rng)
	out := make([][]float64, days+1)
	for d := range out {
		out[d] = make([]float64, n)
	}
	ways := drawn.Ways
	lasting := make([][]float64, len(ways))
	legs := make([][]Way, len(ways))
	for i, w := range ways {
		level, wander, was := w.Level, w.Wander, 0.0
		for range days {
			w = w.Eased(level, wander)
			p := w.Flow.Over(1)
			level = p.Keep*level + (1-p.Keep)*w.Ref - p.ByMean*w.Demand - p.ByWander*wander + feed*p.ByMean
			wander *= p.Rho
			now := math.Sqrt(sq(p.Keep*was) + (1-drawn.Restless)*p.QCCLevel)
			lasting[i], legs[i] = append(lasting[i], now-p.Keep*was), append(legs[i], w)
			was = now
		}
	}
	for k, x := range drawn.Draws {
		c, w := x.Level, x.Wander
		out[0][k] = max(c, drawn.Floor)
		for d, way := range legs[x.Way] {
			p := way.Flow.Over(1)
			v := p.QCC - (1-drawn.Restless)*p.QCCLevel
			z1, z2, root := rng.NormFloat64(), rng.NormFloat64(), math.Sqrt(max(v, 1e-30))
			c, w = p.Keep*c+(1-p.Keep)*way.Ref-p.ByMean*x.Demand-p.ByWander*w+feed*p.ByMean+root*z1+x.Lasting*lasting[x.Way][d],
				p.Rho*w+p.QCw/root*z1+math.Sqrt(max(p.Qww-sq(p.QCw/root), 0))*z2
			out[d+1][k] = max(c, drawn.Floor)
		}
	}
	for d := range out {
		slices.Sort(out[d])
		if drawn.Skewed {
			_, sd := moments(out[d])
			middle := out[d][n/2]
			for k, v := range out[d] {
				out[d][k] = max(Skew(v, middle, sd), drawn.Floor)
			}
		}
	}
	return out
}

func moments(v []float64) (mean, sd float64) {
	for _, x := range v {
		mean += x / float64(len(v))
	}
	for _, x := range v {
		sd += sq(x-mean) / float64(len(v))
	}
	return mean, math.Sqrt(sd)
}
