package makeup

import (
	"fmt"
	"math"

	"driftline/internal/prose"
	"driftline/units"
)

// Series is how many changes in a row bring a quantity to a target, by the share
// of the water changed. What the tank uses meanwhile is not counted.
type Series struct {
	Target *float64    `json:"target"` // nil where there is none
	Rows   []SeriesRow `json:"rows"`
	Levels []Step      `json:"levels"` // of changes of the size asked for, until the target
	Says   string      `json:"says"`
}

// SeriesRow is a series of changes of one size.
type SeriesRow struct {
	Litres  float64 `json:"litres"` // of one change
	Share   float64 `json:"share"`
	Changes int     `json:"changes"`
	WaterL  float64 `json:"water_l"` // in all
	Level   float64 `json:"level"`   // after the last
}

// shares are the sizes that a series is told for, beside the one asked for.
var shares = []float64{0.05, 0.1, 0.15, 0.2, 0.3, 0.5}

func (w *follower) series(m Moved) Series {
	q, name := m.Quantity, string(m.Quantity)
	target, ok := w.target(m)
	switch {
	case q == units.Salinity:
		return Series{Says: "How salt the new water must be is told by the salinity it needs."}
	case !ok:
		return Series{Says: "There is no aim for " + name + " to reach."}
	}
	out := Series{Target: &target}
	show := func(v float64) string { return units.Format(q, v, m.Unit) }
	if near(m, target) {
		out.Says = fmt.Sprintf("%s is at %s already, as far as the log can tell.", prose.Capital(name), show(target))
		return out
	}
	if lower := m.Tank.Mean < target; q == units.Nitrate || q == units.Phosphate {
		if lower { // a change takes nutrients out, it brings none
			out.Says = fmt.Sprintf("%s is below %s already, and a change lowers it further.", prose.Capital(name), show(target))
			return out
		}
	}
	steps, err := ChangesToReach(m.Tank.Mean, m.NewWater.Mean, target, w.out.Share)
	if err != nil {
		out.Says = fmt.Sprintf("New water of %s does not bring %s to %s in any sensible number of changes: it must lie well beyond the target.", show(m.NewWater.Mean), name, show(target))
		return out
	}
	out.Levels = steps
	last := steps[len(steps)-1]
	out.Says = fmt.Sprintf("%d %s of %s L (%s L in all) bring %s to %s; what the tank uses meanwhile is not counted.", last.Changes, plural(last.Changes, "change", "changes"),
		units.FormatAmount(w.out.Litres), units.FormatAmount(tenths(float64(last.Changes)*w.out.Litres)), name, show(last.Level))
	for _, share := range w.sizes() {
		steps, err := ChangesToReach(m.Tank.Mean, m.NewWater.Mean, target, share)
		if err != nil {
			continue
		}
		last, litres := steps[len(steps)-1], share*w.out.NetLitres
		out.Rows = append(out.Rows, SeriesRow{litres, share, last.Changes, float64(last.Changes) * litres, last.Level})
	}
	return out
}

// sizes are the usual shares with the one asked for in its place.
func (w *follower) sizes() []float64 {
	var out []float64
	mine := false
	for _, s := range shares {
		if !mine && w.out.Share <= s+0.001 {
			out, mine = append(out, w.out.Share), true
			if math.Abs(w.out.Share-s) <= 0.001 {
				continue
			}
		}
		out = append(out, s)
	}
	if !mine {
		out = append(out, w.out.Share)
	}
	return out
}

// target is what was asked for, else the tank's aim.
func (w *follower) target(m Moved) (float64, bool) {
	for _, f := range w.ask.Reach {
		if f.Quantity == m.Quantity {
			if v, err := units.Convert(f.Quantity, f.Value, f.Unit, m.Unit); err == nil {
				return v, true
			}
		}
	}
	if m.Aim != nil {
		return *m.Aim, true
	}
	return 0, false
}

// near says that the level cannot be told from the target.
func near(m Moved, target float64) bool {
	return math.Abs(m.Tank.Mean-target) <= max(0.002*math.Abs(target), 0.5*m.Tank.SD)
}

func tenths(v float64) float64 { return math.Round(v*10) / 10 }

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}
