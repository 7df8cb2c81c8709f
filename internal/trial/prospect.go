package trial

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"time"

	"driftline/internal/book"
	"driftline/internal/effect"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/units"
)

// Prospect is what a trial could show, before it starts.
type Prospect struct {
	Trial    Trial
	AsOf     time.Time
	Outcomes []Chance
	Clashes  []Clash
	Warnings []string
	Lot      string // what drawing the start by lot buys, or bought
}

// Chance is what the plan could show of one outcome.
type Chance struct {
	Outcome   book.Outcome
	Label     string
	Unit      string
	Noise     effect.Noise
	NoiseFrom string  // where the noise was taken from
	Looks     int     // without the change and with it
	Least     float64 // the smallest difference found in four of five such trials; a ratio for ratios
	Power     float64 // for what matters; -1 when that was not said
	// WeeksNeeded is how long the change would have to be on for four chances of
	// five; 0 when not said, infinite when no half year would do.
	WeeksNeeded float64
	LooksNeeded int
	Better      []Variant
	Missing     string // why nothing can be said
}

// Variant is another plan at the same effort.
type Variant struct {
	Name  string
	How   string
	Power float64
	Least float64
}

// lot is the same each time, so that a plan's answer is too.
func lot() *rand.Rand { return rand.New(rand.NewPCG(20260117, 1)) }

// Foresee works out what a trial could show. The trial need not be in the book.
func Foresee(desk *standing.Desk, f *book.Facts, tank string, b *book.Trial, asOf time.Time) (Prospect, error) {
	if _, ok := f.Tank(tank); !ok {
		return Prospect{}, fmt.Errorf("tank %q is not in the book", tank)
	}
	if err := whole(f, b); err != nil {
		return Prospect{}, err
	}
	t := Trial{Tank: tank, Plan: b, Start: *b.On[0].From, Written: asOf, State: Planned}
	t.Ends = t.Start.AddDate(0, 0, 56)
	if b.Ends != nil {
		t.Ends = *b.Ends
	}
	p := Prospect{Trial: t, AsOf: asOf}
	g := bench{desk, f, asOf}
	p.Outcomes = make([]Chance, len(b.Outcomes))
	var wait sync.WaitGroup
	for i, o := range b.Outcomes {
		wait.Go(func() { p.Outcomes[i] = g.chance(t, o) })
	}
	wait.Wait()
	p.Clashes = clashes(f, t, baseline(t.Start, t.Ends), t.Ends)
	p.warn()
	p.Lot = lotWords(b, asOf)
	return p, nil
}

// lotWords says what a lot over the start buys: Fisher's exact test, which takes
// nothing for granted but the lot.
func lotWords(b *book.Trial, asOf time.Time) string {
	const few = 20 // starts: with fewer the smallest p of the lot is above 5 %
	switch {
	case b.DrawnFrom != nil && b.DrawnUntil != nil:
		starts, err := effect.DailyStarts(*b.DrawnFrom, *b.DrawnUntil, *b.On[0].From)
		if err != nil {
			return "The lot does not fit: " + err.Error() + "."
		}
		if len(starts) < few {
			return fmt.Sprintf("The start is drawn from %d days; with %d or more the lot alone would give an exact test.", len(starts), few)
		}
		return fmt.Sprintf("The start is drawn from %d days: the verdict rests on an exact test that takes nothing for granted but the lot. The chances above are those of the usual test.", len(starts))
	case len(b.On) == 1 && b.On[0].From.After(asOf):
		return fmt.Sprintf("Let a lot choose the start among %d days or more: then an exact test decides, which takes nothing for granted but the lot.", few)
	}
	return ""
}

func whole(f *book.Facts, b *book.Trial) error {
	if len(b.On) == 0 || b.On[0].From == nil || len(b.Outcomes) == 0 {
		return fmt.Errorf("a trial needs when its change comes, and something to watch")
	}
	for _, name := range append(append([]string{}, b.Comparison...), b.AlsoIn...) {
		if _, ok := f.Tank(name); !ok {
			return fmt.Errorf("tank %q is not in the book", name)
		}
	}
	return nil
}

