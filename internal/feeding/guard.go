package feeding

import (
	"math"
	"time"

	"driftline/internal/animals"
	"driftline/internal/book"
	"driftline/internal/food"
)

// Fish are the fish of a tank as far as their mass is known.
type Fish struct {
	Count   float64
	Grams   float64 // all of them together
	Upkeep  float64 // protein a day they need to keep their weight, g
	Unknown int     // entries whose count or mass nobody has said
}

// upkeepPerKg is the protein that a percula clownfish needs a day to keep its weight at
// 27 °C, g per kg of body mass to the power 0.70 (Lupatsch and others 2013, Isr. J.
// Aquac.). Other small fish are taken to be like it.
const upkeepPerKg, upkeepPower = 0.43, 0.70

// Upkeep is the protein a day, g, that so many fish of a mass need.
func Upkeep(count, gramsEach float64) float64 {
	return count * upkeepPerKg * math.Pow(gramsEach/1000, upkeepPower)
}

// FishOf adds up the fish of a tank as of a moment; those only planned are not there yet.
func FishOf(facts *book.Facts, tank string, at time.Time) Fish {
	var f Fish
	for _, a := range animals.Register(facts, at) {
		switch {
		case a.Group != "fish" || book.Key(a.Tank) != book.Key(tank) || !a.Here():
		case !a.Counted || a.Grams <= 0:
			f.Unknown++
		default:
			f.Count += a.Count
			f.Grams += a.Count * a.Grams
			f.Upkeep += Upkeep(a.Count, a.Grams)
		}
	}
	return f
}

// Protein is what a span's food brought a day, g.
func Protein(f *book.Facts, eaten []Eaten, days float64, at time.Time) Mass {
	var sum Mass
	for _, e := range eaten {
		kind, ok := food.Find(f, e.Food, at)
		if !ok || !(days > 0) {
			continue
		}
		sum = plus(sum, Mass{e.Grams * kind.Protein.Mean / days, e.Grams * kind.Protein.SD() / days})
	}
	return sum
}

// Ration is how a tank's food stands to its fish.
type Ration struct {
	Fish    Fish
	Protein Mass    // a day
	Share   float64 // of the upkeep; 0 when no fish are known
	Percent float64 // food as fed, per cent of the fish's mass a day
	Short   bool    // less than upkeep, nine chances in ten
}

// RationOf holds what was fed over a span against what the fish need.
func RationOf(f *book.Facts, t *book.TankFacts, from, to time.Time) Ration {
	eaten := Meals(f, t, from, to)
	days := to.Sub(from).Hours() / 24
	r := Ration{Fish: FishOf(f, t.Tank.Name, to), Protein: Protein(f, eaten, days, to)}
	if r.Fish.Upkeep > 0 && days > 0 {
		r.Share = r.Protein.Mean / r.Fish.Upkeep
		r.Short = r.Protein.Mean+1.2816*r.Protein.SD < r.Fish.Upkeep
		for _, e := range eaten {
			r.Percent += 100 * e.Grams / days / r.Fish.Grams
		}
	}
	return r
}
