package makeup

import (
	"fmt"
	"math"

	"driftline/internal/standing"
	"driftline/internal/substance"
	"driftline/units"
)

// The largest steps of warmth. Common practice, no source: a tank's temperature
// moves by at most 1 °C at once; the new water itself, which animals near the
// inflow meet undiluted, lies within 3 °C (judgement).
const (
	mostWarmStep   = 1.0
	mostWarmInflow = 3.0
)

// Warmth is how the temperature of the new water fits the tank.
type Warmth struct {
	Tank     *standing.Estimate `json:"tank"` // nil where it was never read
	NewWater float64            `json:"new_water"`
	After    *float64           `json:"after"`
	MostStep float64            `json:"most_step"` // common practice
	Low      *float64           `json:"new_water_low"`
	High     *float64           `json:"new_water_high"`
	Unit     string             `json:"unit"`
	Warning  string             `json:"warning,omitempty"`
	Says     string             `json:"says"`
}

// warmth mixes by volume: both are sea water, so their heat goes with it.
func (w *follower) warmth(s *standing.Quantity) Warmth {
	q, fresh := units.Temperature, w.batch.TempC
	out := Warmth{NewWater: fresh, MostStep: mostWarmStep, Unit: "°C"}
	if s == nil {
		out.Says = "The temperature of the tank was never read: bring the new water to the tank's, by the same thermometer."
		return out
	}
	tank, err1 := units.Convert(q, s.Level.Mean, s.Unit, out.Unit)
	sd, err2 := units.ConvertSD(q, s.Level.Mean, s.Level.SD, s.Unit, out.Unit)
	if err1 != nil || err2 != nil {
		out.Says = "The temperature of the tank is not known."
		return out
	}
	room := min(mostWarmStep/w.out.Share, mostWarmInflow)
	after, low, high := AfterChange(tank, fresh, w.out.Share), tank-room, tank+room
	out.Tank, out.After, out.Low, out.High = &standing.Estimate{Mean: tank, SD: sd}, &after, &low, &high
	show := func(v float64) string { return units.Format(q, v, out.Unit) }
	out.Says = fmt.Sprintf("The tank, at %s, comes to %s with new water of %s. The new water may have %s to %s (common practice, no source: the tank moves by at most %s at once, and what flows in lies within %s of it); best is the tank's own.",
		units.FormatPM(q, tank, sd, out.Unit), show(after), show(fresh), show(low), show(high), span(mostWarmStep), span(mostWarmInflow))
	if fresh < low-1e-9 || fresh > high+1e-9 {
		out.Warning = fmt.Sprintf("New water of %s is too far from the tank's %s: bring it to between %s and %s first.", show(fresh), show(tank), show(low), show(high))
	}
	return out
}

// span writes a difference of temperature.
func span(v float64) string { return units.FormatAmount(v) + " °C" }

// Matching is how the salinity of the new water fits the tank.
type Matching struct {
	Tank     *standing.Estimate `json:"tank"` // nil where it was never read
	NewWater float64            `json:"new_water"`
	After    *float64           `json:"after"`
	Aim      *float64           `json:"aim"`
	MostADay float64            `json:"most_a_day"`
	Needed   []Needed           `json:"needed"` // of the new water, to bring the tank to its aim
	Unit     string             `json:"unit"`
	Warning  string             `json:"warning,omitempty"`
	Says     string             `json:"says"`
}

// Needed is the salinity of the new water that brings the tank to its aim in so
// many changes of this size, and the largest step of the tank on the way.
type Needed struct {
	Changes  int     `json:"changes"`
	NewWater float64 `json:"new_water"`
	Step     float64 `json:"first_step"`
	Allowed  bool    `json:"allowed"` // the step is no larger than a day's, and such water can be mixed
}

// Water saltier than this is not mixed for a tank: judgement.
const saltiest = 42.0

// mostChanges is how many changes to the aim of salinity are looked at.
const mostChanges = 12

// NeededFor is the new water that brings a level to an aim in n changes of one
// share: A = N + (C - N)(1 - f)^n solved for N.
func NeededFor(tank, aim, share float64, n int) float64 {
	left := math.Pow(1-share, float64(n))
	return (aim - tank*left) / (1 - left)
}

func (w *follower) matching(s *standing.Quantity) Matching {
	q := units.Salinity
	out := Matching{NewWater: w.batch.SalinityAfter, Unit: "PSU"}
	if rate, ok := substance.MostADay(w.f, q); ok {
		out.MostADay = rate.Careful
	}
	show := func(v float64) string { return units.Format(q, v, out.Unit) }
	if s == nil {
		out.Says = "The salinity of the tank was never read: measure both waters with one instrument before the change."
		return out
	}
	here, err := inPSU(*s)
	if err != nil {
		out.Says = "The salinity of the tank is not known."
		return out
	}
	tank := here.Level
	after := AfterChange(tank.Mean, out.NewWater, w.out.Share)
	out.Tank, out.After, out.Aim = &tank, &after, here.Band.Aim
	out.Says = fmt.Sprintf("The tank, at %s, comes to %s with new water of %s.", units.FormatPM(q, tank.Mean, tank.SD, out.Unit), show(after), show(out.NewWater))
	if step := math.Abs(after - tank.Mean); step > out.MostADay {
		out.Warning = fmt.Sprintf("Salinity moves by %s at once, more than the %s of a careful day (common practice, no source): change at most %s L a day, or mix nearer to the tank.",
			show(step), show(out.MostADay), units.FormatAmount(roundDown(out.MostADay/math.Abs(out.NewWater-tank.Mean)*w.out.NetLitres)))
	}
	if out.Aim == nil {
		return out
	}
	if math.Abs(*out.Aim-tank.Mean) < max(0.05, tank.SD/2) {
		out.Says += fmt.Sprintf(" As far as the log can tell it is at its aim of %s.", show(*out.Aim))
		return out
	}
	w.needed(&out, tank.Mean, show)
	return out
}

// needed lists the new water for one to four changes, or up to the first number
// whose steps are small enough.
func (w *follower) needed(out *Matching, tank float64, show func(float64) string) {
	first := 0
	for n := 1; n <= 4 || n <= mostChanges && first == 0; n++ {
		x := Needed{Changes: n, NewWater: NeededFor(tank, *out.Aim, w.out.Share, n)}
		x.Step = AfterChange(tank, x.NewWater, w.out.Share) - tank
		x.Allowed = x.NewWater >= 0 && x.NewWater <= saltiest && math.Abs(x.Step) <= out.MostADay+1e-9
		if x.Allowed && first == 0 {
			first = n
		}
		out.Needed = append(out.Needed, x)
	}
	if first == 0 {
		out.Says += fmt.Sprintf(" To bring it to its aim of %s takes larger changes, or more than %d of this size.", show(*out.Aim), mostChanges)
		return
	}
	x := out.Needed[first-1]
	words := "one such change with"
	if first > 1 {
		words = fmt.Sprintf("%d such changes, a day or more apart, with", first)
	}
	out.Says += fmt.Sprintf(" To bring it to its aim of %s takes %s new water of %s; it then moves by at most %s a day.", show(*out.Aim), words, show(x.NewWater), show(math.Abs(x.Step)))
}
