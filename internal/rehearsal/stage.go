package rehearsal

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strconv"
	"time"

	"driftline/internal/book"
)

// player keeps one tank of the demo: everything that will be done is put on a
// list first, then the tank runs through it.
type player struct {
	*basin
	r     *rand.Rand
	today float64 // number of today, counted from the first line
	end   float64 // now
	acts  []act
	shut  []span // nobody comes
}

// newPlayer sets a tank up whose story ends at now.
func newPlayer(b *basin, seed uint64, now time.Time, days int) *player {
	return &player{basin: b, r: stream(seed, 30), today: float64(days), end: b.days(now)}
}

// at puts one act on the list, so many days before now, at an hour of the day.
func (p *player) at(daysAgo, hour float64, do func()) {
	t := p.today - daysAgo + hour/24
	if t > p.end || t < 0 {
		return
	}
	p.acts = append(p.acts, act{t, do})
}

// each repeats an act from so many days ago until so many days ago, every so
// many days, about that hour, a little earlier or later as people are.
func (p *player) each(from, until, every, hour float64, do func()) {
	for ago := from; ago >= until; ago -= every {
		if p.away(p.today - math.Round(ago)) {
			continue
		}
		p.at(math.Round(ago), hour+0.6*p.r.NormFloat64(), do)
	}
}

func (p *player) away(day float64) bool {
	for _, s := range p.shut {
		if s.has(day) {
			return true
		}
	}
	return false
}

// shutFrom closes the place from so many days ago until so many days ago.
func (p *player) shutFrom(from, until float64) {
	p.shut = append(p.shut, span{p.today - from, p.today - until})
}

// tests repeats a reading.
func (p *player) tests(q ion, from, until, every, hour float64) {
	p.each(from, until, every, hour, func() { p.test(q, "") })
}

// remark is a note of this tank.
func (p *player) remark(daysAgo, hour float64, text string) {
	p.at(daysAgo, hour, func() { p.event(p.s.t, book.KindNote, nil, text) })
}

func (p *player) chores(name string, from, until, every, hour float64) {
	p.each(from, until, every, hour, func() { p.event(p.s.t, book.KindChore, &book.Chore{Name: name}, "") })
}

func (p *player) meals(food string, amount book.Number, unit string, from, until, every, hour float64) {
	p.each(from, until, every, hour, func() {
		p.event(p.s.t, book.KindFeeding, &book.Feeding{Food: food, Amount: amount, Unit: unit}, "")
	})
}

// scores repeats a judgement by eye; how tells what is seen so many days ago, from 0 to 4.
func (p *player) scores(sign string, from, until, every, hour float64, how func(ago float64) float64) {
	p.each(from, until, every, hour, func() {
		v := math.Round(how(p.today-p.s.t) + 0.35*p.r.NormFloat64())
		v = math.Max(0, math.Min(4, v))
		p.event(p.s.t, book.KindScore, &book.Score{Sign: sign, Value: book.Number(strconv.Itoa(int(v)))}, "")
	})
}

func (p *player) equipment(name, kind string, properties map[string]any) {
	bag := map[string]json.RawMessage{}
	for k, v := range properties {
		if raw, err := json.Marshal(v); err == nil {
			bag[k] = raw
		}
	}
	p.event(p.s.t, book.KindEquipment, &book.Equipment{Name: name, Type: kind, Properties: bag}, "")
}

func (p *player) setting(daysAgo, hour float64, device, property string, value float64, unit, why string) {
	p.at(daysAgo, hour, func() {
		raw, err := json.Marshal(value)
		if err == nil {
			p.event(p.s.t, book.KindSetting, &book.Setting{Equipment: device, Property: property, Value: raw, Unit: unit}, why)
		}
	})
}

// trim sets a pump anew by the last two readings: half of the way to the aim
// within a month, and half of the slope it sees.
func (p *player) trim(daysAgo, hour float64, f *feed, q ion, aim float64, why string) {
	p.at(daysAgo, hour, func() {
		seen := p.basin.tests[q]
		if len(seen) < 6 {
			return
		}
		seen = seen[len(seen)-6:]
		early, late := (seen[0].v+seen[1].v+seen[2].v)/3, (seen[3].v+seen[4].v+seen[5].v)/3
		slope := (late - early) / (seen[4].t - seen[1].t)
		one := f.what.raises(p.litres)[q]
		amount := math.Max(1, math.Round(f.amount+((aim-late)/15-0.7*slope)/one))
		if amount != f.amount {
			f.amount = amount
			p.declareFeed(f, why)
		}
	})
}

