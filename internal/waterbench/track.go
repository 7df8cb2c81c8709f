package waterbench

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/units"
)

// habit is how a quantity is carried from its readings to another moment: the
// nearest reading within the window stands, else the line between neighbours.
// Either way the level may have wandered: wander is the standard deviation it
// gathers in a day, most what it gathers at last. Default units; common practice.
type habit struct {
	window       time.Duration
	wander, most float64
}

var habits = map[units.Quantity]habit{
	units.Temperature: {6 * time.Hour, 0.3, 1},
	units.Salinity:    {3 * 24 * time.Hour, 0.15, 1},
	units.PH:          {3 * time.Hour, 0.1, 0.15},
	units.Alkalinity:  {24 * time.Hour, 0.25, 1.5},
	units.Calcium:     {3 * 24 * time.Hour, 5, 30},
}

// reach is how long after the last reading, or before the first, it still stands.
const reach = 60 * 24 * time.Hour

// track is the readings of one quantity, to be asked for any moment.
type track struct {
	habit
	list []standing.Measured
}

// at is the level at a moment; false when no reading is near enough.
func (k *track) at(t time.Time) (figure, bool) {
	n := len(k.list)
	i := sort.Search(n, func(i int) bool { return !k.list[i].At.Before(t) }) // the first not before
	if i == n && i == 0 {
		return figure{}, false
	}
	if j, gap := k.nearest(i, t); gap <= k.window || i == 0 || i == n {
		if gap > reach {
			return figure{}, false
		}
		m := &k.list[j]
		return figure{m.Value, math.Hypot(m.Doubt(), k.gathered(gap.Hours()/24))}, true
	}
	a, b := &k.list[i-1], &k.list[i]
	before, after := t.Sub(a.At).Hours()/24, b.At.Sub(t).Hours()/24
	share := before / (before + after)
	// A wandering level pinned at both ends: a Brownian bridge.
	bridge := k.gathered(before * after / (before + after))
	once := math.Hypot((1-share)*a.SD, share*b.SD)
	bias := (1-share)*a.Bias + share*b.Bias
	return figure{(1-share)*a.Value + share*b.Value, math.Sqrt(once*once + bias*bias + bridge*bridge)}, true
}

// nearest is the reading nearest to t, i being the first not before it.
func (k *track) nearest(i int, t time.Time) (int, time.Duration) {
	if i == len(k.list) || i > 0 && t.Sub(k.list[i-1].At) <= k.list[i].At.Sub(t) {
		return i - 1, t.Sub(k.list[i-1].At)
	}
	return i, k.list[i].At.Sub(t)
}

func (k *track) gathered(days float64) float64 {
	return math.Min(k.most, k.wander*math.Sqrt(days))
}

// How many points a series has at most, and how many of them are the newest
// readings, none left out.
const (
	pointsMost   = 4000
	pointsNewest = 1000
)

// thinned are the readings a series is worked out for. Of more than pointsMost the
// older ones give one from each of equal stretches, its place in the stretch
// stepping by the golden section so that no hour of the day is preferred.
func thinned(list []standing.Measured) []standing.Measured {
	if len(list) <= pointsMost {
		return list
	}
	older, newest := list[:len(list)-pointsNewest], list[len(list)-pointsNewest:]
	out := make([]standing.Measured, 0, pointsMost)
	const strata = pointsMost - pointsNewest
	for i := range strata {
		from, to := len(older)*i/strata, len(older)*(i+1)/strata
		_, place := math.Modf(float64(i) * (math.Phi - 1))
		out = append(out, older[from+int(place*float64(to-from))])
	}
	return append(out, newest...)
}

// logbook is what a tank's log has of its water.
type logbook struct {
	tank     *book.TankFacts
	zone     *time.Location
	asOf     time.Time
	readings map[units.Quantity][]standing.Measured
	leftOut  map[units.Quantity]int // readings that look like misreads
}

func openLog(f *book.Facts, tank string, asOf time.Time) (*logbook, error) {
	readings, err := standing.Measurements(f, tank, asOf)
	if err != nil {
		return nil, err
	}
	t, _ := f.Tank(tank)
	l := &logbook{tank: t, zone: t.Location, asOf: asOf, readings: map[units.Quantity][]standing.Measured{}}
	if l.zone == nil {
		l.zone = time.UTC
	}
	for q, list := range readings {
		l.readings[q] = usable(q, list)
	}
	return l, nil
}

