package trial

import (
	"fmt"
	"time"

	"driftline/internal/book"
	"driftline/internal/effect"
	"driftline/internal/prose"
	"driftline/internal/standing"
)

// Finding is what one outcome showed.
type Finding struct {
	Outcome book.Outcome
	Label   string
	Unit    string // of the effect
	Ask     effect.Ask
	Result  effect.Result
	Missing string // why nothing can be worked out yet; empty when it was
	// PeekLow and PeekHigh are the interval that may be looked at while the trial runs.
	PeekLow, PeekHigh float64
	Before, After     int // figures of the treated tank so far
}

// Report is a trial with all it showed.
type Report struct {
	Trial      Trial
	AsOf       time.Time
	Findings   []Finding // the first decides
	Verdict    effect.Verdict
	Says       string
	Final      bool // the trial is over; before, no verdict is given
	Clashes    []Clash
	Deviations []string
	Measuring  []Measuring
}

// Work works a trial out as of a moment.
func Work(desk *standing.Desk, f *book.Facts, t Trial, asOf time.Time) Report {
	r := Report{Trial: t, AsOf: asOf, Final: t.State == Over}
	until := t.Until(asOf)
	from := baseline(t.Start, until)
	r.Clashes = clashes(f, t, from, until)
	g := bench{desk, f, asOf}
	for _, o := range t.Plan.Outcomes {
		r.Findings = append(r.Findings, g.finding(t, o, from, until, joint(r.Clashes)))
	}
	r.Measuring = Measure(f, t, asOf)
	r.Deviations = deviations(t, r)
	r.conclude()
	return r
}

func (g bench) finding(t Trial, o book.Outcome, from, until time.Time, others []effect.Other) Finding {
	fd := Finding{Outcome: o, Label: Label(o), Unit: unitOf(o)}
	ask, err := g.ask(t, o, from, until)
	if err != nil {
		fd.Missing = err.Error()
		return fd
	}
	ask.Others = others
	fd.Ask = ask
	for _, p := range ask.Treated {
		if p.At.Before(t.Start) {
			fd.Before++
		} else {
			fd.After++
		}
	}
	fd.Result, err = effect.Analyse(ask)
	if err != nil {
		fd.Missing = err.Error()
		return fd
	}
	fd.PeekLow, fd.PeekHigh = ask.Peek(fd.Result)
	return fd
}

// ask turns an outcome into a question to its figures.
func (g bench) ask(t Trial, o book.Outcome, from, until time.Time) (effect.Ask, error) {
	b := t.Plan
	matters, _ := o.Matters.Float()
	a := effect.Ask{On: spans(b), Settle: settle(b), Outcome: kindOf(o), Rise: book.Key(o.Hoped) == "rise", Matters: matters, Unit: unitOf(o)}
	compare, err := g.comparison(t, o, from, until)
	if err != nil {
		return a, err
	}
	if a.Treated, err = g.series(o, t.Tank, from, until, b); err != nil {
		return a, err
	}
	a.Comparison = compare
	for _, name := range b.AlsoIn {
		also, err := g.series(o, name, from, until, b)
		if err != nil {
			return a, err
		}
		if a.Outcome.Ratio() {
			a.Treated = append(a.Treated, also...)
			continue
		}
		a.Also = append(a.Also, effect.Pair{Treated: also, Comparison: compare})
	}
	if b.DrawnFrom != nil && b.DrawnUntil != nil && len(b.On) == 1 {
		if starts, err := effect.DailyStarts(*b.DrawnFrom, *b.DrawnUntil, t.Start); err == nil {
			a.Starts = starts
		}
	}
	return a, nil
}

// comparison is the mean of the comparison tanks, at the moments of the one that
// was looked at most seldom. Tanks without a figure of this outcome are passed
// over.
func (g bench) comparison(t Trial, o book.Outcome, from, until time.Time) ([]effect.Point, error) {
	var tanks [][]effect.Point
	for _, name := range t.Plan.Comparison {
		p, err := g.series(o, name, from, until, t.Plan)
		if err != nil {
			if _, known := g.f.Tank(name); !known {
				return nil, err
			}
			continue
		}
		if len(p) > 0 {
			tanks = append(tanks, p)
		}
	}
	if kindOf(o).Ratio() {
		var all []effect.Point
		for _, p := range tanks {
			all = append(all, p...)
		}
		return all, nil
	}
	return effect.Mean(tanks), nil
}

func (r *Report) conclude() {
	first := r.Findings[0]
	switch {
	case !r.Final && r.Trial.State == Stopped:
		r.Says = fmt.Sprintf("Stop: %s. The change comes off.", r.Trial.Fired.Says)
	case !r.Final && r.Trial.State == Planned:
		r.Says = "It has not begun."
	case !r.Final:
		r.Says = "It is running: no verdict before its end."
	case first.Missing != "":
		r.Verdict = effect.CantTell
		r.Says = "Nothing can be worked out: " + first.Missing + "."
	default:
		r.Verdict = first.Result.Verdict
		r.Says = prose.Capital(first.Result.Why) + "."
		if n := len(r.Findings); n > 1 {
			r.Says += fmt.Sprintf(" This goes by %s, named first; the other %s told beside it.", first.Outcome.Of, map[bool]string{true: "is", false: "outcomes are"}[n == 2])
		}
	}
}

// deviations are where the trial did not go as it was planned.
func deviations(t Trial, r Report) []string {
	out := t.rewritten()
	if t.Fired != nil {
		out = append(out, fmt.Sprintf("A stop rule fired on %s: %s.", t.Fired.At.Format("2 January 2006"), t.Fired.Says))
	}
	if !t.EndedAt.IsZero() {
		says := "It was ended on " + t.EndedAt.Format("2 January 2006")
		if t.Plan.Ends != nil && t.EndedAt.Before(*t.Plan.Ends) {
			says += fmt.Sprintf(", %.0f days before its planned end", t.Plan.Ends.Sub(t.EndedAt).Hours()/24)
		}
		if t.Ended != "" {
			says += ": " + t.Ended
		}
		out = append(out, says+".")
	}
	for _, m := range r.Measuring {
		if m.Missed > 0 {
			out = append(out, fmt.Sprintf("%s: %d of %d planned looks were missed.", m.Where(t), m.Missed, m.Planned))
		}
	}
	for _, c := range r.Clashes {
		if c.In {
			out = append(out, c.told(t))
		}
	}
	return out
}
