package rehearsal

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"sync"
	"time"

	"driftline/internal/book"
	"driftline/internal/correction"
	"driftline/internal/standing"
	salts "driftline/internal/substance"
	"driftline/units"
)

// Corrected are the quantities whose corrections are rehearsed, with how far above
// the level the keeper aims, at least and at most, in the unit of the simulation.
var Corrected = []string{"alkalinity", "calcium", "magnesium"}

var liftBy = map[ion][2]float64{alk: {0.4, 2}, cal: {15, 60}, mag: {40, 200}}

// missedDoses is the share of a plan's doses that a keeper does not give.
const missedDoses = 0.05

// Followed is what corrections of one quantity came to.
type Followed struct {
	Asked, Refused, Nothing, Plans int
	Steps, Held, Half              int // steps done, and those whose true level lay in the stated 95 % interval, and in half of its width
	Given, Missed                  int // doses
	Tests, Stopped, ByChance       int // tests on the way, plans a test stopped, those stopped although the level was as stated
	Whole                          int // plans that came to their end with every dose given
	Miss, MissSquared              float64
	EndHeld                        int     // of Whole, true level at the end in the interval
	Highest                        float64 // largest true rise within 24 hours, over the ceiling of a day, where the routines alone stay under it
	Over                           int     // plans with a rise above the ceiling that the routines alone did not make
	Days                           float64 // of plans, in all
}

func (f *Followed) merge(o Followed) {
	f.Asked, f.Refused, f.Nothing, f.Plans = f.Asked+o.Asked, f.Refused+o.Refused, f.Nothing+o.Nothing, f.Plans+o.Plans
	f.Steps, f.Held, f.Half = f.Steps+o.Steps, f.Held+o.Held, f.Half+o.Half
	f.Given, f.Missed = f.Given+o.Given, f.Missed+o.Missed
	f.Tests, f.Stopped, f.ByChance = f.Tests+o.Tests, f.Stopped+o.Stopped, f.ByChance+o.ByChance
	f.Whole, f.EndHeld, f.Over = f.Whole+o.Whole, f.EndHeld+o.EndHeld, f.Over+o.Over
	f.Miss, f.MissSquared, f.Days = f.Miss+o.Miss, f.MissSquared+o.MissSquared, f.Days+o.Days
	f.Highest = max(f.Highest, o.Highest)
}

