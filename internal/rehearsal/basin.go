package rehearsal

import (
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"driftline/internal/book"
)

// basin is a tank in the course of a run: its water, what reaches it, and the
// log its keeper writes. Times are days from the origin, midnight of the first day.
type basin struct {
	name   string
	origin time.Time
	litres float64 // as the keeper believes
	n      *nature
	s      state

	feeds  []*feed
	hands  []*habit
	kits   [nIons]*kit
	salt   *salt
	handy  *rand.Rand // weighing, measuring out
	tester *rand.Rand // readings
	ids    *rand.Rand
	wrong  float64 // share of misreads

	lines    []book.Line
	declared map[string]bool
	truths   []moment
	tests    [nIons][]test
	mute     bool // keeps no lines: a rerun to look at the truth
}

// moment is the truth at one time; around a sudden change there are two.
type moment struct {
	t float64
	v levels
}

// test is a reading as the keeper remembers it, in the unit of the simulation.
type test struct {
	t, v    float64
	below   bool
	misread bool
	line    string
}

// feed is a machine: what is declared, and what really runs.
type feed struct {
	name    string
	what    substance
	amount  float64 // a portion, as declared
	every   float64 // days between portions
	from    float64
	potency float64                 // strength of the stock over the label
	wear    func(t float64) float64 // delivered over declared
	share   float64                 // automatic water change: part of the water a portion replaces
}

// salt is the make-up water: what its label says and what a batch really is.
type salt struct {
	name     string
	label    levels
	truth    levels
	says     []ion
	declared bool
}

// habit is hand work that is declared as a routine.
type habit struct {
	name   string
	what   *substance // nil for a water change
	amount float64
	litres float64
	every  float64
	hour   float64 // of the day
	last   float64 // when it was done last
	logged string  // "top-off" when it is written down as that
}

func newBasin(name string, origin time.Time, litres float64, n *nature, start levels, seed uint64) *basin {
	b := &basin{name: name, origin: origin, litres: litres, n: n, declared: map[string]bool{},
		handy: stream(seed, 11), tester: stream(seed, 12), ids: stream(seed, 13)}
	b.s = state{c: start, rock: start[pho]}
	b.mark()
	return b
}

func stream(seed, which uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, which)) }

func (b *basin) when(t float64) time.Time {
	return b.origin.Add(time.Duration(math.Round(t*24*60)) * time.Minute)
}

func (b *basin) days(at time.Time) float64 { return at.Sub(b.origin).Hours() / 24 }

func (b *basin) mark() { b.truths = append(b.truths, moment{b.s.t, b.n.levels(b.s)}) }

// until lets the tank run, keeping the truth at every step of six hours and at t.
func (b *basin) until(t float64) {
	const every = 0.25
	for b.s.t < t-1e-9 {
		next := math.Min(t, (math.Floor(b.s.t/every+1e-6)+1)*every)
		b.n.advance(&b.s, next, b.inflow)
		b.mark()
	}
}

// inflow is what the machines bring a day.
func (b *basin) inflow(t float64) (out levels) {
	for _, f := range b.feeds {
		if t < f.from {
			continue
		}
		portions := f.wear(t) / f.every
		if f.share > 0 {
			for i := range nDissolved {
				out[i] += portions * f.share * (b.salt.truth[i] - b.s.c[i])
			}
			continue
		}
		gain := f.what.raises(b.n.litres)
		for i := range nDissolved {
			out[i] += portions * f.amount * f.potency * gain[i]
		}
	}
	return out
}

// add puts so much of a substance in, as it was meant; the scale and the spoon err.
func (b *basin) add(what substance, amount float64) {
	amount *= 1 + 0.02*b.handy.NormFloat64()
	gain := what.raises(b.n.litres)
	for i := range nDissolved {
		b.s.c[i] += amount * gain[i]
	}
	b.mark()
}

// renew changes so many litres, measured in buckets.
func (b *basin) renew(litres float64) {
	share := litres * (1 + 0.03*b.handy.NormFloat64()) / b.n.litres
	b.n.replace(&b.s, math.Min(0.9, share), b.salt.truth)
	b.mark()
}

func (b *basin) log(l book.Line) string {
	if b.mute {
		return ""
	}
	if l.ID == "" {
		l.ID = lineID(l.At, b.ids)
	}
	b.lines = append(b.lines, l)
	return l.ID
}

// event is a line of this tank at t.
func (b *basin) event(t float64, kind book.Kind, body book.Body, note string) string {
	return b.log(book.Line{Kind: kind, At: b.when(t), Tank: b.name, Body: body, Note: note})
}

// once declares something by name unless it is known.
func (b *basin) once(t float64, kind book.Kind, name string, body book.Body) {
	if b.declared[string(kind)+"|"+name] {
		return
	}
	b.declared[string(kind)+"|"+name] = true
	b.log(book.Line{Kind: kind, At: b.when(t), Body: body})
}