// usable turns "under the kit's limit" into half the limit with the doubt of not
// knowing where below it; a level that must not be zero is left out then.
func usable(q units.Quantity, list []standing.Measured) []standing.Measured {
	if !slices.ContainsFunc(list, func(m standing.Measured) bool { return m.Below }) {
		return list
	}
	out := make([]standing.Measured, 0, len(list))
	for _, m := range list {
		if m.Below {
			if q != units.TotalAmmonia {
				continue
			}
			m.Value, m.SD, m.Bias = m.Value/2, m.Value/math.Sqrt(12), 0
		}
		out = append(out, m)
	}
	return out
}

// misreadLikely is the chance from which a reading is taken for a misread.
const misreadLikely = 0.5

// leaveOutMisreads drops the readings that the whole log of their quantity speaks
// against.
func (l *logbook) leaveOutMisreads(d *standing.Desk, f *book.Facts) error {
	l.leftOut = map[units.Quantity]int{}
	all, err := d.Tank(f, l.tank.Tank.Name, l.asOf, 0)
	if err != nil {
		return err
	}
	for _, s := range all {
		q := units.Quantity(s.Name)
		list := l.readings[q]
		odd := map[int64]bool{}
		for _, r := range s.Readings {
			if r.Misread > misreadLikely {
				odd[r.At.UnixNano()] = true
			}
		}
		if len(odd) == 0 {
			continue
		}
		kept := make([]standing.Measured, 0, len(list))
		for _, m := range list {
			if !odd[m.At.UnixNano()] {
				kept = append(kept, m)
			}
		}
		l.leftOut[q] = len(list) - len(kept)
		l.readings[q] = kept
	}
	return nil
}

func (l *logbook) has(q units.Quantity) bool { return len(l.readings[q]) > 0 }

func (l *logbook) level(q units.Quantity, at time.Time) (figure, bool) {
	k := track{habits[q], l.readings[q]}
	return k.at(at)
}

// waterAt makes w the water at a moment, by the reading m of q itself and the
// levels of the other quantities asked for. False when one is not known then.
func (l *logbook) waterAt(w *water, q units.Quantity, m *standing.Measured, others ...units.Quantity) bool {
	if w.got == nil {
		w.got, w.unit = map[units.Quantity]figure{}, map[units.Quantity]string{}
	}
	clear(w.got)
	clear(w.unit)
	w.content = w.content[:0]
	w.got[q], w.unit[q] = figure{m.Value, m.Doubt()}, m.Unit
	for _, other := range others {
		if !l.put(w, other, m.At) && other != units.Calcium {
			return false
		}
	}
	w.sp, w.tempC = unknownSalinity, unknownTemp
	if l.put(w, units.Salinity, m.At) {
		w.sp = w.got[units.Salinity]
	}
	if l.put(w, units.Temperature, m.At) {
		w.tempC = w.got[units.Temperature]
	}
	return w.settle() == nil
}

// put gives the water the level of a quantity at a moment; false when not known.
func (l *logbook) put(w *water, q units.Quantity, at time.Time) bool {
	f, ok := l.level(q, at)
	if ok {
		w.got[q], w.unit[q] = f, q.Default()
	}
	return ok
}

// taken says what stands in for readings the log does not have.
func (l *logbook) taken(qs ...units.Quantity) []string {
	var out []string
	for _, q := range qs {
		h := habits[q]
		switch {
		case l.has(q):
			if n := l.leftOut[q]; n > 0 {
				out = append(out, fmt.Sprintf("%s left out where it looks like a misread (%d)", q, n))
			}
			out = append(out, fmt.Sprintf("%s of the nearest reading within %s, else from its neighbours", q, span(h.window)))
		case q == units.Salinity:
			out = append(out, "salinity 35 ± 1.5, for the log has none")
		case q == units.Temperature:
			out = append(out, "25.5 ± 1.5 °C, for the log has no temperature")
		case q == units.Calcium:
			out = append(out, "calcium from salinity, for the log has none")
		}
	}
	return out
}

func span(d time.Duration) string {
	if h := d.Hours(); h < 48 {
		return fmt.Sprintf("%.0f hours", h)
	}
	return fmt.Sprintf("%.0f days", d.Hours()/24)
}
