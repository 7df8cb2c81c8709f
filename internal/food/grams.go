package food

import (
	"time"

	"driftline/internal/book"
	"driftline/units"
)

// GramsOf is what an amount of a food weighs: as weighed, or by what its declaration
// says a cube, spoon or pinch of it does.
func GramsOf(f *book.Facts, food string, amount book.Number, unit string, at time.Time) (float64, bool) {
	v, ok := amount.Float()
	if !ok || v < 0 {
		return 0, false
	}
	if g, err := units.Grams(v, unit); err == nil {
		return g, true
	}
	b, declared := f.FoodAt(food, at)
	if !declared || book.Key(b.Portion) != book.Key(unit) || unit == "" {
		return 0, false
	}
	each, ok := b.PortionGrams.Float()
	return v * each, ok
}
