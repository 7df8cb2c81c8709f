package rehearsal

import (
	"math"
	"time"

	"driftline/internal/book"
)

// Rule names the day of the next test of a quantity, asked right after a test.
type Rule func(lines []book.Line, tank, quantity string, asOf time.Time) (time.Time, error)

// learnDays are the first days of a watched tank, tested as its keeper is used
// to under every rule alike; they do not count.
const learnDays = 60

// Watch is what testing by some rule came to, over tanks of one family.
type Watch struct {
	Tests       int
	Days        float64 // watched
	Outside     float64 // days the level truly was outside its band
	Unseen      float64 // of them, days before a test showed it
	Excursions  int
	FalseAlarms int // tests showing outside while the level was inside
}

func (w *Watch) merge(o Watch) {
	w.Tests += o.Tests
	w.Days += o.Days
	w.Outside += o.Outside
	w.Unseen += o.Unseen
	w.Excursions += o.Excursions
	w.FalseAlarms += o.FalseAlarms
}

// watch runs the tank with tests of one quantity only, each as many days after
// the one before as wait says, and a keeper who acts as soon as a test shows
// the quantity outside its band, and not before.
func (d *draft) watch(q ion, wait func() (float64, error)) (Watch, error) {
	b := d.basin
	d.begin()
	next := 2.0
	var seen []float64
	var w Watch
	var failed error
	tested := func() {
		r := b.test(q, "")
		if out := d.shows(q, r); out {
			seen = append(seen, b.s.t)
			d.mend(q, r)
		}
		next = b.s.t + math.Min(10, d.keeper.every[q])
		if b.s.t >= learnDays {
			w.Tests++
			days, err := wait()
			failed = err
			next = b.s.t + math.Max(0.9, days)
		}
	}
	for day := 0.0; day < float64(d.days) && failed == nil; day++ {
		acts := append(d.given(day), d.handWork(day)...)
		if next < day+1 {
			acts = append(acts, act{math.Max(day, next), tested})
		}
		b.through(acts, day+1)
	}
	w.Days = float64(d.days) - learnDays
	w.count(b.truths, seen, d.keeper.bands[q], q)
	return w, failed
}

// shows tells whether a reading says that the level is outside its band.
func (d *draft) shows(q ion, r test) bool {
	band := d.keeper.bands[q]
	if r.below {
		return r.v <= band[0]
	}
	return r.v < band[0] || r.v > band[2]
}

// mend brings the level back to the aim as far as the reading tells, and turns the pumps.
func (d *draft) mend(q ion, r test) {
	b, band := d.basin, d.keeper.bands[q]
	if r.v > band[2] {
		b.change(math.Round(0.25*d.litres), "")
		d.turn(q, 0.85)
		return
	}
	if what, ok := remedy(q); ok {
		b.dose(what, (band[1]-r.v)/what.raises(d.litres)[q], false, "")
	}
	d.turn(q, 1.15)
}

// count goes through the truth after the learning days.
func (w *Watch) count(truths []moment, seen []float64, band [3]float64, q ion) {
	out, known := false, false
	for i := 1; i < len(truths); i++ {
		a, z := truths[i-1], truths[i]
		if a.t < learnDays {
			continue
		}
		is := a.v[q] < band[0] || a.v[q] > band[2]
		if is && !out {
			w.Excursions++
			known = false
		}
		out = is
		for len(seen) > 0 && seen[0] <= a.t+1e-9 {
			if seen[0] >= learnDays && !out {
				w.FalseAlarms++
			}
			known = out
			seen = seen[1:]
		}
		if out {
			w.Outside += z.t - a.t
			if !known {
				w.Unseen += z.t - a.t
			}
		}
	}
}
