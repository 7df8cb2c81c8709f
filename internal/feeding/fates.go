package feeding

import (
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/food"
	"driftline/units"
)

// fate is what becomes of the food: shares of its nitrogen and phosphorus. What
// dissolves is the rest.
type fate struct{ keptN, keptP, solidN, solidP, leftN, leftP food.Share }

// Defaults for fish of a display tank that hardly grow and for growing ones:
// judgements from published budgets, which are of growing fish (Porter and others
// 1987, Aquaculture 66: of the nitrogen eaten by seabream 30 % kept, 10 % in faeces;
// Cai and others 2016: under 20 % kept; Mente and others 2006, Aquac. Int. 14:499: of
// the phosphorus fed to salmon 28 % lost dissolved).
var (
	adults = fate{keptN: food.Percent(15, 5, 25), keptP: food.Percent(20, 10, 35), solidN: food.Percent(15, 8, 25), solidP: food.Percent(40, 25, 55),
		leftN: food.Percent(5, 1, 12), leftP: food.Percent(5, 1, 12)}
	growing = fate{keptN: food.Percent(27, 20, 35), keptP: food.Percent(30, 20, 45), solidN: food.Percent(12, 7, 20), solidP: food.Percent(35, 22, 50),
		leftN: food.Percent(5, 1, 12), leftP: food.Percent(5, 1, 12)}
)

// GrowingStock is the preference that says a tank's fish are growing: "growing stock
// in NAME", with any value but "no".
const GrowingStock = "growing stock in "

func fateOf(f *book.Facts, tank string) (fate, bool) {
	v := strings.TrimSpace(f.Preferences[book.Key(GrowingStock+tank)])
	if v != "" && !strings.EqualFold(v, "no") {
		return growing, true
	}
	return adults, false
}

// fates splits the food into what becomes of it; the parts add up to it exactly.
func (d fate) fates(eaten Flow) []Flow {
	kept := Flow{"kept by fish", part(eaten.N, d.keptN), part(eaten.P, d.keptP)}
	solid := Flow{"passed as solids", part(eaten.N, d.solidN), part(eaten.P, d.solidP)}
	left := Flow{"never eaten", part(eaten.N, d.leftN), part(eaten.P, d.leftP)}
	rest := func(whole, a, b, c Mass) Mass {
		return Mass{whole.Mean - a.Mean - b.Mean - c.Mean, hypot(hypot(a.SD, b.SD), hypot(c.SD, whole.SD))}
	}
	return []Flow{kept, {"excreted, dissolved", rest(eaten.N, kept.N, solid.N, left.N), rest(eaten.P, kept.P, solid.P, left.P)}, solid, left}
}

// Solids siphoned off or caught in socks: dry share of the drained mass and what the
// dry holds; from memory.
var (
	dryOfSludge    = food.Percent(10, 6, 15)
	sludgeNitrogen = food.Percent(3, 2, 5)
	sludgePhosphor = food.Percent(1, 0.5, 1.5)
)

// A skimmer's share of the food's nitrogen and phosphorus. It removes 20 to 35 % of
// the organic carbon of the water (evaluations of skimmers published online in 2009
// and 2010, not refereed); its share of the nitrogen is a guess.
var (
	skimmedN = food.Percent(15, 5, 30)
	skimmedP = food.Percent(10, 3, 20)
)

// skims says whether a skimmer ran: one is declared and no line says that it is off.
func skims(t *book.TankFacts) bool {
	for _, d := range t.Equipment {
		if strings.Contains(book.Key(d.Body.Type), "skimmer") || strings.Contains(book.Key(d.Body.Name), "skimmer") {
			return true
		}
	}
	return false
}

// waste are words for what is taken out that is not a growth.
var waste = []string{"detritus", "sludge", "sock", "siphon", "waste", "mulm"}

// removed is what was cut out, and what was siphoned or caught.
func removed(t *book.TankFacts, from, to time.Time) (harvest, siphon Flow) {
	crop, sludge := 0.0, 0.0
	for i := range t.Events {
		l := &t.Events[i]
		b, ok := l.Body.(*book.Harvest)
		if !ok || l.At.Before(from) || !l.At.Before(to) {
			continue
		}
		v, known := b.WetMass.Float()
		g, err := units.Grams(v, b.Unit)
		if !known || err != nil {
			continue
		}
		if isWaste(b.What) {
			sludge += g
		} else {
			crop += g
		}
	}
	dry := Mass{crop * food.DryOfWet.Mean, crop * food.DryOfWet.SD()}
	dirt := Mass{sludge * dryOfSludge.Mean, sludge * dryOfSludge.SD()}
	return Flow{"harvest", part(dry, food.NitrogenDry), part(dry, food.PhosphorusDry)},
		Flow{"siphon and socks", part(dirt, sludgeNitrogen), part(dirt, sludgePhosphor)}
}

func isWaste(what string) bool {
	key := book.Key(what)
	for _, w := range waste {
		if strings.Contains(key, w) {
			return true
		}
	}
	return false
}