// pair sets a calcium pump to what goes with the carbonate that is given, and a little by the last two readings.
func (p *player) pair(daysAgo, hour float64, f, carbonate *feed, more, aim float64) {
	p.at(daysAgo, hour, func() {
		seen := p.basin.tests[cal]
		if len(seen) < 2 {
			return
		}
		late := (seen[len(seen)-1].v + seen[len(seen)-2].v) / 2
		rate := (carbonate.amount*carbonate.what.raises(p.litres)[alk]+more)*7.3 + (aim-late)/30
		amount := math.Max(1, math.Round(rate/f.what.raises(p.litres)[cal]))
		if amount != f.amount {
			f.amount = amount
			p.declareFeed(f, "")
		}
	})
}

// task declares hand work that is not a dose or a change of water.
func (p *player) task(r book.Routine) {
	from := p.when(p.s.t)
	r.From = &from
	p.event(p.s.t, book.KindRoutine, &r, "")
}

func (p *player) bandsOf(bands map[ion][3]float64, units map[ion]string) {
	for q := range nIons {
		b, ok := bands[q]
		if !ok {
			continue
		}
		unit := ionUnits[q]
		if units[q] != "" {
			unit = units[q]
		}
		p.event(0, book.KindBand, &book.Band{Quantity: ionNames[q], Unit: unit, Low: exactly(b[0]), Aim: exactly(b[1]), High: exactly(b[2])}, "")
	}
}

func exactly(v float64) book.Number { return book.Number(strconv.FormatFloat(v, 'f', -1, 64)) }

// play runs the whole story.
func (p *player) play() { p.through(p.acts, p.end) }

// demoNature is a tank without surprises, on which a story puts its own.
func demoNature(r *rand.Rand, litres, demand float64, days int) *nature {
	n := &nature{litres: litres, refAlk: 8.3, refCal: 425, order: 0.6, calPerDKH: 7.4, magPerDKH: 0.2, denitrified: 0.5,
		rockRate: 0.06, rockRoom: 8, warmSwing: 0.2, acidSwing: 0.1}
	steps := days*stepsPerDay + 1
	calm := func(sd, tau, times float64) []float64 {
		return scaled(exponents(wander(r, steps, sd, tau)), times)
	}
	n.calcify = calm(0.05, 25, demand)
	n.foodN, n.foodP = calm(0.2, 6, 0.25), calm(0.2, 6, 0.006)
	n.takeN, n.takeP = calm(0.08, 30, 1), calm(0.08, 30, 1)
	n.magSink = trace(steps, func(float64) float64 { return 0 })
	n.swell = wander(r, steps, 0.002, 2)
	n.warmth = trace(steps, func(float64) float64 { return 25.4 })
	n.acid = wander(r, steps, 0.03, 8)
	for i, w := range wander(r, steps, 0.15, 5) {
		n.warmth[i] += w
		n.acid[i] += 8.1
	}
	return n
}

// after multiplies a path from a day on, taking so many days over it.
func after(path []float64, from, takes, times float64) {
	for i := range path {
		done := math.Min(1, math.Max(0, (float64(i)/stepsPerDay-from)/takes))
		path[i] *= math.Pow(times, done)
	}
}

// kitOf is a kit of the demo whose errors the story sets.
func kitOf(q ion, name, method string, resolution, sd, bias, offset float64) *kit {
	return &kit{q: q, name: name, method: method, said: spoken{ionUnits[q], 1}, resolution: resolution, sd: sd, biasSD: bias, offset: offset, unrest: 1}
}

func midnight(now time.Time, loc *time.Location, daysAgo int) time.Time {
	n := now.In(loc)
	return time.Date(n.Year(), n.Month(), n.Day()-daysAgo, 0, 0, 0, 0, loc)
}
