package effect

import (
	"fmt"
	"time"

	"driftline/stats"
)

// Outcome says what the figures are, and so how they are compared.
type Outcome string

// The outcomes.
const (
	Reading  Outcome = "reading"  // a measured value; the effect is a difference
	Score    Outcome = "score"    // 0 to 4 by eye; the effect is a difference, its p goes by ranks
	Interval Outcome = "interval" // days between two of a kind; the effect is a ratio
	Count    Outcome = "count"    // how many; the effect is a ratio
)

// Ratio tells whether effects of the outcome are ratios, of which 1 is no change.
func (o Outcome) Ratio() bool { return o == Interval || o == Count }

// Point is one figure.
type Point struct {
	At    time.Time
	Value float64
	// Known is what known doses and water changes moved the value by; it is taken
	// off before anything else.
	Known float64
	// Open says that an interval was not over yet: it is at least Value.
	Open bool
}

// Span is a stretch of time in which a change was on. No end: until the last
// figure.
type Span struct{ From, Until time.Time }

func (s Span) holds(at time.Time) bool {
	return !at.Before(s.From) && (s.Until.IsZero() || at.Before(s.Until))
}

// Other is another change on the treated tank, worked out together with the one
// asked for.
type Other struct {
	Name string
	On   []Span
}

// Pair is a treated tank and, if there is one, what it is compared with.
type Pair struct{ Treated, Comparison []Point }

// Ask is a question to figures.
type Ask struct {
	Treated, Comparison []Point
	Also                []Pair        // other tanks with the same change at the same time
	On                  []Span        // when the change was on; the first begins the trial
	Settle              time.Duration // after each beginning and end, figures count for nothing
	Outcome             Outcome
	Rise                bool    // a rise is hoped for; else a fall
	Matters             float64 // the smallest difference that would matter, above 0; a ratio above 1 for ratios; 0 when not said
	Unit                string
	// Slope lets the trend change as well as the level.
	Slope bool
	// NoTrend leaves the trend out where there is no comparison.
	NoTrend bool
	Others  []Other
	// Starts are the starts the lot could have fallen on, the true one among them.
	// Empty when the start was chosen.
	Starts []time.Time
}

// Check is one assumption looked at.
type Check struct {
	Name string `json:"name"`
	Fits bool   `json:"fits"`
	Says string `json:"says"`
}

// Result is what the figures say.
type Result struct {
	Effect     float64 // at the likeliest correlation
	Low, High  float64 // 95 % interval, over all correlations
	P          float64 // of no effect, two-sided
	Method     string
	Phi        float64 // correlation of figures a usual gap apart, by restricted likelihood
	GapDays    float64 // the usual gap
	PDirection float64 // probability that the effect is in the hoped direction, by at least what matters
	Verdict    Verdict
	Why        string  // the verdict's reason in a sentence
	MoreDays   float64 // how much longer at this pace, about, when it can't be told yet; 0 when unknown
	Checks     []Check
	Exact      float64 // p of the exact test where the start was drawn, -1 without
	Others     []OtherEffect
	Used       []Used // the figures as compared, in order of time
	Before     int    // figures before the change
	After      int    // figures while it was on
	DF         float64
	SlopeP     float64 // p of no change of trend, where a change of trend was allowed; else -1
	average    stats.Average
	without    []float64 // of the figures that were kept
}

// OtherEffect is what another change did at the same time.
type OtherEffect struct {
	Name      string
	Effect    float64
	Low, High float64
	Mixed     float64 // correlation between the two effects' estimates, -1 to 1
	Together  bool    // the two cannot be told apart
}

// Used is one figure as it was compared.
type Used struct {
	At       time.Time
	Value    float64 // the difference to the comparison, or the value itself
	On       bool
	Dropped  bool // taken for a misread
	Settling bool // too near the change to count
	Tank     int  // 0 for the treated tank, else the place of its pair in Also, from 1
	// Without is what the model takes it to be without the change, all else as it
	// was; only where Fitted, which it is for figures that count.
	Without float64
	Fitted  bool
}

// fewest figures on either side of a change.
const fewest = 3

// Analyse answers a question.
func Analyse(a Ask) (Result, error) {
	if err := a.check(); err != nil {
		return Result{}, err
	}
	if a.Outcome.Ratio() {
		return a.ratios()
	}
	return a.differences()
}

func (a Ask) check() error {
	switch {
	case len(a.On) == 0 || a.On[0].From.IsZero():
		return fmt.Errorf("no start: expected when the change came")
	case a.Settle < 0:
		return fmt.Errorf("settling time %v: expected none or more", a.Settle)
	case a.Matters < 0 || a.Outcome.Ratio() && a.Matters != 0 && a.Matters <= 1:
		return fmt.Errorf("smallest difference that matters %v: expected above 0, or for %ss a ratio above 1, such as 1.2", a.Matters, a.Outcome)
	}
	for _, p := range a.Treated {
		switch {
		case a.Outcome == Interval && !(p.Value > 0):
			return fmt.Errorf("an interval of %v: expected days above 0", p.Value)
		case a.Outcome == Count && !(p.Value >= 0):
			return fmt.Errorf("a count of %v: expected 0 or more", p.Value)
		}
	}
	before, after := 0, 0
	for _, p := range a.Treated {
		switch a.state(p.At) {
		case off:
			before++
		case on:
			after++
		}
	}
	if before < fewest || after < fewest {
		return fmt.Errorf("%s without the change and %d with it: expected %d or more of each", figures(before), after, fewest)
	}
	return nil
}

func figures(n int) string {
	if n == 1 {
		return "1 figure"
	}
	return fmt.Sprintf("%d figures", n)
}

// state of a moment.
type state int

const (
	off state = iota
	on
	settling
)

func (a Ask) state(at time.Time) state {
	now := off
	for _, s := range a.On {
		if s.holds(at) {
			now = on
		}
		for _, turn := range []time.Time{s.From, s.Until} {
			if !turn.IsZero() && !at.Before(turn) && at.Before(turn.Add(a.Settle)) {
				return settling
			}
		}
	}
	return now
}

func (a Ask) start() time.Time { return a.On[0].From }

// days since the start of the trial.
func (a Ask) days(at time.Time) float64 { return at.Sub(a.start()).Hours() / 24 }
