package rehearsal

import (
	"cmp"
	"math"
	"slices"

	"driftline/internal/book"
)

// act is something the keeper means to do at a time.
type act struct {
	t  float64
	do func()
}

// live runs the tank under its keeper until t.
func (d *draft) live(t float64) {
	d.begin()
	for day := 0.0; day < t; day++ {
		d.basin.through(d.today(day), math.Min(t, day+1))
	}
}

// through does the acts in order of time, none later than t, and ends at t.
func (b *basin) through(acts []act, t float64) {
	slices.SortStableFunc(acts, func(a, b act) int { return cmp.Compare(a.t, b.t) })
	for _, a := range acts {
		if a.t > t {
			break
		}
		b.until(a.t)
		a.do()
	}
	b.until(t)
}

// begin declares the tank and what runs in it.
func (d *draft) begin() {
	b := d.basin
	b.log(book.Line{Kind: book.KindTank, At: b.when(0), Body: &book.Tank{Name: b.name, System: d.system.name,
		NetVolume: fixed(d.litres, 0), Unit: "L", TimeZone: b.origin.Location().String()}})
	if d.keeper.tells {
		for q := range nDissolved {
			if band, ok := d.keeper.bands[q]; ok {
				u := b.kits[q].said
				b.event(0, book.KindBand, &book.Band{Quantity: ionNames[q], Unit: u.unit,
					Low: number(band[0] * u.times), Aim: number(band[1] * u.times), High: number(band[2] * u.times)}, "")
			}
		}
	}
	for _, f := range b.feeds {
		b.declareFeed(f, "")
	}
	for _, h := range b.hands {
		b.declareHabit(h)
	}
}

// today is what the keeper means to do this day.
func (d *draft) today(day float64) (acts []act) {
	b, k := d.basin, d.keeper
	acts = d.given(day)
	if k.isAway(day) {
		return acts
	}
	acts = append(acts, d.handWork(day)...)
	for _, l := range d.labs {
		if l.t >= day && l.t < day+1 {
			acts = append(acts, act{day + 0.5, func() { b.send(l) }})
		}
	}
	acts = append(acts, d.testsToday(day)...)
	if k.retune > 0 && day >= k.nextTune {
		k.nextTune = day + k.retune*between(k.r, 0.7, 1.4)
		acts = append(acts, act{day + 0.95, d.tune})
	}
	return acts
}

// given is what comes about without a decision: another kit, another batch of salt.
func (d *draft) given(day float64) (acts []act) {
	for _, s := range d.swaps {
		if s.t >= day && s.t < day+1 {
			acts = append(acts, act{day, func() { d.basin.swap(s) }})
		}
	}
	if day >= d.keeper.nextBatch {
		acts = append(acts, act{day, func() { d.keeper.newBatch(d.basin.salt) }})
	}
	return acts
}

// handWork is what is due by hand.
func (d *draft) handWork(day float64) (acts []act) {
	k := d.keeper
	for _, h := range d.basin.hands {
		if h.last+h.every <= day+h.hour/24+0.02 && !chance(k.r, k.misses) {
			forgotten := chance(k.r, k.forgets)
			acts = append(acts, act{day + h.hour/24, func() { d.basin.perform(h, forgotten) }})
		}
	}
	return acts
}

func (d *draft) testsToday(day float64) (acts []act) {
	k := d.keeper
	t := day + (k.hour+0.7*k.r.NormFloat64())/24
	for q := range nIons {
		if k.every[q] == 0 || k.next[q] > day+0.5 {
			continue
		}
		if k.neglects(q, day) {
			k.next[q] = day + 1
			continue
		}
		if chance(k.r, k.skips) {
			k.next[q] = day + between(k.r, 1, 4)
			continue
		}
		k.next[q] = day + math.Max(1, k.every[q]*spread(k.r, 1, 0.25))
		t += 0.003
		acts = append(acts, act{t, func() { d.judge(q, d.basin.test(q, "")) }})
	}
	return acts
}

// judge is what the keeper does about a reading: test again, and act when two agree.
func (d *draft) judge(q ion, r test) {
	k := d.keeper
	band, ok := k.bands[q]
	if !ok || r.below || r.v >= band[0] && r.v <= band[2] {
		k.recheck[q] = false
		return
	}
	if !k.recheck[q] {
		k.recheck[q] = true
		if chance(k.r, 0.5) {
			k.next[q] = math.Min(k.next[q], math.Floor(r.t)+1)
		}
		return
	}
	if !chance(k.r, k.corrects) {
		return
	}
	k.recheck[q] = false
	d.correct(q, band[1]-r.v)
}

