package standing

import (
	"math"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/drift"
	"driftline/units"
)

// kit is one instrument of a case. The same name is a new kit from the moment
// it is declared with another method or unit; other figures only update it.
type kit struct {
	name       string // "" for readings that name none
	unit       string // last typed
	latest     time.Time
	decimals   int // the most typed
	declared   *book.Instrument
	errors     drift.Kit
	lowerLimit float64 // default unit; 0 when none
}

type kitID struct{ name, method, unit string }

// kitsOf sorts the readings by kit: the kits, and the kit of each reading.
func (s *survey) kitsOf(q units.Quantity) (kits []kit, of []int) {
	index := map[kitID]int{}
	for _, r := range s.readings[q] {
		id := kitID{name: book.Key(r.name)}
		d, declared := asOf(s.shelf.instrumentVersions(r.name, q), r.at)
		if declared {
			id.method, id.unit = book.Key(d.Body.Method), d.Body.Unit
		}
		k, seen := index[id]
		if !seen {
			k = len(kits)
			index[id] = k
			kits = append(kits, kit{name: r.name})
		}
		kits[k].note(r)
		if declared {
			kits[k].declared = d.Body // the newest figures hold for all of it
		}
		of = append(of, k)
	}
	for i := range kits {
		kits[i].complete(q)
	}
	return kits, of
}

func (k *kit) note(r rawReading) {
	k.unit, k.latest, k.name = r.unit, r.at, r.name
	k.decimals = max(k.decimals, r.decimals)
}

// complete fills in the kit's errors: as declared, what is missing from its method.
func (k *kit) complete(q units.Quantity) {
	method, unit := "", k.unit
	if k.declared != nil {
		method = k.declared.Method
		if u, err := units.ParseUnit(q, k.declared.Unit); err == nil && strings.TrimSpace(k.declared.Unit) != "" {
			unit = u
		}
	}
	e := methodErrors(q, method)
	k.errors = drift.Kit{SD: e.sd, RelSD: e.rel, Resolution: min(e.resolution, k.step(q)), BiasSD: e.bias, RelBiasSD: e.relBias}
	if k.declared == nil {
		return
	}
	k.declare(q, unit)
	k.errors.SD = max(k.errors.SD, e.sd/20, 1e-4*math.Abs(natural[q])) // no kit repeats itself exactly, whatever is claimed
}

// step is the finest step the kit's readings were typed to: a scale is at
// least as fine as what was read off it.
func (k *kit) step(q units.Quantity) float64 {
	return spread(q, math.Pow(10, -float64(k.decimals)), k.unit)
}

func (k *kit) declare(q units.Quantity, unit string) {
	d := k.declared
	sd, hasSD := positive(d.SD)
	rel, hasRel := positive(d.RelativeSD)
	if hasSD || hasRel { // repetition is told by either or both
		k.errors.SD, k.errors.RelSD = spread(q, sd, unit), rel
	}
	if bias, ok := positive(d.BiasSD); ok {
		k.errors.BiasSD, k.errors.RelBiasSD = spread(q, bias, unit), 0
	}
	if step, ok := positive(d.Resolution); ok {
		k.errors.Resolution = spread(q, step, unit)
	}
	if limit, ok := positive(d.LowerLimit); ok {
		if v, err := units.Convert(q, limit, unit, q.Default()); err == nil {
			k.lowerLimit = v
		}
	}
}

// positive reads a figure that must not be below zero.
func positive(n book.Number) (float64, bool) {
	v, ok := n.Float()
	return v, ok && v >= 0
}

// spread turns a standard deviation or a step into the default unit.
func spread(q units.Quantity, sd float64, unit string) float64 {
	if unit == q.Default() || sd == 0 {
		return sd
	}
	at, err := units.Convert(q, natural[q], q.Default(), unit)
	if err != nil {
		return sd
	}
	out, err := units.ConvertSD(q, at, sd, unit, q.Default())
	if err != nil {
		return sd
	}
	return out
}

// engineReadings are the readings as the engine takes them. A value under the
// kit's declared lower limit counts as "under that limit".
func engineReadings(raw []rawReading, kits []kit, of []int) []drift.Reading {
	out := make([]drift.Reading, len(raw))
	for i, r := range raw {
		out[i] = drift.Reading{T: r.t, Value: r.value, Kit: of[i], Below: r.below}
		if limit := kits[of[i]].lowerLimit; !r.below && r.value < limit {
			out[i].Value, out[i].Below = limit, true
		}
	}
	return out
}
