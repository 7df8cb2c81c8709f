package whatif

import (
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"slices"
	"sync"
	"time"

	"driftline/internal/book"
	"driftline/internal/drift"
	"driftline/internal/food"
	"driftline/internal/standing"
	"driftline/internal/substance"
	"driftline/units"
)

// worker holds a comparison while it is worked out.
type worker struct {
	facts    *book.Facts
	tank     *book.TankFacts
	ask      Ask
	asOf     time.Time
	days     float64
	litres   float64
	air      air
	schedule []standing.Due
	found    map[string]*substance.Substance
}

// Work follows each plan of an ask from a moment on. The same ask with the same
// seed comes to the same. It fails with one sentence when the ask is impossible.
func Work(desk *standing.Desk, f *book.Facts, ask Ask, asOf time.Time) ([]Outcome, error) {
	ask, err := ask.ready()
	if err != nil {
		return nil, err
	}
	w, err := newWorker(f, ask, asOf)
	if err != nil {
		return nil, err
	}
	var roads []*road
	for _, p := range ask.Plans {
		r, err := w.roadOf(p)
		if err != nil {
			return nil, err
		}
		roads = append(roads, r)
	}
	outsets, err := desk.Outsets(f, w.tank.Tank.Name, asOf)
	if err != nil {
		return nil, err
	}
	if len(ask.Only) > 0 {
		outsets = slices.DeleteFunc(outsets, func(o *standing.Outset) bool { return !slices.Contains(ask.Only, o.Quantity) })
	}
	if len(outsets) == 0 {
		return nil, fmt.Errorf("no quantity of %s that keeps a balance was ever read, so there is nothing to follow", w.tank.Tank.Name)
	}
	g := newGrid(roads, ask.Days)
	courses := make([][]Course, len(outsets)) // by quantity, then plan
	var wait sync.WaitGroup
	for i, o := range outsets {
		wait.Go(func() { courses[i] = w.courses(o, roads, g) })
	}
	wait.Wait()
	out := make([]Outcome, len(roads))
	for i, r := range roads {
		out[i] = w.outcome(r)
		for _, c := range courses {
			out[i].Courses = append(out[i].Courses, c[i])
		}
		out[i].Says = w.says(&out[i], r)
	}
	return out, nil
}

func newWorker(f *book.Facts, ask Ask, asOf time.Time) (*worker, error) {
	t, ok := f.Tank(ask.Tank)
	if !ok {
		return nil, fmt.Errorf("tank %q is not in the book", ask.Tank)
	}
	v, ok := t.Tank.NetVolume.Float()
	litres, err := units.Litres(v, t.Tank.Unit)
	if !ok || err != nil || !(litres > 0) {
		return nil, fmt.Errorf("the net volume of %s is not known", t.Tank.Name)
	}
	return &worker{facts: f, tank: t, ask: ask, asOf: asOf, days: float64(ask.Days), litres: litres,
		air: airOf(t, litres, asOf), schedule: standing.Schedule(t, asOf), found: map[string]*substance.Substance{}}, nil
}

func (w *worker) find(name string) (*substance.Substance, error) {
	if s, ok := w.found[name]; ok {
		return s, nil
	}
	s, err := substance.Find(w.facts, name, w.asOf)
	if err != nil {
		return nil, err
	}
	w.found[name] = &s
	return &s, nil
}

// courses follows one quantity under every plan.
func (w *worker) courses(o *standing.Outset, roads []*road, g grid) []Course {
	h := fnv.New64a()
	h.Write([]byte(o.Quantity))
	kind := h.Sum64()
	drawn := o.State.Draw(w.ask.Draws, rand.New(rand.NewPCG(w.ask.Seed, kind)))
	errs := w.mixErrors(roads, kind)
	lanes := make([]lane, len(roads))
	for i, r := range roads {
		lanes[i] = w.lane(o, r, errs)
	}
	traces := follow(&drawn, o.Limits, g, lanes, w.ask.Days, rand.New(rand.NewPCG(w.ask.Seed^0x5eed, kind)))
	out := make([]Course, len(roads))
	first := shown(o, &drawn, traces[0].levels[w.ask.Days])
	for i := range traces {
		out[i] = w.course(o, &drawn, &traces[i])
		if i > 0 {
			out[i].Against = gap(w.ask.Plans[0].Name, shown(o, &drawn, traces[i].levels[w.ask.Days]), first)
		}
	}
	return out
}

// waterKey tells one kind of new water from another.
func (c *change) waterKey() string { return book.Key(c.mix) + fmt.Sprint(c.composition) }

// mixErrors draws how far each new water is off in each draw: the same in every
// change of a mix, and in every plan.
func (w *worker) mixErrors(roads []*road, kind uint64) map[string][]float64 {
	out := map[string][]float64{}
	for _, r := range roads {
		for i := range r.changes {
			key := r.changes[i].waterKey()
			if out[key] != nil {
				continue
			}
			h := fnv.New64a()
			h.Write([]byte(key))
			rng := rand.New(rand.NewPCG(w.ask.Seed^kind, h.Sum64()))
			errs := make([]float64, w.ask.Draws)
			for k := range errs {
				errs[k] = rng.NormFloat64()
			}
			out[key] = errs
		}
	}
	return out
}

// lane is a road as one quantity sees it.
func (w *worker) lane(o *standing.Outset, r *road, errs map[string][]float64) lane {
	l := lane{factor: r.factorOf(o.Quantity), water: func(t float64) float64 { return 1 - missing(r.dry, t, w.litres)/w.litres }}
	for _, d := range r.doses {
		if delta := d.raise(o.Quantity, w.litres); delta != 0 {
			l.inputs = append(l.inputs, drift.Input{T: d.t, Delta: delta, SD: standing.DoseDoubt * max(delta, -delta)})
		}
	}
	for _, f := range r.feeds {
		if rate := f.raise(o.Quantity, w.litres); rate != 0 {
			l.feeds = append(l.feeds, drift.Feed{From: f.from, To: f.to, Rate: rate})
		}
	}
	for i := range r.changes {
		c := &r.changes[i]
		water := o.NewWater(c.mix, c.composition)
		l.pours = append(l.pours, poured(c.t, c.litres/w.litres, l.water(c.t), water, errs[c.waterKey()]))
	}
	for _, c := range r.crops {
		if mean, sd := food.Cut(o.Quantity, c.grams); mean > 0 {
			per := 1000 / w.litres
			l.inputs = append(l.inputs, drift.Input{T: c.t, Delta: -mean * per, SD: sd * per})
		}
	}
	l.food = w.foodOf(o, r)
	slices.SortStableFunc(l.inputs, func(a, b drift.Input) int { return compare(a.T, b.T) })
	return l
}

// poured is a change of a share of the full volume where so much of it is there:
// what leaves is as strong as the tank, what comes in as the mix.
func poured(t, share, there float64, water standing.NewWater, err []float64) pour {
	share = min(share, there)
	return pour{t: t, keep: 1 - share/there, gain: share * water.Mean, share: share, mix: water.Mix, sd: water.SD, err: err}
}
