package standing

import (
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/units"
)

// survey is one pass over the events of a tank, sorted by what they can move.
type survey struct {
	facts    *book.Facts
	tank     *book.TankFacts
	asOf     time.Time
	shelf    *shelf
	readings map[units.Quantity][]rawReading
	doses    []rawDose
	changes  []rawChange
	schedule []Due
	volumes  []book.Declared[float64] // litres
	unitMemo map[[2]string]string
}

type rawReading struct {
	line     string
	at       time.Time
	t        float64
	value    float64 // default unit
	unit     string  // as typed, canonical
	name     string  // of the instrument, as typed
	decimals int
	below    bool
}

// rawDose is an amount of a substance: grams or millilitres, the other zero.
type rawDose struct {
	line      string
	at        time.Time
	t         float64
	kind      string // "dose" or "top-off"
	substance string
	grams, mL float64
	amount    [2]string // as typed, with its unit
}

type rawChange struct {
	line        string
	at          time.Time
	t           float64
	litres      float64
	mix         string
	composition []book.Contained
	label       string
}

func newSurvey(f *book.Facts, t *book.TankFacts, shelf *shelf, asOf time.Time) *survey {
	s := &survey{facts: f, tank: t, asOf: asOf, shelf: shelf, volumes: volumesOf(t),
		readings: map[units.Quantity][]rawReading{}, unitMemo: map[[2]string]string{}}
	quantities := map[string]units.Quantity{}
	for i := range t.Events {
		e := &t.Events[i]
		if e.At.After(asOf) {
			break // events are in order
		}
		switch b := e.Body.(type) {
		case *book.Reading:
			s.addReading(e, b, quantities)
		case *book.Dose:
			s.addDose(e, b)
		case *book.TopOff:
			s.addTopOff(e, b)
		case *book.WaterChange:
			s.addChange(e, b)
		}
	}
	s.schedule = Schedule(t, asOf)
	return s
}

func (s *survey) addReading(e *book.Line, b *book.Reading, memo map[string]units.Quantity) {
	q, ok := memo[b.Quantity]
	if !ok {
		var err error
		if q, err = units.ParseQuantity(b.Quantity); err != nil {
			return // the book names such a line among its problems
		}
		memo[b.Quantity] = q
	}
	v, ok := b.Value.Float()
	unit, known := s.unit(q, b.Unit)
	if !ok || !known {
		return
	}
	inDefault, err := readingIn(q, v, unit, q.Default(), b)
	if err != nil {
		return
	}
	s.readings[q] = append(s.readings[q], rawReading{
		line: e.ID, at: e.At, t: dayOf(e.At), value: inDefault, unit: unit,
		name: strings.TrimSpace(b.Instrument), decimals: decimalsOf(b.Value), below: b.Below,
	})
}

// unit remembers the canonical spelling of a unit as typed; "" marks one that
// cannot be read.
func (s *survey) unit(q units.Quantity, typed string) (string, bool) {
	key := [2]string{string(q), typed}
	u, ok := s.unitMemo[key]
	if !ok {
		if got, err := units.ParseUnit(q, typed); err == nil {
			u = got
		}
		s.unitMemo[key] = u
	}
	return u, u != ""
}

func decimalsOf(n book.Number) int {
	mantissa, _, _ := strings.Cut(strings.ToLower(string(n)), "e")
	if _, after, ok := strings.Cut(mantissa, "."); ok {
		return len(after)
	}
	return 0
}

func (s *survey) addDose(e *book.Line, b *book.Dose) {
	grams, mL, ok := amountOf(b.Amount, b.Unit)
	if !ok {
		return
	}
	s.doses = append(s.doses, rawDose{line: e.ID, at: e.At, t: dayOf(e.At), kind: "dose", substance: b.Substance,
		grams: grams, mL: mL, amount: [2]string{string(b.Amount), b.Unit}})
}

// addTopOff counts a top-off only for what is dissolved in it: the water itself
// replaces what evaporated and moves nothing.
func (s *survey) addTopOff(e *book.Line, b *book.TopOff) {
	v, ok := b.Volume.Float()
	per, known := b.Concentration.Float()
	if !ok || !known || strings.TrimSpace(b.Substance) == "" {
		return
	}
	litres, err := units.Litres(v, b.Unit)
	if err != nil {
		return
	}
	d := rawDose{line: e.ID, at: e.At, t: dayOf(e.At), kind: "top-off", substance: b.Substance,
		amount: [2]string{string(b.Volume), b.Unit}}
	// The log gives the concentration in g or mL a litre without saying which;
	// grams fit whatever has a strength by the gram.
	d.grams, d.mL = litres*per, litres*per
	s.doses = append(s.doses, d)
}

