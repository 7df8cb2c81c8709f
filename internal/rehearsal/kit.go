package rehearsal

import (
	"math"
	"math/rand/v2"
	"strconv"

	"driftline/internal/book"
)

// kit is an instrument with what it claims and what it really does. Figures are
// in the unit of the simulation; said turns them into the unit on the bottle.
type kit struct {
	name, method string
	q            ion
	said         spoken
	resolution   float64
	sd, relSD    float64 // as claimed
	biasSD       float64
	relBiasSD    float64   // for quantities whose kits err in proportion; no claim in the log, the method's default
	limit        float64   // lowest value it can tell
	card         []float64 // steps of a colour card
	silent       bool      // the log names only the method

	// What only the simulation knows.
	offset, scale float64 // standing bias, and in proportion
	unrest        float64 // true repeatability over the claimed one
}

// draw settles how this very kit errs.
func (k *kit) draw(r *rand.Rand) {
	k.offset = k.biasSD * r.NormFloat64()
	k.scale = k.relBiasSD * r.NormFloat64()
	k.unrest = spread(r, 1, 0.2)
}

// newLot is a refill of the same make: it sits off by a little more or less.
func (k *kit) newLot(r *rand.Rand) {
	k.offset += 0.3 * k.biasSD * r.NormFloat64()
	k.scale += 0.3 * k.relBiasSD * r.NormFloat64()
}

// result is what a test shows.
type result struct {
	value float64 // in the kit's unit
	text  string
	below bool
}

// read tests water of the true level.
func (k *kit) read(level float64, r *rand.Rand) result {
	sd := k.unrest * math.Hypot(k.sd, k.relSD*level)
	v := level*(1+k.scale) + k.offset + sd*r.NormFloat64()
	return k.show(v)
}

// show is the value as the scale or the card shows it.
func (k *kit) show(v float64) result {
	if len(k.card) > 0 {
		v = nearest(k.card, v)
	}
	if v < k.limit {
		return k.say(k.limit, true)
	}
	return k.say(math.Max(0, v), false)
}

func (k *kit) say(v float64, below bool) result {
	v *= k.said.times
	step := k.resolution * k.said.times
	if step <= 0 {
		step = 0.01
	}
	decimals := places(step)
	if len(k.card) == 0 && !below {
		v = math.Round(v/step) * step
	}
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	v, _ = strconv.ParseFloat(text, 64)
	return result{v, text, below}
}

// misread is a test gone wrong: a wild value, a slip of the pen, a wrong step of the card.
func (k *kit) misread(level float64, r *rand.Rand) result {
	good := k.read(level, r)
	v := good.value / k.said.times
	switch {
	case len(k.card) > 0 && chance(r, 0.7):
		return k.show(stepOff(k.card, v, r))
	case chance(r, 0.3):
		return k.slip(good, r)
	}
	sd := math.Hypot(k.sd, k.relSD*level)
	far := between(r, 4, 15) * math.Max(sd, 0.02*level)
	if chance(r, 0.5) && far < v {
		far = -far
	}
	return k.show(v + far)
}

// slip writes two digits the wrong way round, or one of them wrong.
func (k *kit) slip(good result, r *rand.Rand) result {
	b := []byte(good.text)
	var digits []int
	for i, c := range b {
		if c >= '0' && c <= '9' {
			digits = append(digits, i)
		}
	}
	if len(digits) < 2 {
		return good
	}
	i := r.IntN(len(digits) - 1)
	a, c := digits[i], digits[i+1]
	if b[a] != b[c] && (i > 0 || b[c] != '0') {
		b[a], b[c] = b[c], b[a]
	} else {
		b[a] = byte('1' + r.IntN(9))
	}
	v, _ := strconv.ParseFloat(string(b), 64)
	return result{v, strconv.FormatFloat(v, 'f', decimalsOf(good.text), 64), false}
}

// declare is the kit's line of the book.
func (k *kit) declare() *book.Instrument {
	in := &book.Instrument{Name: k.name, Quantity: ionNames[k.q], Method: k.method, Unit: k.said.unit}
	if k.silent {
		return in
	}
	in.Resolution = number(k.resolution * k.said.times)
	in.SD = number(k.sd * k.said.times)
	in.RelativeSD = number(k.relSD)
	in.BiasSD = number(k.biasSD * k.said.times)
	in.LowerLimit = number(k.limit * k.said.times)
	return in
}

// number is a figure of three digits, nothing for zero.
func number(v float64) book.Number {
	if v == 0 {
		return ""
	}
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	return book.Number(strconv.FormatFloat(v, 'f', -1, 64))
}

// fixed is a figure with so many decimals.
func fixed(v float64, decimals int) book.Number {
	return book.Number(strconv.FormatFloat(v, 'f', decimals, 64))
}

func nearest(card []float64, v float64) float64 {
	best := card[0]
	for _, c := range card {
		if math.Abs(c-v) < math.Abs(best-v) {
			best = c
		}
	}
	return best
}

func stepOff(card []float64, v float64, r *rand.Rand) float64 {
	for i, c := range card {
		if math.Abs(c-nearest(card, v)) < 1e-12 {
			j := i + 1
			if i == len(card)-1 || (i > 0 && chance(r, 0.5)) {
				j = i - 1
			}
			return card[j]
		}
	}
	return v
}

// places is how many decimals a scale of this step is written with.
func places(step float64) int {
	for d := range 6 {
		if x := step * math.Pow10(d); math.Abs(x-math.Round(x)) < 1e-6*x {
			return d
		}
	}
	return 3
}

func decimalsOf(text string) int {
	for i := range text {
		if text[i] == '.' {
			return len(text) - i - 1
		}
	}
	return 0
}
