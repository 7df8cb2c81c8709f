package food

import (
	"slices"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/units"
)

// Share is a share by mass with the range that holds nine cases in ten.
type Share struct{ Mean, Low, High float64 }

// SD is its standard deviation, by the width of the range.
func (s Share) SD() float64 { return (s.High - s.Low) / (2 * 1.6449) }

// Percent is a share given in per cent.
func Percent(mean, low, high float64) Share { return Share{mean / 100, low / 100, high / 100} }

// Food is what a food holds, as it is fed.
type Food struct {
	Name     string
	Moisture Share
	Protein  Share
	P        Share
	Source   string
	aliases  []string
}

// Shares by mass, from atomic weights (IUPAC 2021).
const (
	NitrogenInNitrate     = 14.007 / 62.004
	PhosphorusInPhosphate = 30.974 / 94.970
)

// AdultRation is the daily share of their weight that adult display fish are fed as dry
// food: common practice, no source (0.4 to 1.5 %).
const AdultRation = 0.007

// Makes is what one gram of the food would make of nitrate or phosphate, in grams, if
// all of it ended as that; 0 for other quantities.
func (f Food) Makes(q units.Quantity) float64 { return made(q, f.N().Mean, f.P.Mean) }

func made(q units.Quantity, n, p float64) float64 {
	switch q {
	case units.Nitrate:
		return n / NitrogenInNitrate
	case units.Phosphate:
		return p / PhosphorusInPhosphate
	}
	return 0
}

// nitrogenInProtein is the share of nitrogen in crude protein, by the definition of
// crude protein as N x 6.25.
const nitrogenInProtein = 0.16

// N is the share of nitrogen.
func (f Food) N() Share {
	return Share{f.Protein.Mean * nitrogenInProtein, f.Protein.Low * nitrogenInProtein, f.Protein.High * nitrogenInProtein}
}

// builtIn are the usual kinds. Of published figures the source is named; ranges and
// figures from memory are marked.
var builtIn = []Food{
	{Name: "dry pellet", Moisture: Percent(8, 5, 10), Protein: Percent(47, 43, 58), P: Percent(1.4, 1.3, 1.7),
		Source: "protein and phosphorus: FAO AFFRIS, European seabass, table 5; moisture from memory", aliases: []string{"pellet", "granul"}},
	{Name: "flake", Moisture: Percent(7, 5, 9), Protein: Percent(44, 38, 50), P: Percent(1.2, 0.9, 1.6),
		Source: "from memory; the label says it better", aliases: []string{"flake"}},
	{Name: "frozen adult artemia", Moisture: Percent(90, 87, 93), Protein: Percent(5.5, 3.5, 7), P: Percent(0.11, 0.07, 0.16),
		Source: "protein: Dhont & Van Stappen 2003, as quoted, at 10 % dry matter; the rest from memory", aliases: []string{"artemia", "brine shrimp"}},
	{Name: "frozen mysis", Moisture: Percent(86, 82, 90), Protein: Percent(9.5, 7, 12), P: Percent(0.16, 0.1, 0.22),
		Source: "from memory, drained", aliases: []string{"mysis", "mysid"}},
	{Name: "krill", Moisture: Percent(80, 77.9, 83.1), Protein: Percent(13.5, 11.9, 15.4), P: Percent(0.25, 0.2, 0.35),
		Source: "food-chemistry handbook tables of Antarctic krill, as quoted; phosphorus from memory", aliases: []string{"krill"}},
	{Name: "white fish flesh", Moisture: Percent(80, 77, 82), Protein: Percent(17.5, 16, 19.5), P: Percent(0.2, 0.16, 0.25),
		Source: "food tables, from memory", aliases: []string{"fish flesh", "white fish", "cod"}},
	{Name: "nori", Moisture: Percent(5.2, 3.66, 6.74), Protein: Percent(34.5, 32.16, 36.88), P: Percent(0.55, 0.32, 0.86),
		Source: "Hwang, Ki & Chung 2013, Prev. Nutr. Food Sci. 18:139; phosphorus: Wheeler & Bjornsater 1992, J. Phycol.", aliases: []string{"nori", "laver", "dried alga"}},
}

// Find gives what a food holds at a moment: by the keeper's own declaration, else
// the usual kind its name tells.
func Find(f *book.Facts, name string, at time.Time) (Food, bool) {
	kind, known := usual(name)
	if f == nil {
		return kind, known
	}
	b, declared := f.FoodAt(name, at)
	if !declared {
		return kind, known
	}
	own, whole := labelled(b)
	if !whole {
		return kind, known // it says what a portion weighs, no more
	}
	if own.P.Mean == 0 && known {
		own.P, own.Source = kind.P, own.Source+"; phosphorus as in "+kind.Name
	}
	return own, true
}

// labelDoubt is by what share what is in the bag is off its label; a judgement: labels
// give least or most of each.
const labelDoubt = 0.1

// labelled is a food by its label; false when it says neither protein nor nitrogen.
func labelled(b *book.Food) (Food, bool) {
	protein, ok := b.Protein.Float()
	if nitrogen, said := b.Nitrogen.Float(); said {
		protein, ok = nitrogen/nitrogenInProtein, true
	}
	share := func(v float64) Share { return Percent(v, v*(1-1.6449*labelDoubt), v*(1+1.6449*labelDoubt)) }
	moisture, _ := b.Moisture.Float()
	phosphorus, _ := b.Phosphorus.Float()
	return Food{Name: b.Name, Moisture: share(moisture), Protein: share(protein), P: share(phosphorus), Source: "its label"}, ok
}

// KindNames are the names of the usual kinds, for a person.
func KindNames() string {
	var names []string
	for _, f := range builtIn {
		names = append(names, f.Name)
	}
	return strings.Join(names, ", ")
}

// Kinds are the usual kinds.
func Kinds() []Food { return slices.Clone(builtIn) }

// usual is the built-in kind that a name tells.
func usual(name string) (Food, bool) {
	key := book.Key(name)
	best, length := -1, 0
	for i, f := range builtIn {
		for _, a := range append([]string{f.Name}, f.aliases...) {
			if strings.Contains(key, a) && len(a) > length {
				best, length = i, len(a)
			}
		}
	}
	if best < 0 {
		return Food{}, false
	}
	return builtIn[best], true
}