func (g bench) chance(t Trial, o book.Outcome) Chance {
	c := Chance{Outcome: o, Label: Label(o), Unit: unitOf(o), Power: -1}
	past, err := g.ask(t, o, baseline(t.Start, t.Ends), minTime(g.asOf, t.Start))
	if err != nil {
		c.Missing = err.Error()
		return c
	}
	c.noise(past)
	if c.Missing != "" {
		return c
	}
	d := planOf(t, o, past, g.asOf)
	c.Looks = len(d.Days)
	strength, err := d.Simulate(c.Noise, lot())
	if err != nil {
		c.Missing = err.Error()
		return c
	}
	c.Least = c.shown(strength.Detectable())
	m := c.matters()
	if m == 0 {
		return c
	}
	c.Power = strength.Power(m)
	c.need(t, o, past, g.asOf)
	g.better(&c, t, o, past, d)
	return c
}

// shown turns a difference on the scale of the noise into the outcome's own.
func (c Chance) shown(v float64) float64 {
	if kindOf(c.Outcome).Ratio() {
		return math.Exp(v)
	}
	return v
}

func (c Chance) matters() float64 {
	m, _ := c.Outcome.Matters.Float()
	if m > 0 && kindOf(c.Outcome).Ratio() {
		return math.Log(m)
	}
	return m
}

// noise takes the tank's own history, and what is usual where that is too short.
func (c *Chance) noise(past effect.Ask) {
	n, count, err := effect.NoiseOf(past)
	if err == nil {
		c.Noise, c.NoiseFrom = n, fmt.Sprintf("%d figures before the change", count)
		return
	}
	level := 0.0
	for _, p := range past.Treated {
		level += p.Value / float64(len(past.Treated))
	}
	c.Noise.Phi = math.Pow(0.5, 1.0/7)
	c.NoiseFrom = fmt.Sprintf("what is usual, for there are only %d figures so far: a guess", count)
	switch kindOf(c.Outcome) {
	case effect.Score:
		c.Noise.SD = 0.7 // a judgement: an eye gives the same again two times of three, else one off
	case effect.Interval, effect.Count:
		c.Noise.SD = 0.35 // a judgement, of the logarithm
	default:
		q, err := units.ParseQuantity(c.Outcome.Of)
		if err != nil || len(past.Treated) == 0 {
			c.Missing = fmt.Sprintf("there is no figure of %s to tell how it scatters", c.Outcome.Of)
			return
		}
		sd := standing.UsualDoubt(q, "", level)
		if v, err := units.ConvertSD(q, level, sd, q.Default(), c.Unit); err == nil {
			sd = v
		}
		c.Noise.SD = 1.5 * sd // and the tank's own wander
	}
}

func minTime(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}

// planOf is the plan of measuring: the looks there were before, and those to come
// at the interval planned, the settling left out.
func planOf(t Trial, o book.Outcome, past effect.Ask, asOf time.Time) effect.Design {
	d := effect.Design{Trend: len(past.Comparison) == 0 && !kindOf(o).Ratio()}
	for _, p := range past.Treated {
		d.Days = append(d.Days, dayOf(t, p.At))
	}
	every := interval(o, d.Days)
	last := dayOf(t, asOf)
	if n := len(d.Days); n > 0 {
		last = max(last-every, d.Days[n-1])
	}
	rest := settle(t.Plan)
	for day := last + every; day <= dayOf(t, t.Ends); day += every {
		if !settles(t.Plan, t.Start, day, rest) {
			d.Days = append(d.Days, day)
		}
	}
	for _, p := range t.Plan.On {
		until := math.Inf(1)
		if p.Until != nil {
			until = dayOf(t, *p.Until)
		}
		d.On = append(d.On, [2]float64{dayOf(t, *p.From), until})
	}
	return d
}

func dayOf(t Trial, at time.Time) float64 { return at.Sub(t.Start).Hours() / 24 }

// settles tells whether a day, counted from the start, lies in the settling after
// the change came or went.
func settles(b *book.Trial, start time.Time, day float64, rest time.Duration) bool {
	at := start.Add(time.Duration(day * 24 * float64(time.Hour)))
	for _, p := range b.On {
		for _, turn := range []*time.Time{p.From, p.Until} {
			if turn != nil && !at.Before(*turn) && at.Before(turn.Add(rest)) {
				return true
			}
		}
	}
	return false
}

