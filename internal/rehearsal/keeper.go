package rehearsal

import (
	"math"
	"math/rand/v2"
)

// keeper is a person with habits and failings.
type keeper struct {
	r         *rand.Rand
	every     [nIons]float64 // days between tests
	next      [nIons]float64
	hour      float64 // of the day, for tests
	skips     float64 // chance of putting a due test off
	lapses    []lapse
	away      []span
	forgets   float64 // share of hand work that is not written down
	misses    float64 // chance that due hand work is put off to the next day
	corrects  float64 // chance of acting on a reading outside the band
	retune    float64 // days between looks at the pumps, 0 for never
	nextTune  float64
	bands     map[ion][3]float64
	tells     bool // declares the bands
	make      levels
	saltSeed  *rand.Rand
	nextBatch float64
	recheck   [nIons]bool
}

type span struct{ from, to float64 }

func (s span) has(t float64) bool { return t >= s.from && t < s.to }

// lapse is a time without tests, of one quantity or of all (q = nIons).
type lapse struct {
	span
	q ion
}

// Three ways of testing: days between tests of each quantity, 0 for never.
var manners = [3][nIons]float64{
	{alk: 1.5, cal: 7, mag: 15, nit: 7, pho: 5, sal: 7, acid: 7, tmp: 7},
	{alk: 6, cal: 9, mag: 21, nit: 7, pho: 8, sal: 10},
	{alk: 11, cal: 20, mag: 40, nit: 15, pho: 16, sal: 21},
}

func drawKeeper(r *rand.Rand, d *draft) *keeper {
	m := r.IntN(3)
	k := &keeper{r: r, hour: pick(r, between(r, 17, 22), between(r, 7, 10)), skips: between(r, 0, 0.2), bands: map[ion][3]float64{}}
	for q, every := range manners[m] {
		k.every[q] = every * spread(r, 1, 0.25)
		k.next[q] = between(r, 0, math.Min(every, 6))
	}
	k.corrects = between(r, 0.4, 1)
	k.misses = between(r, 0, 0.15)
	if chance(r, 0.1) {
		k.forgets = 0.05
	}
	if chance(r, 0.8) {
		k.retune = between(r, 12, 40)
		k.nextTune = k.retune * between(r, 0.5, 1.5)
	}
	for q, b := range d.system.bands {
		k.bands[q] = b
	}
	k.tells = chance(r, 0.6)
	k.drawLapses(float64(d.days), m)
	return k
}

func (k *keeper) drawLapses(days float64, manner int) {
	r := k.r
	for range r.IntN(manner + 2) {
		from := between(r, 20, days)
		l := lapse{span{from, from + between(r, 14, 30+45*float64(manner))}, nIons}
		if chance(r, 0.4) {
			l.q = pick(r, alk, cal, mag, mag, nit, pho)
		}
		k.lapses = append(k.lapses, l)
	}
	for range r.IntN(1 + int(days/120)) {
		from := between(r, 10, days)
		k.away = append(k.away, span{from, from + between(r, 6, 18)})
	}
}

func (k *keeper) isAway(t float64) bool {
	for _, s := range k.away {
		if s.has(t) {
			return true
		}
	}
	return false
}

func (k *keeper) neglects(q ion, t float64) bool {
	for _, l := range k.lapses {
		if l.has(t) && (l.q == q || l.q == nIons) {
			return true
		}
	}
	return false
}

// newBatch opens another batch of salt: the make's own error stays, the batch adds to it.
func (k *keeper) newBatch(s *salt) {
	r := k.saltSeed
	batch := levels{alk: 0.2 * r.NormFloat64(), cal: 6 * r.NormFloat64(), mag: 15 * r.NormFloat64(), sal: 0.3 * r.NormFloat64()}
	for i := range nDissolved {
		s.truth[i] = s.label[i] + k.make[i] + batch[i]
	}
	s.truth[nit], s.truth[pho] = math.Abs(0.15*r.NormFloat64()), math.Abs(0.008*r.NormFloat64())
	k.nextBatch += between(r, 40, 150)
}
