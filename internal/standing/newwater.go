package standing

import (
	"math"
	"sort"

	"driftline/internal/book"
	"driftline/units"
)

// What new salt water holds when nobody has said: natural sea water at S 35
// with the doubt of an unknown salt. Common practice; the majors from Millero
// et al. 2008.
var unstated = map[units.Quantity]Estimate{
	units.Salinity: {35, 0.8}, units.Alkalinity: {8, 1.5}, units.Calcium: {420, 30}, units.Magnesium: {1310, 70},
	units.Potassium: {400, 25}, units.Strontium: {8, 2}, units.Boron: {4.6, 1.5}, units.Iodine: {0.06, 0.03},
}

// nutrientDoubt is how much of a nutrient new water may hold when its mix does
// not name it, in default units; common practice.
var nutrientDoubt = map[units.Quantity]float64{
	units.Nitrate: 0.2, units.Nitrite: 0.01, units.TotalAmmonia: 0.02, units.Phosphate: 0.005, units.Silicate: 0.05,
}

// Standing errors of a mix whose composition is declared: measured by the
// keeper or printed on the bucket. Common practice.
const (
	mixRelativeSD      = 0.035
	mixSalinitySD      = 0.4 // PSU
	mixNutrientRelSD   = 0.15
	ownCompositionOnce = 3 // a composition or mix used fewer times carries its own doubt instead of a shared one
	sharedMixes        = 4 // standing errors the engine follows in one case
)

// water is what new water holds of a quantity.
type water struct {
	value, sd float64
	group     string // water of the same group shares its standing error
}

// newWater finds what the water of a change holds: the composition of its own
// line, else its mix as declared by then, else an unstated salt.
func (s *survey) newWater(q units.Quantity, c rawChange) water {
	if len(c.composition) > 0 {
		if v, ok := s.composed(q, c.composition); ok {
			return water{v, mixDoubt(q, v), "own|" + formatKey(v)}
		}
		return s.unnamedIn(q, c.composition, "own|")
	}
	if d, ok := asOf(s.shelf.mixVersions(c.mix), c.at); ok {
		group := "mix|" + book.Key(c.mix)
		if salt := book.Key(d.Body.Salt); salt != "" {
			group = "salt|" + salt
		}
		if v, ok := s.composed(q, d.Body.Composition); ok {
			if d.Body.Salt == "" {
				group += "|" + formatKey(v)
			}
			return water{v, mixDoubt(q, v), group}
		}
		return s.unnamedIn(q, d.Body.Composition, group)
	}
	return s.unnamedIn(q, nil, "unstated|"+book.Key(c.mix))
}

// composed reads a quantity from a composition.
func (s *survey) composed(q units.Quantity, composition []book.Contained) (float64, bool) {
	for _, c := range composition {
		cq, err := units.ParseQuantity(c.Quantity)
		if err != nil || cq != q {
			continue
		}
		v, ok := c.Value.Float()
		if !ok {
			return 0, false
		}
		out, err := toDefault(q, v, c.Unit)
		return out, err == nil
	}
	return 0, false
}

// unnamedIn is a quantity the composition does not name: none of a nutrient,
// else natural water scaled to the composition's salinity.
func (s *survey) unnamedIn(q units.Quantity, composition []book.Contained, group string) water {
	if sd, ok := nutrientDoubt[q]; ok {
		return water{0, sd, group + "|none"}
	}
	e, ok := unstated[q]
	if !ok {
		return water{natural[q], math.Abs(natural[q]), group + "|none"}
	}
	if sal, ok := s.composed(units.Salinity, composition); ok && q != units.Salinity && sal > 0 && sal < 50 {
		return water{e.Mean * sal / 35, e.SD * sal / 35, group + "|none"}
	}
	return water{e.Mean, e.SD, group + "|none"}
}

func mixDoubt(q units.Quantity, v float64) float64 {
	if q == units.Salinity {
		return mixSalinitySD
	}
	if floor, ok := nutrientDoubt[q]; ok {
		return math.Hypot(floor, mixNutrientRelSD*v)
	}
	return mixRelativeSD * math.Abs(v)
}

func formatKey(v float64) string { return book.Key(trimFloat(v)) }

// mixGroup is water whose standing error is the same in every change.
type mixGroup struct {
	sd   float64
	uses int
}

func (m *matter) group(w water) int {
	i, ok := m.groupIndex[w.group]
	if !ok {
		i = len(m.groups)
		m.groupIndex[w.group] = i
		m.groups = append(m.groups, mixGroup{})
	}
	m.groups[i].sd = max(m.groups[i].sd, w.sd)
	m.groups[i].uses++
	return i
}

// sharedGroups picks the groups whose standing error the engine follows, the
// most used first, and maps every group to its place in the case or to -1.
func (m *matter) sharedGroups() []int {
	byUse := make([]int, len(m.groups))
	place := make([]int, len(m.groups))
	for i := range byUse {
		byUse[i], place[i] = i, -1
	}
	sort.SliceStable(byUse, func(i, j int) bool { return m.groups[byUse[i]].uses > m.groups[byUse[j]].uses })
	for _, i := range byUse {
		if m.groups[i].uses < ownCompositionOnce || len(m.kase.Mixes) == sharedMixes {
			break
		}
		place[i] = len(m.kase.Mixes)
		m.kase.Mixes = append(m.kase.Mixes, m.groups[i].sd)
	}
	return place
}
