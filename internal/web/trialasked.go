package web

import (
	"fmt"
	"net/url"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/trial"
	"driftline/units"
)

// trialNames are the fields of the form that make the trial.
func trialNames() []string {
	out := []string{"tank", "name", "question", "change", "from", "weeks", "settle", "ramp", "draw", "pattern", "comparison", "rules"}
	for n := range mostWatched {
		for _, name := range []string{"watch", "hoped", "matters", "every"} {
			out = append(out, fmt.Sprintf("%s%d", name, n+1))
		}
	}
	return out
}

// trialAsked reads the form; drawn is the day on which the lot fell.
func (s *Server) trialAsked(t *book.TankFacts, ask url.Values, drawn int) (*book.Trial, error) {
	typed, usual := typedTrial(ask), s.usualTrial(t)
	d := trial.Draft{Name: typed.Name, Question: typed.Question, Change: typed.Change, Drawn: drawn}
	if d.Change == "" {
		d.Change = d.Name
	}
	for _, name := range ask["comparison"] {
		if name != "" && !same(name, t.Tank.Name) {
			d.Comparison = append(d.Comparison, name)
		}
	}
	from, err := momentOf(or(typed.From, usual.From), "00:00", t.Location)
	if err != nil {
		return nil, fmt.Errorf("the day the change comes: %w", err)
	}
	figures := map[string]float64{}
	for _, x := range []struct {
		name, what, text, usual string
		least, most             float64
	}{
		{"weeks", "the weeks measured", typed.Weeks, usual.Weeks, 1, 104}, {"settle", "the days of settling", typed.Settle, usual.Settle, 0, 100},
		{"ramp", "the days of the ramp", typed.Ramp, usual.Ramp, 0, 100}, {"draw", "the days to draw the start from", typed.Draw, usual.Draw, 1, 400},
	} {
		v, ok := typedFigure(or(x.text, x.usual))
		if !ok || v < x.least || v > x.most {
			return nil, fmt.Errorf("%s are %s: expected a number from %g to %g", x.what, shorten(x.text), x.least, x.most)
		}
		figures[x.name] = v
	}
	d.SettleDays, d.RampDays = bookDays(figures["settle"]), bookDays(figures["ramp"])
	d.Ends = from.AddDate(0, 0, int(7*figures["weeks"]))
	d.On = phasesOf(from, d.Ends, ask.Get("pattern") == "twice")
	if figures["draw"] > 1 {
		d.DrawUntil = from.AddDate(0, 0, int(figures["draw"])-1)
	}
	for n := range mostWatched {
		text, err := outcomeAsked(ask, n+1)
		if err != nil {
			return nil, err
		}
		if text != "" {
			d.Outcomes = append(d.Outcomes, text)
		}
	}
	rules := or(strings.TrimSpace(ask.Get("rules")), usualRules(t))
	if book.Key(rules) != "none" {
		d.StopWhen = parts(rules, "\n")
	}
	return d.Trial()
}

func or(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

func bookDays(v float64) book.Number {
	if v == 0 {
		return ""
	}
	return book.Number(fmt.Sprintf("%g", v))
}

// phasesOf are one stretch to the end, or two quarters with a quarter between.
func phasesOf(from, ends time.Time, twice bool) []book.Phase {
	if !twice {
		return []book.Phase{{From: &from}}
	}
	days := int(ends.Sub(from).Hours()/24+0.5) / 4
	a, b, c := from.AddDate(0, 0, days), from.AddDate(0, 0, 2*days), from.AddDate(0, 0, 3*days)
	return []book.Phase{{From: &from, Until: &a}, {From: &b, Until: &c}}
}

// outcomeAsked writes one outcome of the form in its short form.
func outcomeAsked(ask url.Values, n int) (string, error) {
	g := func(name string) string { return strings.TrimSpace(ask.Get(fmt.Sprintf("%s%d", name, n))) }
	what, of, ok := strings.Cut(g("watch"), ":")
	if !ok || of == "" {
		return "", nil
	}
	hoped := "fall"
	if g("hoped") == "rise" {
		hoped = "rise"
	}
	text := what + " " + of + " " + hoped
	if m := g("matters"); m != "" {
		v, ok := typedFigure(m)
		if !ok || v <= 0 {
			return "", fmt.Errorf("the difference that matters, %s, is not a number above 0", shorten(m))
		}
		if (what == "interval" || what == "count") && v <= 1 {
			return "", fmt.Errorf("the difference that matters, %s, is not a ratio above 1, such as 1.3", shorten(m))
		}
		text += fmt.Sprintf(" by %g", v)
		if what == "reading" || what == "peak" {
			text += " " + units.Quantity(of).Default()
		}
	}
	if e := g("every"); e != "" {
		v, ok := typedFigure(e)
		if !ok || v <= 0 {
			return "", fmt.Errorf("the days between looks, %s, are not a number above 0", shorten(e))
		}
		text += fmt.Sprintf(" every %g", v)
	}
	return text, nil
}