// WriteFollowed prints what corrections came to.
func WriteFollowed(w io.Writer, all map[string]Followed) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Corrections worked out from the log and followed\n\n%-11s %6s %8s %6s %6s | %8s %8s | %22s %8s | %8s %10s | %8s %9s\n",
		"", "asked", "refused", "plans", "days", "steps", "in 95 %", "miss at the end", "in 95 %", "stopped", "by chance", "too fast", "steepest")
	for _, name := range Corrected {
		f, q := all[name], mustIon(name)
		bias, off := f.MissAtEnd()
		fmt.Fprintf(&b, "%-11s %6d %8d %6d %6.1f | %8d %6.1f %% | %+8.2f ± %5.2f %-5s %6.1f %% | %6.1f %% %8.1f %% | %8d %9.2f\n",
			name, f.Asked, f.Refused, f.Plans, f.Days/float64(max(1, f.Plans)), f.Steps, percent(f.Held, f.Steps),
			bias, off, ionUnits[q], percent(f.EndHeld, f.Whole), percent(f.Stopped, f.Plans), percent(f.ByChance, f.Plans), f.Over, f.Highest)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// MissAtEnd is how far the level ended above the aim, on average and by its
// spread, where every dose was given.
func (f Followed) MissAtEnd() (mean, sd float64) {
	n := float64(max(1, f.Whole))
	mean = f.Miss / n
	return mean, math.Sqrt(max(0, f.MissSquared/n-mean*mean))
}

func percent(part, of int) float64 { return 100 * float64(part) / float64(max(1, of)) }

// Corrections works corrections out in o.Tanks tanks at o.Moments moments each, by
// the log alone, and lets a keeper follow them in the tank itself: weighing errs,
// one dose in twenty is left out, the kit scatters and sits off, and the tank takes
// what it takes.
func Corrections(ctx context.Context, o Options) (map[string]Followed, error) {
	o = o.filled()
	found := make([]map[string]Followed, o.Tanks)
	errs := make([]error, o.Tanks)
	next := make(chan int)
	var wg sync.WaitGroup
	for range o.Worker {
		wg.Go(func() {
			for i := range next {
				found[i], errs[i] = o.corrected(o.Seed + uint64(i))
			}
		})
	}
	for i := 0; i < o.Tanks && ctx.Err() == nil; i++ {
		next <- i
	}
	close(next)
	wg.Wait()
	if err := cmp.Or(append(errs, ctx.Err())...); err != nil {
		return nil, err
	}
	out := map[string]Followed{}
	for _, one := range found {
		for name, f := range one {
			all := out[name]
			all.merge(f)
			out[name] = all
		}
	}
	return out, nil
}

// corrected is one tank, each correction in a run of its own.
func (o Options) corrected(seed uint64) (map[string]Followed, error) {
	out := map[string]Followed{}
	for i := range o.Moments {
		for _, name := range Corrected {
			q, _ := ionOf(name)
			f, err := o.correctedOnce(seed, q, i)
			if err != nil {
				return nil, fmt.Errorf("tank %d, %s: %w", seed, name, err)
			}
			all := out[name]
			all.merge(f)
			out[name] = all
		}
	}
	return out, nil
}

func (o Options) correctedOnce(seed uint64, q ion, moment int) (out Followed, err error) {
	r := stream(seed, 40+uint64(moment)*uint64(nIons)+uint64(q))
	d := draw(seed, o.World, Origin)
	share := (float64(moment) + r.Float64()) / float64(o.Moments)
	d.live(40 + share*(float64(d.days)-60))
	b, from := d.basin, d.basin.s.t
	if len(b.tests[q]) < 3 {
		return out, nil
	}
	what, _ := remedy(q)
	b.once(from, book.KindSubstance, what.line.Name, what.line)
	plan, err := b.plan(q, what, between(r, liftBy[q][0], liftBy[q][1]))
	if err != nil {
		return out, err
	}
	out.Asked = 1
	switch {
	case plan.Refused != "":
		out.Refused = 1
		return out, nil
	case len(plan.Steps) == 0:
		out.Nothing = 1
		return out, nil
	}
	out.Plans = 1
	p := &walk{basin: b, q: q, what: what, plan: plan, out: &out, misses: func() bool { return chance(r, missedDoses) }}
	p.follow()
	rate, _ := salts.MostADay(nil, units.Quantity(ionNames[q]))
	rise := steepest(b.truths, q, from) / rate.Ceiling
	switch {
	case rise <= 1:
		out.Highest = rise
	case !d.steepAnyway(o.World, q, from, b.s.t, rate.Ceiling):
		out.Highest, out.Over = rise, 1
	}
	out.Days = b.s.t - from
	return out, nil
}

// steepAnyway says whether the level would have risen above the ceiling without
// the plan, by the keeper's own routines.
func (d *draft) steepAnyway(w World, q ion, from, until, ceiling float64) bool {
	twin := draw(d.seed, w, Origin)
	twin.basin.mute = true
	twin.live(from)
	twin.basin.faithful(int(until-from)+1, true)
	return steepest(twin.basin.truths, q, from) > ceiling
}

// plan works a correction out from the log as it stands, to so much above the
// level the log gives.
func (b *basin) plan(q ion, what substance, lift float64) (correction.Plan, error) {
	now := b.when(b.s.t)
	f := book.Replay(inOrder(slices.Clone(b.lines)), now)
	desk := standing.NewDesk()
	s, err := desk.Quantity(f, b.name, ionNames[q], now, 0)
	if err != nil {
		return correction.Plan{}, err
	}
	times, ok := toSimulated(q, s.Unit)
	if !ok {
		return correction.Plan{}, fmt.Errorf("the level is in %q", s.Unit)
	}
	most := map[ion]float64{alk: 12, cal: 500, mag: 1500}[q] // no higher is ever planned: common practice, no source
	to := min(s.Level.Mean*times+lift, most)
	return correction.Work(desk, f, correction.Ask{Tank: b.name, Quantity: units.Quantity(ionNames[q]), To: &to, Unit: ionUnits[q], Substance: what.line.Name}, now)
}

// walk follows one plan.
type walk struct {
	*basin
	q      ion
	what   substance
	plan   correction.Plan
	out    *Followed
	misses func() bool
	lost   float64 // by doses left out, in the unit of the plan
	last   bool    // whether the level lay in the interval after the last step
	over   bool    // a test stopped it
}

// follow gives the doses and takes the tests, hand work being done to the day as
// the plan takes it to be.
func (w *walk) follow() {
	for _, h := range w.hands {
		h.last = math.Max(h.last, w.s.t-h.every)
	}
	w.last = true
	checks := w.plan.Checks
	for _, s := range w.plan.Steps {
		for len(checks) > 0 && checks[0].At.Before(s.At) && !w.over {
			w.check(checks[0])
			checks = checks[1:]
		}
		if w.over {
			return
		}
		w.step(s)
	}
	if w.lost == 0 {
		w.out.Whole++
		miss := w.n.levels(w.s)[w.q] - w.plan.Aim
		w.out.Miss += miss
		w.out.MissSquared += miss * miss
		if w.last {
			w.out.EndHeld++
		}
	}
	for len(checks) > 0 && !w.over {
		w.check(checks[0])
		checks = checks[1:]
	}
}

// goTo lets the tank run, with the hand work that falls due.
func (w *walk) goTo(at time.Time) {
	t := w.days(at)
	for h := w.soonest(t); h != nil; h = w.soonest(t) {
		due := h.last + h.every
		w.until(due)
		w.perform(h, false)
		h.last = due
	}
	w.until(t)
}

func (w *walk) step(s correction.Step) {
	w.goTo(s.At)
	if w.misses() {
		w.out.Missed++
		w.lost += s.Amount * w.what.raises(w.litres)[w.q]
		return
	}
	w.out.Given++
	w.add(w.what, s.Amount)
	w.event(w.s.t, book.KindDose, &book.Dose{Substance: w.what.line.Name, Amount: book.NumberOf(s.Amount, 3), Unit: s.Unit}, "")
	expected := s.Expected.Mean - w.lost // what the log says was not given is not expected
	w.out.Steps++
	off := math.Abs(w.n.levels(w.s)[w.q] - expected)
	w.last = off <= z95*s.Expected.SD
	if off <= z95/2*s.Expected.SD {
		w.out.Half++
	}
	if w.last {
		w.out.Held++
	}
}

// z95 spans 95 in 100 of a normal law.
const z95 = 1.959964

func (w *walk) check(c correction.Check) {
	w.goTo(c.At)
	w.out.Tests++
	res := w.test(w.q, "")
	if !res.below && res.v >= c.Low && res.v <= c.High {
		return
	}
	w.over = true
	w.out.Stopped++
	if w.last && w.lost == 0 {
		w.out.ByChance++
	}
}

// steepest is the largest rise of the true level within less than 24 hours, so that
// of two doses at one hour of two days it sees one, from a time on.
func steepest(truths []moment, q ion, from float64) float64 {
	most := 0.0
	for i, late := range truths {
		for j := i; j >= 0 && truths[j].t >= from && truths[j].t > late.t-1+1e-6; j-- {
			most = max(most, late.v[q]-truths[j].v[q])
		}
	}
	return most
}