// interval is how far apart looks are: as planned, else as they were, else a week.
func interval(o book.Outcome, days []float64) float64 {
	if every, ok := o.EveryDays.Float(); ok && every > 0 {
		return every
	}
	if len(days) > 3 {
		return math.Max((days[len(days)-1]-days[0])/float64(len(days)-1), 0.25)
	}
	return 7
}

// enough is the power a plan should have, by common practice.
const enough = 0.8

// need looks for how long the change must be on for four chances of five.
func (c *Chance) need(t Trial, o book.Outcome, past effect.Ask, asOf time.Time) {
	m := c.matters()
	c.WeeksNeeded = math.Inf(1)
	tried := []float64{2, 3, 4, 5, 6, 8, 10, 13, 17, 21, 26}
	looks := make([]int, len(tried))
	i, _ := slices.BinarySearchFunc(tried, enough, func(weeks, want float64) int {
		u := t
		u.Ends = t.Start.Add(settle(t.Plan) + time.Duration(weeks*7*24)*time.Hour)
		d := planOf(u, o, past, asOf)
		looks[slices.Index(tried, weeks)] = len(d.Days)
		s, err := d.Simulate(c.Noise, lot())
		if err != nil || s.Power(m) < want {
			return -1
		}
		return 1
	})
	if i < len(tried) {
		c.WeeksNeeded, c.LooksNeeded = tried[i], looks[i]
	}
}

func (p *Prospect) warn() {
	t := p.Trial
	if len(t.Plan.Comparison) == 0 {
		p.Warnings = append(p.Warnings, "No other tank is left as it is: whatever else changes in that time, the season among it, will look the same as the change.")
	}
	if t.Start.Before(p.AsOf) {
		p.Warnings = append(p.Warnings, "The change came before the plan: what to look for may be chosen by what was seen.")
	}
	if len(t.Plan.StopWhen) == 0 {
		p.Warnings = append(p.Warnings, "No stop rule is given: say at which sign the change comes off.")
	}
	for _, o := range p.Outcomes {
		if o.Power >= 0 && o.Power < 0.5 {
			p.Warnings = append(p.Warnings, fmt.Sprintf("%s: such a trial would more likely miss the difference that matters than show it.", prose.Capital(o.Label)))
		}
	}
	if season := p.season(); math.Abs(season) > apartFrom && len(t.Plan.Comparison) == 0 {
		p.Warnings = append(p.Warnings, fmt.Sprintf("The change and the season go together (correlation %.2f).", season))
	}
	if n := len(p.Outcomes); n > 1 {
		p.Warnings = append(p.Warnings, fmt.Sprintf("%d things are watched: the verdict goes by the first, %s.", n, p.Outcomes[0].Label))
	}
}

// season is the correlation between the change and the sun's year over the trial.
func (p *Prospect) season() float64 {
	from := baseline(p.Trial.Start, p.Trial.Ends)
	var on, sun []float64
	for at := from; at.Before(p.Trial.Ends); at = at.AddDate(0, 0, 7) {
		during := 0.0
		for _, s := range spans(p.Trial.Plan) {
			if !at.Before(s.From) && (s.Until.IsZero() || at.Before(s.Until)) {
				during = 1
			}
		}
		on = append(on, during)
		sun = append(sun, math.Cos(2*math.Pi*float64(at.YearDay()-172)/365.25))
	}
	return correlation(on, sun)
}

func correlation(x, y []float64) float64 {
	n := float64(len(x))
	var mx, my, xx, yy, xy float64
	for i := range x {
		mx, my = mx+x[i]/n, my+y[i]/n
	}
	for i := range x {
		xx += (x[i] - mx) * (x[i] - mx)
		yy += (y[i] - my) * (y[i] - my)
		xy += (x[i] - mx) * (y[i] - my)
	}
	if xx == 0 || yy == 0 {
		return 0
	}
	return xy / math.Sqrt(xx*yy)
}