// label is how a deed reads: "dose, 40 g magnesium chloride".
func (d *rawDose) label(known bool) string {
	text := d.kind + ", " + d.amount[0] + " " + d.amount[1]
	if d.kind == "top-off" {
		text += " with"
	}
	text += " " + strings.TrimSpace(d.substance)
	if !known {
		text += " (what it contains is not declared)"
	}
	return text
}

func (s *survey) addChange(e *book.Line, b *book.WaterChange) {
	v, ok := b.Volume.Float()
	if !ok {
		return
	}
	litres, err := units.Litres(v, b.Unit)
	if err != nil || !(litres > 0) {
		return
	}
	label := "water change, " + string(b.Volume) + " " + b.Unit
	if mix := strings.TrimSpace(b.Mix); mix != "" {
		label += " of " + mix
	}
	s.changes = append(s.changes, rawChange{line: e.ID, at: e.At, t: dayOf(e.At), litres: litres, mix: b.Mix,
		composition: b.Composition, label: label})
}

// amountOf reads an amount as grams or as millilitres.
func amountOf(n book.Number, unit string) (grams, mL float64, ok bool) {
	v, ok := n.Float()
	if !ok {
		return 0, 0, false
	}
	if g, err := units.Grams(v, unit); err == nil {
		return g, 0, true
	}
	if l, err := units.Litres(v, unit); err == nil {
		return 0, l * 1000, true
	}
	return 0, 0, false
}

// raises is what an amount adds to the level of the whole tank, in the default
// unit; known is false when the substance's content is not known for that kind
// of amount.
func (s *survey) raises(q units.Quantity, substance string, grams, mL float64, at time.Time) (delta float64, known bool) {
	litres := s.litresAt(at)
	if q == units.Salinity || !(litres > 0) {
		return 0, true // a dose's salt is far below what a keeper can measure
	}
	st := s.shelf.strength(substance, q, at)
	switch {
	case grams > 0 && st.KnownPerGram:
		return grams * st.PerGram / litres, true
	case mL > 0 && st.KnownPerML:
		return mL * st.PerML / litres, true
	}
	return 0, false
}

// litresAt is the tank's net volume at a time; 0 when it cannot be read.
func (s *survey) litresAt(t time.Time) float64 {
	d, _ := asOf(s.volumes, t)
	return d.Body
}

// volumesOf reads the volumes a tank was declared with.
func volumesOf(t *book.TankFacts) []book.Declared[float64] {
	out := make([]book.Declared[float64], 0, 1)
	for _, d := range t.Declared {
		if d.Body != nil {
			out = append(out, book.Declared[float64]{From: d.From, Body: Litres(d.Body)})
		}
	}
	if len(out) == 0 {
		out = append(out, book.Declared[float64]{Body: Litres(&t.Tank)})
	}
	return out
}

// Litres is the water of a tank; 0 when that is not known.
func Litres(t *book.Tank) float64 {
	v, ok := t.NetVolume.Float()
	if !ok {
		return 0
	}
	litres, err := units.Litres(v, t.Unit)
	if err != nil || !(litres > 0) {
		return 0
	}
	return litres
}

// quantities lists what the tank has a reading or a keeper's band of, in the
// usual order.
func (s *survey) quantities() []units.Quantity {
	var out []units.Quantity
	for _, q := range units.Quantities() {
		if len(s.readings[q]) > 0 || keeperBand(s.tank, q) != nil {
			out = append(out, q)
		}
	}
	return out
}

// shownUnit is the unit of the keeper's band, else of the newest reading.
func (s *survey) shownUnit(q units.Quantity) string {
	if b := keeperBand(s.tank, q); b != nil {
		if u, ok := s.unit(q, b.Unit); ok {
			return u
		}
	}
	if r := s.readings[q]; len(r) > 0 {
		return r[len(r)-1].unit
	}
	return q.Default()
}
