package whatif

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/units"
)

// Evaporation where top-offs were not logged: common practice, no source.
const usualEvaporation = 0.01 // of the volume a day

// How far back top-offs tell of the evaporation, and how much they must span.
const (
	topOffDays   = 60
	fewestTopOff = 3
	leastSpan    = 7.0
)

// least is the share of the water below which no plan lets it fall: pumps run dry
// long before.
const least = 0.5

// air is what a tank loses to the air and how it is replaced.
type air struct {
	litres  float64 // a day
	byHand  bool
	turns   float64 // hand top-offs a day
	with    string  // substance dissolved in the top-off
	perL    float64 // g or mL of it a litre
	assumed string
}

// airOf finds the evaporation from the top-offs of the last weeks.
func airOf(t *book.TankFacts, litres float64, asOf time.Time) air {
	var first, last time.Time
	var a air
	sum, n := 0.0, 0
	for i := range t.Events {
		e := &t.Events[i]
		b, ok := e.Body.(*book.TopOff)
		if !ok || e.At.After(asOf) || asOf.Sub(e.At) > topOffDays*24*time.Hour {
			continue
		}
		v, _ := b.Volume.Float()
		l, err := units.Litres(v, b.Unit)
		if err != nil || !(l > 0) {
			continue
		}
		if n == 0 {
			first = e.At
		} else {
			sum += l // what came after the first replaced what was lost since
		}
		last, n = e.At, n+1
		a.with = strings.TrimSpace(b.Substance)
		a.perL, _ = b.Concentration.Float()
	}
	span := last.Sub(first).Hours() / 24
	a.byHand = n > 0 && !hasTopOffMachine(t)
	a.litres = usualEvaporation * litres
	a.turns = 1
	if n >= fewestTopOff && span >= leastSpan {
		a.litres, a.turns = min(sum/span, litres/10), float64(n-1)/span
		return a
	}
	a.assumed = fmt.Sprintf("Evaporation is taken as 1 %% of the water, %s L a day: no top-offs are logged to tell it.", units.FormatAmount(a.litres))
	return a
}

func hasTopOffMachine(t *book.TankFacts) bool {
	for _, d := range t.Equipment {
		for _, text := range []string{d.Body.Name, d.Body.Type} {
			key := strings.ReplaceAll(book.Key(text), " ", "-")
			if strings.Contains(key, "top-off") {
				return true
			}
		}
	}
	return false
}

// dry is a span in which evaporation is not fully replaced.
type dry struct{ from, to, rate float64 } // rate in L a day

// tidy sorts dry spans and cuts what overlaps.
func tidy(spans []dry) []dry {
	slices.SortStableFunc(spans, func(a, b dry) int { return cmp.Compare(a.from, b.from) })
	var out []dry
	for _, s := range spans {
		if n := len(out); n > 0 {
			s.from = max(s.from, out[n-1].to)
		}
		if s.to > s.from && s.rate > 0 {
			out = append(out, s)
		}
	}
	return out
}

// missing is how many litres are missing at a time, before a refill at that time.
func missing(spans []dry, t, litres float64) float64 {
	for _, s := range spans {
		if t > s.from && t <= s.to {
			return min((t-s.from)*s.rate, (1-least)*litres)
		}
	}
	return 0
}

// topped is how many litres of top-off a plan takes.
func topped(spans []dry, perDay, days, litres float64) float64 {
	sum := perDay * days
	for _, s := range spans {
		to := min(s.to, days)
		if to <= s.from {
			continue
		}
		sum -= s.rate * (to - s.from)
		if s.to <= days {
			sum += missing(spans, s.to, litres)
		}
	}
	return math.Max(sum, 0)
}
