package chart

import (
	"math"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/effect"
	"driftline/internal/trial"
)

// FromFinding is the picture of what one outcome of a trial showed. The answer is
// drawn only when the trial is over: a picture that hints at a verdict is one.
func FromFinding(r trial.Report, f trial.Finding, zone *time.Location) Contrast {
	t := r.Trial
	c := Contrast{Name: f.Label + ", " + t.Tank, Unit: figureUnit(f), Zone: zone, Effect: math.NaN(), Low: math.NaN(), High: math.NaN(),
		Ratio: f.Ask.Outcome.Ratio(), Rise: f.Ask.Rise, Matters: f.Ask.Matters, Decimals: 1}
	if len(f.Ask.Comparison) > 0 && !c.Ratio {
		c.Name += " minus " + strings.Join(t.Plan.Comparison, " and ")
	}
	for _, s := range f.Ask.On {
		until := s.Until
		if until.IsZero() {
			until = t.Until(r.AsOf)
		}
		if until.After(s.From) {
			c.On = append(c.On, Span{s.From, until})
		}
		for _, turn := range []time.Time{s.From, s.Until} {
			if !turn.IsZero() && f.Ask.Settle > 0 && turn.Before(t.Until(r.AsOf)) {
				c.Settling = append(c.Settling, Span{turn, turn.Add(f.Ask.Settle)})
			}
		}
	}
	if !r.Final {
		c.Today = r.AsOf
	}
	if f.Missing != "" {
		c.Spots = unfitted(f.Ask)
		return c
	}
	c.Decimals = effect.Decimals(f.Result)
	for _, u := range f.Result.Used {
		if u.Tank != 0 {
			continue
		}
		c.Spots = append(c.Spots, Mark{At: u.At, Value: u.Value, On: u.On, Misread: u.Dropped, Settling: u.Settling})
		if u.Fitted && r.Final {
			c.Without = append(c.Without, Plain{u.At, u.Without})
		}
	}
	if open := len(f.Ask.Treated) - 1; c.Ratio && open >= 0 && f.Ask.Treated[open].Open && len(c.Spots) > 0 {
		c.Spots[len(c.Spots)-1].Open = true
	}
	if r.Final {
		c.Effect, c.Low, c.High = f.Result.Effect, f.Result.Low, f.Result.High
	}
	return c
}

// unfitted are the figures of a question nothing can be worked out of yet.
func unfitted(a effect.Ask) []Mark {
	var out []Mark
	for _, p := range a.Treated {
		on := false
		for _, s := range a.On {
			on = on || !p.At.Before(s.From) && (s.Until.IsZero() || p.At.Before(s.Until))
		}
		out = append(out, Mark{At: p.At, Value: p.Value - p.Known, On: on, Open: p.Open})
	}
	return out
}

// figureUnit is the unit of the figures, which for ratios is not that of the
// effect.
func figureUnit(f trial.Finding) string {
	switch book.Key(f.Outcome.What) {
	case "interval":
		return "days"
	case "count":
		return "times a week"
	}
	return f.Unit
}