// test takes a reading with the kit at hand and writes it down.
func (b *basin) test(q ion, note string) test {
	k := b.kits[q]
	level := b.n.levels(b.s)[q]
	bad := chance(b.tester, b.wrong)
	var res result
	if bad {
		res = k.misread(level, b.tester)
	} else {
		res = k.read(level, b.tester)
	}
	return b.note(q, k, res, bad, note)
}

func (b *basin) note(q ion, k *kit, res result, bad bool, note string) test {
	out := test{t: b.s.t, v: res.value / k.said.times, below: res.below, misread: bad}
	b.once(b.s.t, book.KindInstrument, k.name+"|"+ionNames[q], k.declare())
	out.line = b.event(b.s.t, book.KindReading, &book.Reading{Quantity: ionNames[q], Value: book.Number(res.text),
		Unit: k.said.unit, Instrument: k.name, Below: res.below}, note)
	b.tests[q] = append(b.tests[q], out)
	return out
}

// dose adds a substance by hand and writes it down unless forgotten.
func (b *basin) dose(what substance, amount float64, forgotten bool, note string) {
	said := fixed(amount, what.said)
	amount = floatOf(said)
	if amount <= 0 {
		return
	}
	b.once(b.s.t, book.KindSubstance, what.line.Name, what.line)
	b.add(what, amount)
	if !forgotten {
		b.event(b.s.t, book.KindDose, &book.Dose{Substance: what.line.Name, Amount: said, Unit: what.unit}, note)
	}
}

// change changes water by hand and writes it down.
func (b *basin) change(litres float64, note string) {
	said := fixed(litres, 0)
	b.declareSalt()
	b.renew(floatOf(said))
	b.event(b.s.t, book.KindWaterChange, &book.WaterChange{Volume: said, Unit: "L", Mix: b.salt.name}, note)
}

func (b *basin) declareSalt() {
	if b.salt.declared {
		return
	}
	b.salt.declared = true
	m := &book.Mix{Name: b.salt.name}
	for _, q := range b.salt.says {
		m.Composition = append(m.Composition, book.Contained{Quantity: ionNames[q], Value: number(b.salt.label[q]), Unit: ionUnits[q]})
		if m.Composition[len(m.Composition)-1].Value == "" {
			m.Composition[len(m.Composition)-1].Value = "0"
		}
	}
	b.log(book.Line{Kind: book.KindMix, At: b.when(b.s.t), Body: m})
}

// declareFeed writes the routine of a machine as it is set now.
func (b *basin) declareFeed(f *feed, note string) {
	r := &book.Routine{Name: f.name, Action: "dose", EveryDays: number(f.every), Automatic: true}
	if f.share > 0 {
		b.declareSalt()
		r.Action, r.Volume, r.Unit, r.Mix = "water change", fixed(f.amount, 1), "L", b.salt.name
	} else {
		b.once(b.s.t, book.KindSubstance, f.what.line.Name, f.what.line)
		r.Substance, r.Amount, r.Unit = f.what.line.Name, fixed(f.amount, f.what.said), f.what.unit
	}
	from := b.when(b.s.t)
	r.From = &from
	b.event(b.s.t, book.KindRoutine, r, note)
}

func (b *basin) declareHabit(h *habit) {
	r := &book.Routine{Name: h.name, Action: "dose", EveryDays: number(h.every)}
	if h.what == nil {
		b.declareSalt()
		r.Action, r.Volume, r.Unit, r.Mix = "water change", fixed(h.litres, 0), "L", b.salt.name
	} else {
		b.once(b.s.t, book.KindSubstance, h.what.line.Name, h.what.line)
		r.Substance, r.Amount, r.Unit = h.what.line.Name, fixed(h.amount, h.what.said), h.what.unit
	}
	from := b.when(b.s.t)
	r.From = &from
	b.event(b.s.t, book.KindRoutine, r, "")
}

// perform does a habit's work now.
func (b *basin) perform(h *habit, forgotten bool) {
	h.last = b.s.t
	switch {
	case h.what == nil && !forgotten:
		b.change(h.litres, "")
	case h.what == nil:
		b.renew(h.litres)
	case h.logged == "top-off":
		b.topOff(h)
	default:
		b.dose(*h.what, h.amount, forgotten, "")
	}
}

// topOff gives limewater: saturated water holds about 1.5 g of lime a litre (common practice, no source).
func (b *basin) topOff(h *habit) {
	const strength = 1.5
	b.add(*h.what, h.amount)
	b.event(b.s.t, book.KindTopOff, &book.TopOff{Volume: fixed(h.amount/strength, 1), Unit: "L",
		Substance: h.what.line.Name, Concentration: fixed(strength, 1)}, "")
}

// level is the true level at t, between the moments kept.
func level(truths []moment, q ion, t float64) float64 {
	i, _ := slices.BinarySearchFunc(truths, t, func(m moment, t float64) int {
		if m.t <= t {
			return -1
		}
		return 1
	})
	if i == 0 {
		return truths[0].v[q]
	}
	if i == len(truths) {
		return truths[i-1].v[q]
	}
	a, z := truths[i-1], truths[i]
	return a.v[q] + (z.v[q]-a.v[q])*(t-a.t)/(z.t-a.t)
}
