package rehearsal

import "math"

// The baseline is what a keeper without a tool has: the last reading, with its
// own scatter. It is a normal law around the last reading, the same at every
// horizon, cut off at zero. Its standard deviation is that of the last ten
// readings around their mean, without those further from their median than six
// times the median distance, and at least what the kit says of itself
// (repeatability and step/√12).
//
// Its best reasonable form was sought among these: that one, and the root mean
// square of the last ten differences between successive readings (those above
// four times the median left out), whole and divided by √2. Over 250 tanks the
// first scored best, or within a hundredth of the best, in every family.

// A Baseline gives quantiles from the readings so far.
type Baseline func(seen []test, k *kit) [7]float64

// BaselineNames are the forms tried, best first as measured.
var BaselineNames = []string{"around the mean", "differences", "differences/√2"}

var baselines = map[string]Baseline{
	"differences":     func(seen []test, k *kit) [7]float64 { return lastWith(seen, k, 1) },
	"differences/√2":  func(seen []test, k *kit) [7]float64 { return lastWith(seen, k, math.Sqrt2) },
	"around the mean": lastAroundMean,
}

func lastWith(seen []test, k *kit, over float64) [7]float64 {
	seen = seen[max(0, len(seen)-11):]
	var sizes []float64
	for i := 1; i < len(seen); i++ {
		sizes = append(sizes, math.Abs(seen[i].v-seen[i-1].v))
	}
	limit := 4 * median(sizes)
	sum, n := 0.0, 0
	for _, d := range sizes {
		if d <= limit || limit == 0 {
			sum += d * d
			n++
		}
	}
	sd := 0.0
	if n > 0 {
		sd = math.Sqrt(sum/float64(n)) / over
	}
	return bell(seen[len(seen)-1].v, math.Max(sd, floor(k, seen)))
}

func lastAroundMean(seen []test, k *kit) [7]float64 {
	seen = seen[max(0, len(seen)-10):]
	var values, far []float64
	for _, t := range seen {
		values = append(values, t.v)
	}
	middle := median(values)
	for _, v := range values {
		far = append(far, math.Abs(v-middle))
	}
	limit := 6 * median(far)
	m, s, n := 0.0, 0.0, 0.0
	for i, v := range values {
		if far[i] <= limit || limit == 0 {
			n++
			step := (v - m) / n
			s += (v - m) * (v - m - step)
			m += step
		}
	}
	sd := math.Sqrt(s / math.Max(1, n-1))
	return bell(seen[len(seen)-1].v, math.Max(sd, floor(k, seen)))
}

// floor is the least scatter a baseline may claim: what the kit says of itself.
func floor(k *kit, seen []test) float64 {
	return math.Hypot(math.Hypot(k.sd, k.relSD*seen[len(seen)-1].v), k.resolution/math.Sqrt(12))
}

func median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	s := append([]float64(nil), x...)
	for i := 1; i < len(s); i++ {
		for j := i; j > 0 && s[j] < s[j-1]; j-- {
			s[j], s[j-1] = s[j-1], s[j]
		}
	}
	return (s[(len(s)-1)/2] + s[len(s)/2]) / 2
}
