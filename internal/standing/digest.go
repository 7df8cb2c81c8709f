package standing

import (
	"encoding/binary"
	"hash/maphash"
	"math"
	"time"
)

// digest is a hash of all that a quantity's standing depends on besides the
// moment, so that what was worked out holds until a new line touches it.
func (m *matter) digest(seed maphash.Seed) uint64 {
	d := digester{}
	d.h.SetSeed(seed)
	d.text(m.tank, m.system, string(m.q), m.unit, m.loc.String())
	d.nums(m.limits.low, m.limits.aim, m.limits.high, m.tolerance, m.litres)
	d.flag(m.fromKeeper)
	for i := range m.raw {
		r := &m.raw[i]
		d.text(r.line, r.name)
		d.nums(r.t, r.value)
		d.flag(r.below)
	}
	for i := range m.kits {
		e := m.kits[i].errors
		d.text(m.kits[i].name)
		d.nums(e.SD, e.RelSD, e.Resolution, e.BiasSD, e.RelBiasSD, m.kits[i].lowerLimit)
	}
	for i := range m.deeds {
		d.text(m.deeds[i].Line, m.deeds[i].Label) // the label of a dose is its line's
	}
	m.digestCase(&d)
	return d.h.Sum64()
}

func (m *matter) digestCase(d *digester) {
	c := &m.kase
	for _, k := range m.kitOf {
		d.nums(float64(k))
	}
	for _, in := range c.Inputs {
		d.nums(in.T, in.Delta, in.SD)
	}
	for _, w := range c.Changes {
		d.nums(w.T, w.Fraction, w.Value, w.SD, float64(w.Mix))
	}
	for _, f := range c.Feeds {
		d.nums(f.From, f.To, f.Rate)
	}
	for _, f := range c.Food {
		d.nums(f.From, f.To, f.Rate)
	}
	for _, f := range m.feeders {
		d.nums(f.From, f.To, f.Rate)
	}
	d.nums(m.handFood)
	d.nums(c.Mixes...)
	for _, t := range m.schedule {
		d.flag(t.hand)
		d.flag(t.water)
		d.nums(t.next, t.every, t.end, t.input.Delta, t.change.Fraction, t.change.Value, t.change.SD, float64(t.change.Mix))
	}
	for _, s := range m.sources {
		d.text(s.name, s.detail)
	}
}

type digester struct {
	h   maphash.Hash
	buf [8]byte
}

func (d *digester) text(parts ...string) {
	for _, s := range parts {
		d.h.WriteString(s)
		d.h.WriteByte(0)
	}
}

func (d *digester) nums(vs ...float64) {
	for _, v := range vs {
		binary.LittleEndian.PutUint64(d.buf[:], math.Float64bits(v))
		d.h.Write(d.buf[:])
	}
}

func (d *digester) flag(b bool) {
	if b {
		d.h.WriteByte(1)
	} else {
		d.h.WriteByte(2)
	}
}

// fresh says whether what was worked out as of one moment may stand for another.
func fresh(worked, asked time.Time, patience time.Duration) bool {
	age := asked.Sub(worked)
	return age >= 0 && age <= patience
}
