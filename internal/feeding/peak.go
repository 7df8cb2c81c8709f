package feeding

import (
	"fmt"
	"math"
	"slices"
)

// Meal is one meal of a day: when, in hours from midnight, and its share of the day's
// food.
type Meal struct{ Hour, Share float64 }

// EvacuationRate is the rate at which a stomach empties, per hour, at a temperature in
// °C for a prey item of so many grams: Re = 0.049 exp(0.072 T - 0.060 ln PS), from 22
// species of fish; about half of what differs between meals is explained (He &
// Wurtsbaugh 1993, An empirical model of gastric evacuation rates for fish and an
// analysis of digestion in piscivorous brown trout, Trans. Am. Fish. Soc. 122:717).
func EvacuationRate(tempC, preyGrams float64) (float64, error) {
	if !(tempC >= 4 && tempC <= 32) || !(preyGrams > 0 && preyGrams < 1000) {
		return 0, fmt.Errorf("%g °C with items of %g g: expected 4 to 32 °C and items above 0 g", tempC, preyGrams)
	}
	return 0.049 * math.Exp(0.072*tempC-0.060*math.Log(preyGrams)), nil
}

// Excretion is how what a day's meals leave dissolved comes over the day: the share
// of the day's excretion an hour, at so many moments evenly over the day. Excretion is
// taken to follow what leaves the stomach, every day alike; what fish excrete at rest
// is left out.
func Excretion(meals []Meal, rate float64, moments int) []float64 {
	out := make([]float64, moments)
	for _, m := range meals {
		for i := range out {
			since := math.Mod(24*float64(i)/float64(moments)-m.Hour+48, 24)
			out[i] += m.Share * rate * math.Exp(-rate*since) / -math.Expm1(-24*rate)
		}
	}
	return out
}

// PeakOverMean is how many times the day's average excretion the worst hour is.
func PeakOverMean(meals []Meal, rate float64) float64 {
	return 24 * slices.Max(Excretion(meals, rate, 24*60))
}

// Spread is so many equal meals between two hours of the day.
func Spread(meals int, from, to float64) []Meal {
	out := make([]Meal, meals)
	for i := range out {
		out[i] = Meal{Hour: from, Share: 1 / float64(meals)}
		if meals > 1 {
			out[i].Hour += (to - from) * float64(i) / float64(meals-1)
		}
	}
	return out
}
