package rehearsal

import (
	"context"
	"fmt"
	"runtime"
	"sync"
	"time"
)

// Horizons are the days ahead at which forecasts are judged.
var Horizons = []int{7, 14, 30}

// Options say how large a rehearsal is. Zero values take the defaults.
type Options struct {
	Tanks   int    // 120
	Moments int    // as-of moments a tank, 3
	Seed    uint64 // of the first tank, 1; the others follow
	World   World  // Usual
	Course  Course // what is done after as-of: Declared
	Closed  int    // tanks for the rule of the next test, 0 for none
	Worker  int    // how many at once, the number of processors
}

func (o Options) filled() Options {
	if o.Tanks == 0 {
		o.Tanks = 120
	}
	if o.Moments == 0 {
		o.Moments = 3
	}
	if o.Seed == 0 {
		o.Seed = 1
	}
	if _, ok := worlds[o.World]; !ok {
		o.World = Usual
	}
	if o.Worker == 0 {
		o.Worker = runtime.GOMAXPROCS(0)
	}
	return o
}

// Sample is one judged forecast: what was asked, said and true.
type Sample struct {
	Seed     uint64
	System   string
	Quantity string
	AsOf     time.Time
	Readings int     // of the quantity before as-of
	Age      float64 // days since the last of them
	Day      int
	Q, Base  [7]float64 // in the unit of the simulation
	Truth    float64
}

// Score runs the forecaster over many tanks and moments. keep, if not nil, sees
// every sample, in order.
func Score(ctx context.Context, o Options, f Forecaster, keep func(Sample)) (Report, error) {
	o = o.filled()
	found := make([][]Sample, o.Tanks)
	errs := make([]error, o.Tanks)
	var wg sync.WaitGroup
	next := make(chan int)
	for range o.Worker {
		wg.Go(func() {
			for i := range next {
				found[i], errs[i] = o.samples(o.Seed+uint64(i), f)
			}
		})
	}
	for i := 0; i < o.Tanks && ctx.Err() == nil; i++ {
		next <- i
	}
	close(next)
	wg.Wait()
	if ctx.Err() != nil {
		return Report{}, ctx.Err()
	}
	out := newReport(o)
	for i, list := range found {
		if errs[i] != nil {
			out.Failed = append(out.Failed, errs[i].Error())
		}
		for _, s := range list {
			out.add(s)
			if keep != nil {
				keep(s)
			}
		}
	}
	return out, nil
}

// samples judges one tank: moments spread over its log, at an hour of their own,
// wherever they fall, in the middle of a lapse or a holiday too. A quantity
// counts when it was read at least three times before.
func (o Options) samples(seed uint64, f Forecaster) ([]Sample, error) {
	tank := NewTankIn(o.World, seed)
	d := draw(seed, o.World, Origin)
	r := stream(seed, 20)
	var out []Sample
	for i := range o.Moments {
		share := (float64(i) + r.Float64()) / float64(o.Moments)
		asOf := tank.From.Add(time.Duration((20+share*(float64(d.days)-21))*24*60) * time.Minute)
		future, err := tank.After(asOf, Horizons[len(Horizons)-1], o.Course)
		if err != nil {
			return out, err
		}
		for _, name := range Families {
			q, _ := ionOf(name)
			seen := before(tank.tests[q], tank, asOf)
			if len(seen) < 3 {
				continue
			}
			list, err := tank.judged(f, q, asOf, future, seen, d.basin.kits[q])
			if err != nil {
				return out, err
			}
			out = append(out, list...)
		}
	}
	return out, nil
}

func (t *Tank) judged(f Forecaster, q ion, asOf time.Time, future Future, seen []test, k *kit) ([]Sample, error) {
	name := ionNames[q]
	fc, err := f(t.Lines, t.Name, name, asOf, Horizons[len(Horizons)-1])
	if err != nil {
		return nil, fmt.Errorf("%s, %s as of %s: %w", t.Name, name, asOf.Format(time.DateOnly), err)
	}
	times, ok := toSimulated(q, fc.Unit)
	if !ok {
		return nil, fmt.Errorf("%s, %s: forecast in %q, expected %s", t.Name, name, fc.Unit, ionUnits[q])
	}
	var out []Sample
	base := baselines[BaselineNames[0]](seen, k)
	for _, day := range Horizons {
		if day >= len(fc.Days) {
			return nil, fmt.Errorf("%s, %s: the forecast ends before day %d", t.Name, name, day)
		}
		s := Sample{Seed: t.seed, System: t.System, Quantity: name, AsOf: asOf, Readings: len(seen), Day: day, Base: base}
		s.Age = asOf.Sub(t.From).Hours()/24 - seen[len(seen)-1].t
		for i, v := range fc.Days[day] {
			s.Q[i] = v * times
		}
		s.Truth, _ = future.On(name, day)
		out = append(out, s)
	}
	return out, nil
}

func before(tests []test, t *Tank, asOf time.Time) []test {
	end := asOf.Sub(t.From).Hours() / 24
	n := 0
	for n < len(tests) && tests[n].t <= end {
		n++
	}
	return tests[:n]
}
