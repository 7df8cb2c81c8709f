package drift

import "math"

// spreads are the four unknown figures of the model, as logarithms of their
// ratio to the prior median, so that 0 is the prior's middle.
type spreads [4]float64

const (
	wander = iota
	relax
	scatter
	noise
)

// prior is the log density of the spreads before any reading, up to a constant.
func (h Habit) prior(s spreads) float64 {
	z := [4]float64{s[wander] / h.WanderSpread, s[relax] / h.RelaxSpread, s[scatter] / h.ScatterSpread, s[noise] / h.NoiseSpread}
	sum := 0.0
	for _, v := range z {
		sum -= v * v / 2
	}
	return sum
}

func (h Habit) spreadSDs() spreads {
	return spreads{h.WanderSpread, h.RelaxSpread, h.ScatterSpread, h.NoiseSpread}
}

// tilt is what one scalar belief becomes when an awkward reading is folded in.
type tilt struct {
	mean, variance float64
	logEvidence    float64
	misread        float64 // chance that the reading is wrong
}

// tiltReading folds a reading y of variance r into a belief about what it should
// show: right with variance r, or wrong (the share eps of readings) with the much
// wider variance r+wide.
func tiltReading(mean, variance, y, r, wide, eps float64) tilt {
	right := gaussPart(mean, variance, y, r, 1-eps)
	wrong := gaussPart(mean, variance, y, r+wide, eps)
	return mixParts(right, wrong)
}

// tiltBelow folds in "under the limit", seen through noise of variance r.
func tiltBelow(mean, variance, limit, r, eps float64) tilt {
	right := belowPart(mean, variance, limit, r, 1-eps)
	wrong := part{logWeight: math.Log(eps / 2), mean: mean, variance: variance}
	return mixParts(right, wrong)
}

type part struct{ logWeight, mean, variance float64 }

func gaussPart(mean, variance, y, r, share float64) part {
	s := variance + r
	k := variance / s
	d := y - mean
	return part{
		logWeight: math.Log(share) - 0.5*(math.Log(2*math.Pi*s)+d*d/s),
		mean:      mean + k*d, variance: variance * r / s,
	}
}

// belowPart is the probit update (Rasmussen & Williams 2006, Gaussian Processes
// for Machine Learning, eqs. 3.58, 3.82 and 3.85).
func belowPart(mean, variance, limit, r, share float64) part {
	s := math.Sqrt(variance + r)
	t := (limit - mean) / s
	logZ := logNormalCDF(t)
	ratio := math.Exp(-t*t/2-logZ) / math.Sqrt(2*math.Pi)
	v := variance - variance*variance/(s*s)*ratio*(t+ratio)
	return part{
		logWeight: math.Log(share) + logZ,
		mean:      mean - variance*ratio/s, variance: math.Max(v, 1e-9*variance),
	}
}

// abovePart is the normal law cut off below a floor, by its moments.
func abovePart(mean, variance, floor float64) part {
	p := belowPart(-mean, variance, -floor, 0, 1)
	p.mean = -p.mean
	return p
}

func mixParts(right, wrong part) tilt {
	top := math.Max(right.logWeight, wrong.logWeight)
	a, b := math.Exp(right.logWeight-top), math.Exp(wrong.logWeight-top)
	p := b / (a + b)
	mean := (1-p)*right.mean + p*wrong.mean
	dr, dw := right.mean-mean, wrong.mean-mean
	return tilt{
		mean:        mean,
		variance:    (1-p)*(right.variance+dr*dr) + p*(wrong.variance+dw*dw),
		logEvidence: top + math.Log(a+b),
		misread:     p,
	}
}

// logNormalCDF is log Φ(t), by the asymptotic series far in the lower tail.
func logNormalCDF(t float64) float64 {
	if t > -8 {
		return math.Log(0.5 * math.Erfc(-t/math.Sqrt2))
	}
	i := 1 / (t * t)
	return -t*t/2 - math.Log(-t*math.Sqrt(2*math.Pi)) + math.Log1p(-i*(1-3*i))
}

// site is a Gaussian stand-in for a reading: seen says how the passes use it.
type site struct {
	use      siteUse
	y, r     float64
	misread  float64
	expected Estimate
}

type siteUse uint8

const (
	sitePlain siteUse = iota // an ordinary reading
	siteTilt                 // may be wrong or below a limit: fold in by moments
	siteFixed                // y and r stand in for it
	siteSkip                 // carries nothing
)

// standIn is the Gaussian that turns the belief (mean, variance) into the tilted
// one; ok is false where no positive variance does.
func standIn(mean, variance float64, t tilt) (y, r float64, ok bool) {
	if t.variance >= variance*(1-1e-9) {
		return 0, 0, false
	}
	r = variance * t.variance / (variance - t.variance)
	return mean + (t.mean-mean)*(variance+r)/variance, r, true
}