// greatest is the largest rise a keeper allows in a day (common practice).
var greatest = levels{alk: 1, cal: 40, mag: 80, nit: 3, pho: 0.03}

// correct doses what is missing, or changes water when there is too much food in it.
func (d *draft) correct(q ion, missing float64) {
	b := d.basin
	if missing < 0 {
		d.lower(q)
		return
	}
	if what, ok := remedy(q); ok {
		b.dose(what, math.Min(missing, greatest[q])/what.raises(d.litres)[q], chance(d.keeper.r, d.keeper.forgets), "")
	}
	if chance(d.keeper.r, 0.6) {
		d.turn(q, between(d.keeper.r, 1.08, 1.3))
	}
}

// remedy is the salt a keeper takes to raise a quantity.
func remedy(q ion) (substance, bool) {
	what, ok := map[ion]substance{alk: bicarbonate, cal: calciumSalt, mag: magnesiumS, nit: saltpetre, pho: potash}[q]
	return what, ok
}

// lower changes water when there is too much food in it, and turns a pump down that gives too much.
func (d *draft) lower(q ion) {
	b := d.basin
	if q == nit || q == pho {
		b.change(math.Round(0.2*d.litres), "")
		return
	}
	d.turn(q, between(d.keeper.r, 0.6, 0.85))
}

// turn sets the pumps of a quantity to so many times what they were.
func (d *draft) turn(q ion, times float64) {
	for _, f := range d.basin.feeds {
		if main, ok := f.mainly(); ok && main == q {
			f.amount = floatOf(fixed(f.amount*times, f.what.said))
			d.basin.declareFeed(f, "")
		}
	}
}

// tune looks at the last readings and sets the pumps anew.
func (d *draft) tune() {
	b := d.basin
	for _, f := range b.feeds {
		q, ok := f.mainly()
		seen := b.tests[q]
		if !ok || len(seen) < 4 || seen[len(seen)-2].t < b.s.t-21 {
			continue
		}
		seen = seen[len(seen)-4:]
		late, early := (seen[2].v+seen[3].v)/2, (seen[0].v+seen[1].v)/2
		slope := (late - early) / math.Max(3, (seen[2].t+seen[3].t-seen[0].t-seen[1].t)/2)
		more := (d.keeper.bands[q][1]-late)/30 - 0.6*slope
		now := f.amount / f.every * f.what.raises(d.litres)[q]
		more = math.Max(-0.25*now, math.Min(0.25*now, more))
		if math.Abs(more) < 0.04*now {
			continue
		}
		f.amount = floatOf(fixed(f.amount*(1+more/now), f.what.said))
		b.declareFeed(f, "")
	}
}

// mainly is the quantity a pump is there for.
func (f *feed) mainly() (ion, bool) {
	for q := range nDissolved {
		if f.share == 0 && f.what.gives[q] > 0 {
			return q, true
		}
	}
	return 0, false
}

func (b *basin) swap(s swap) {
	if s.k == nil {
		b.kits[s.q].newLot(b.tester)
		return
	}
	b.kits[s.q] = s.k
}

// send takes a sample for the laboratory.
func (b *basin) send(l lab) {
	level := b.n.levels(b.s)
	for _, k := range l.kits {
		b.note(k.q, k, k.read(level[k.q], b.tester), false, "")
	}
}

// faithful goes on from now for so many days: the machines run, and hand
// work, where hands is true, is done to the day. Nothing else is done.
func (b *basin) faithful(days int, hands bool) (out []levels) {
	from := b.s.t
	out = append(out, b.n.levels(b.s))
	for _, h := range b.hands {
		h.last = math.Max(h.last, from-h.every)
	}
	for day := 1; day <= days; day++ {
		end := from + float64(day)
		for h := b.soonest(end); hands && h != nil; h = b.soonest(end) {
			due := h.last + h.every
			b.until(due)
			b.perform(h, false)
			h.last = due
		}
		b.until(end)
		out = append(out, b.n.levels(b.s))
	}
	return out
}

func (b *basin) soonest(before float64) (best *habit) {
	for _, h := range b.hands {
		if due := h.last + h.every; due <= before && (best == nil || due < best.last+best.every) {
			best = h
		}
	}
	return best
}
