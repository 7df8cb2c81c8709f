package substance

import "math"

// steps are what a person weighs or measures out: up to an amount, in g or mL,
// to so much exactly.
var steps = []struct{ upTo, step float64 }{
	{1, 0.001}, {10, 0.01}, {100, 0.1}, {1000, 1}, {math.Inf(1), 5},
}

// Round gives an amount, in g or mL, as a person would weigh it: within
// half a part in a hundred, never to zero.
func Round(amount float64) float64 {
	for _, s := range steps {
		if math.Abs(amount) <= s.upTo {
			if n := math.Round(amount / s.step); n != 0 || amount == 0 {
				return tidy(n, s.step)
			}
			return math.Copysign(s.step, amount)
		}
	}
	return amount
}

// tidy multiplies without leaving 0.30000000000000004.
func tidy(n, step float64) float64 {
	if step < 1 {
		return n / math.Round(1/step)
	}
	return n * step
}

// Step is how finely Round weighs near an amount.
func Step(amount float64) float64 {
	for _, s := range steps {
		if math.Abs(amount) <= s.upTo {
			return s.step
		}
	}
	return 1
}
