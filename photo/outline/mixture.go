package outline

import "math"

// tint is a colour in which light and hue are apart: logarithms of light, so that
// shadow moves all alike.
type tint [3]float64

func tintOf(v [3]float64) tint {
	const dim = 0.01
	r, g, b := math.Log(v[0]+dim), math.Log(v[1]+dim), math.Log(v[2]+dim)
	return tint{(r + g + b) / 3, (r - g) / math.Sqrt2, (r + g - 2*b) / math.Sqrt(6)}
}

const (
	parts     = 4
	emRounds  = 10
	leastVar  = 0.004
	strayness = 0.02 // share of colours that belong to nothing
)

// mixture is a sum of normal laws over tints.
type mixture struct {
	weight [parts]float64
	mean   [parts]tint
	vari   [parts]tint
}

// learn fits a mixture by expectation and maximisation, begun from the tints in order
// of their light.
func learn(all []tint) *mixture {
	m := &mixture{}
	for k := range parts {
		m.weight[k] = 1.0 / parts
	}
	share := make([][parts]float64, len(all))
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range all {
		lo, hi = math.Min(lo, v[0]), math.Max(hi, v[0])
	}
	for i, v := range all {
		k := min(int((v[0]-lo)/math.Max(hi-lo, 1e-9)*parts), parts-1)
		share[i][k] = 1
	}
	m.maximise(all, share)
	for range emRounds {
		for i, v := range all {
			total := 0.0
			for k := range parts {
				share[i][k] = m.weight[k] * m.density(k, v)
				total += share[i][k]
			}
			for k := range parts {
				share[i][k] /= math.Max(total, 1e-300)
			}
		}
		m.maximise(all, share)
	}
	return m
}

func (m *mixture) maximise(all []tint, share [][parts]float64) {
	for k := range parts {
		var sum, squares tint
		total := 1e-6
		for i, v := range all {
			w := share[i][k]
			total += w
			for c := range 3 {
				sum[c] += w * v[c]
				squares[c] += w * v[c] * v[c]
			}
		}
		m.weight[k] = total / (float64(len(all)) + parts*1e-6)
		for c := range 3 {
			m.mean[k][c] = sum[c] / total
			m.vari[k][c] = math.Max(squares[c]/total-m.mean[k][c]*m.mean[k][c], 0) + leastVar
		}
	}
}

func (m *mixture) density(k int, v tint) float64 {
	e, det := 0.0, 1.0
	for c := range 3 {
		d := v[c] - m.mean[k][c]
		e += d * d / m.vari[k][c]
		det *= m.vari[k][c]
	}
	return math.Exp(-e/2) / math.Sqrt(det)
}

// log is the log density of a tint.
func (m *mixture) log(v tint) float64 {
	sum := 0.0
	for k := range parts {
		sum += m.weight[k] * m.density(k, v)
	}
	return math.Log((1-strayness)*sum + strayness*0.05)
}
