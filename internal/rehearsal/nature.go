package rehearsal

import "math"

// stepsPerDay is the fineness of the mass balance and of the drawn paths.
const stepsPerDay = 12

// nature is what a tank does by itself. The paths are drawn before the run, one
// value a step, so that the same tank can be run again under other care.
type nature struct {
	litres float64 // of water, in truth

	calcify      []float64 // dKH a day at the reference saturation
	foodN, foodP []float64 // nitrate and phosphate made from food, mg/L a day
	takeN, takeP []float64 // removed, share of the level a day
	magSink      []float64 // magnesium lost apart from calcification, mg/L a day
	swell        []float64 // evaporation not yet made good: concentrations are higher by this share
	warmth, acid []float64 // temperature in °C and pH without their daily swing

	refAlk, refCal float64 // where calcify was measured
	order          float64 // of calcification in saturation; 0 when the corals do not care
	calPerDKH      float64
	magPerDKH      float64
	mediaFrom      []float64 // days on which phosphate media was renewed
	mediaTake      float64   // removal of fresh media, share a day
	denitrified    float64   // share of removed nitrate that gives its alkalinity back
	rockRate       float64   // phosphate exchange with rock, share a day
	rockRoom       float64   // how many times the water's phosphate the rock holds at the same level
	wetLoss        float64   // salt water lost and made good with fresh, share a day
	warmSwing      float64
	acidSwing      float64
}

// state is the water at a moment: dissolved matter per full volume, and what the rock holds, as the level it is at rest with.
type state struct {
	t    float64 // days
	c    levels
	rock float64
}

func at(path []float64, t float64) float64 {
	i := int(t * stepsPerDay)
	return path[max(0, min(i, len(path)-1))]
}

// advance runs the mass balance until t under constant feeds (a day).
func (n *nature) advance(s *state, t float64, feeds func(t float64) levels) {
	for s.t < t-1e-9 {
		next := math.Min(t, (math.Floor(s.t*stepsPerDay+1e-6)+1)/stepsPerDay)
		h := next - s.t
		k1, r1 := n.rates(*s, s.t, feeds(s.t))
		mid := *s
		for i := range nDissolved {
			mid.c[i] += k1[i] * h / 2
		}
		mid.rock += r1 * h / 2
		k2, r2 := n.rates(mid, s.t, feeds(s.t+h/2))
		for i := range nDissolved {
			s.c[i] = math.Max(0, s.c[i]+k2[i]*h)
		}
		s.rock = math.Max(0, s.rock+r2*h)
		s.t = next
	}
}

// rates are the changes a day of the dissolved matter and of the rock.
func (n *nature) rates(s state, t float64, feeds levels) (levels, float64) {
	d := feeds
	g := n.growth(s.c, t)
	fed, gone := at(n.foodN, t), at(n.takeN, t)*s.c[nit]
	exchange := n.rockRate * (s.c[pho] - s.rock)
	d[alk] -= g + dkhPerNO3*(fed-n.denitrified*gone)
	d[cal] -= g * n.calPerDKH
	d[mag] -= g*n.magPerDKH + at(n.magSink, t)
	d[nit] += fed - gone
	d[pho] += at(n.foodP, t) - (at(n.takeP, t)+n.media(t))*s.c[pho] - exchange
	for i := range nDissolved {
		d[i] -= n.wetLoss * s.c[i]
	}
	return d, exchange / n.rockRoom
}

// growth is calcification in dKH a day: more by day than by night (night share
// 35 %, common practice), rising with saturation, none where there is nothing
// to take, and chalk falling out of water that is far oversaturated.
func (n *nature) growth(c levels, t float64) float64 {
	light := 1 + 0.47*math.Sin(2*math.Pi*(t-0.25))
	sat := math.Max(0, c[alk]/n.refAlk) * math.Max(0, c[cal]/n.refCal)
	g := at(n.calcify, t) * light * math.Pow(math.Min(sat, 3), n.order)
	scarce := math.Min(1, math.Max(0, (c[alk]-2.5)/2.5)) * math.Min(1, math.Max(0, (c[cal]-220)/80))
	return g*scarce + 1.5*math.Max(0, c[alk]*c[cal]/4800-1)
}

// media is the removal by phosphate media, which tires over five weeks (common practice, no source).
func (n *nature) media(t float64) float64 {
	latest := math.Inf(-1)
	for _, from := range n.mediaFrom {
		if from <= t {
			latest = from
		}
	}
	return n.mediaTake * math.Exp(-(t-latest)/18)
}

// levels are the true concentrations, temperature and pH at the state.
func (n *nature) levels(s state) levels {
	out := s.c
	e := at(n.swell, s.t)
	for i := range nDissolved {
		out[i] *= 1 + e
	}
	day := math.Sin(2 * math.Pi * (s.t - 0.4))
	out[tmp] = at(n.warmth, s.t) + n.warmSwing*day
	out[acid] = at(n.acid, s.t) + n.acidSwing*day + 0.03*(out[alk]-8)
	return out
}

// replace exchanges a share of the tank's water for new water.
func (n *nature) replace(s *state, share float64, fresh levels) {
	e := at(n.swell, s.t)
	for i := range nDissolved {
		s.c[i] += share * (fresh[i] - s.c[i]*(1+e))
	}
}
