package cli

import (
	"crypto/rand"
	"fmt"
	"math"
	"math/big"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/internal/trial"
)

type trialPlanCmd struct {
	bookFlag
	Tank       string   `placeholder:"NAME" help:"The tank the change is made in. It may be left out when the book has one."`
	Name       string   `required:"" placeholder:"TEXT" help:"What to call it."`
	Question   string   `placeholder:"TEXT" help:"What it shall answer, in words."`
	Change     string   `required:"" placeholder:"TEXT" help:"What is changed, in words."`
	From       []string `required:"" placeholder:"MOMENT" help:"When the change comes; once for each time it is put on."`
	Until      []string `placeholder:"MOMENT" help:"When it is taken off again; once for each time."`
	Ends       string   `placeholder:"MOMENT" help:"When the measuring ends. Without it, eight weeks after the change last came."`
	Outcome    []string `required:"" sep:"none" placeholder:"OUTCOME" help:"What is watched, such as \"nitrate fall by 1 mg/L NO3 every 7\"; may be given again, the first decides."`
	Comparison []string `sep:"none" placeholder:"NAME" help:"A tank left as it is; may be given again."`
	AlsoIn     []string `sep:"none" placeholder:"NAME" help:"Another tank with the same change; may be given again."`
	Ramp       float64  `placeholder:"DAYS" help:"Days over which the change is brought on."`
	Settle     float64  `default:"7" placeholder:"DAYS" help:"Days after it whose figures count for nothing."`
	StopWhen   []string `sep:"none" placeholder:"RULE" help:"When the change must come off, such as \"polyp extension <= 1 twice running\"; may be given again."`
	DrawUntil  string   `placeholder:"MOMENT" help:"Let a lot choose the start among the days from --from until this one."`
	Write      bool     `help:"Write the trial into the book."`
	AsOf       string   `placeholder:"MOMENT" help:"Look from this moment; later lines are ignored. Without it, now."`
	JSON       bool     `help:"Print the result as JSON."`
}

func (c *trialPlanCmd) Help() string {
	return `What a trial could show, before it starts: the smallest difference that would show in four of five such trials by this tank's own
scatter, how long it takes for the difference that matters, plans that show more with as many looks, and what else changes
meanwhile. It writes nothing without --write. With --draw-until and --write the lot falls.

An outcome is what is watched, rise or fall, by how much it would matter, and every how many days it is looked at:

    nitrate fall by 1 mg/L NO3 every 7        readings of a quantity
    score film algae fall by 0.5 every 3      a sign scored 0 to 4
    interval glass cleaned rise by 1.3        days between chores, as a ratio
    count sand siphoned fall by 1.5           times a week, as a ratio
    peak temperature fall by 0.5 °C every 1   the highest of each day

Example:

    driftline trial plan --book bench --tank "Harbour tank" --name "finer meals" --change "seven small meals, not three" \
        --from 2026-06-01 --outcome "nitrate fall by 1 mg/L NO3 every 7" --comparison "Pier tank" --stop-when "nitrate < 1 mg/L NO3"`
}

func (c *trialPlanCmd) Run(j *job) error {
	facts, asOf, t, err := c.tankAt(j, c.Tank, c.AsOf)
	if err != nil {
		return err
	}
	d, err := c.draft(j, facts, t)
	if err != nil {
		return err
	}
	if c.Write && !d.DrawUntil.IsZero() {
		if err := cast(&d); err != nil {
			return usage("", "--draw-until: %v", err)
		}
	}
	b, err := d.Trial()
	if err != nil {
		return usage("", "%v", err)
	}
	line := book.Line{ID: book.NewID(j.Now()), Kind: book.KindTrial, At: j.Now().In(t.Location), Tank: t.Tank.Name, Body: b}
	if err := book.Validate(line); err != nil {
		return refused("", "%w", err)
	}
	p, err := trial.Foresee(standing.NewDesk(), facts, t.Tank.Name, b, asOf)
	if err != nil {
		return usage("", "%v", err)
	}
	if c.Write {
		if err := c.write(j, line); err != nil {
			return err
		}
	}
	if c.JSON {
		return printJSON(j.out, prospectOf(p, line, c.Write))
	}
	return c.print(j, p, line)
}

// draft reads the flags.
func (c *trialPlanCmd) draft(j *job, f *book.Facts, t *book.TankFacts) (d trial.Draft, err error) {
	d = trial.Draft{Name: c.Name, Question: c.Question, Change: c.Change, Comparison: c.Comparison, AlsoIn: c.AlsoIn,
		RampDays: number(c.Ramp), SettleDays: number(c.Settle), Outcomes: c.Outcome, StopWhen: c.StopWhen}
	if len(c.Until) > len(c.From) {
		return d, usage("", "%d --until for %d --from: expected at most as many", len(c.Until), len(c.From))
	}
	for i, text := range c.From {
		from, err := j.moment("--from", text, t.Location)
		if err != nil {
			return d, err
		}
		p := book.Phase{From: &from}
		if i < len(c.Until) {
			until, err := j.moment("--until", c.Until[i], t.Location)
			if err != nil {
				return d, err
			}
			p.Until = &until
		}
		d.On = append(d.On, p)
	}
	if c.Ends != "" {
		if d.Ends, err = j.moment("--ends", c.Ends, t.Location); err != nil {
			return d, err
		}
	}
	if c.DrawUntil != "" {
		if d.DrawUntil, err = j.moment("--draw-until", c.DrawUntil, t.Location); err != nil {
			return d, err
		}
	}
	for _, list := range []*[]string{&d.Comparison, &d.AlsoIn} {
		for i, name := range *list {
			other, ok := f.Tank(name)
			if !ok {
				return d, usage("the book has "+tankNames(f), "tank %q is not in the book", name)
			}
			(*list)[i] = other.Tank.Name
		}
	}
	return d, nil
}

func number(v float64) book.Number {
	if v == 0 {
		return ""
	}
	return book.Number(fmt.Sprintf("%g", v))
}

// cast lets the lot fall.
func cast(d *trial.Draft) error {
	n, err := d.Starts()
	if err != nil {
		return err
	}
	fell, err := rand.Int(rand.Reader, big.NewInt(int64(n)))
	if err != nil {
		return err
	}
	d.Drawn = int(fell.Int64())
	return nil
}

func (c *trialPlanCmd) write(j *job, line book.Line) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	s, err := j.openWriting(dir)
	if err != nil {
		return err
	}
	defer s.Close()
	journal, err := j.journal(dir, s)
	if err != nil {
		return err
	}
	return store(j, dir, journal, line)
}

func (c *trialPlanCmd) print(j *job, p trial.Prospect, line book.Line) error {
	t := p.Trial
	fmt.Fprintf(j.out, "%s, %s: the change comes on %s, measured until %s.\n", t.Plan.Name, t.Tank, longDay(t.Start), longDay(t.Ends))
	for _, o := range p.Outcomes {
		fmt.Fprintf(j.out, "\n%s, hoped %s\n", o.Label, trial.Hope(o.Outcome))
		for _, text := range []string{o.Shows(), o.Needs(), o.Scatter()} {
			if text != "" {
				fmt.Fprintf(j.out, "  %s\n", text)
			}
		}
		if len(o.Better) > 0 {
			fmt.Fprintln(j.out, "  Plans that show more with as many looks:")
		}
		for _, v := range o.Better {
			fmt.Fprintf(j.out, "    %s\n", v.Says())
		}
	}
	printList(j, "What else changes:", p.Beside())
	mind := p.Warnings
	if p.Lot != "" {
		mind = append(mind, p.Lot)
	}
	printList(j, "Mind:", mind)
	if c.Write {
		fmt.Fprintf(j.out, "\nWritten as %s. Its looks come up on the rounds.\n", line.ID)
	}
	return nil
}

// prospectJSON is the public shape of what a trial could show.
type prospectJSON struct {
	Tank     string       `json:"tank"`
	Name     string       `json:"name"`
	Start    time.Time    `json:"start"`
	Ends     time.Time    `json:"ends"`
	AsOf     time.Time    `json:"as_of"`
	Written  string       `json:"written,omitempty"` // id of the line
	Outcomes []chanceJSON `json:"outcomes"`
	Clashes  []clashJSON  `json:"clashes"`
	Warnings []string     `json:"warnings"`
	Lot      string       `json:"lot,omitempty"`
	Line     book.Line    `json:"line"`
}

type chanceJSON struct {
	What        string        `json:"what"`
	Of          string        `json:"of"`
	Unit        string        `json:"unit"`
	Looks       int           `json:"looks"`
	NoiseSD     float64       `json:"noise_sd"`
	NoiseCorr   float64       `json:"noise_correlation_per_day"`
	NoiseFrom   string        `json:"noise_from"`
	Detectable  *float64      `json:"detectable_80"`
	Power       *float64      `json:"power"`
	WeeksNeeded *float64      `json:"weeks_needed"`
	LooksNeeded *int          `json:"looks_needed"`
	Better      []variantJSON `json:"better"`
	Missing     string        `json:"missing,omitempty"`
}

type variantJSON struct {
	Name       string  `json:"name"`
	How        string  `json:"how"`
	Power      float64 `json:"power"`
	Detectable float64 `json:"detectable_80"`
}

type clashJSON struct {
	What        string     `json:"what"`
	Tank        string     `json:"tank"`
	At          time.Time  `json:"at"`
	Correlation float64    `json:"correlation"`
	Together    bool       `json:"cannot_be_told_apart"`
	Says        string     `json:"says"`
	Separate    *time.Time `json:"separate_from,omitempty"`
}

func prospectOf(p trial.Prospect, line book.Line, written bool) prospectJSON {
	out := prospectJSON{Tank: p.Trial.Tank, Name: p.Trial.Plan.Name, Start: p.Trial.Start, Ends: p.Trial.Ends, AsOf: p.AsOf,
		Outcomes: []chanceJSON{}, Clashes: clashesOf(p.Clashes), Warnings: orEmpty(p.Warnings), Lot: p.Lot, Line: line}
	if written {
		out.Written = line.ID
	}
	for _, c := range p.Outcomes {
		out.Outcomes = append(out.Outcomes, chanceOf(c))
	}
	return out
}

func chanceOf(c trial.Chance) chanceJSON {
	o := chanceJSON{What: c.Outcome.What, Of: c.Outcome.Of, Unit: c.Unit, Looks: c.Looks, NoiseSD: c.Noise.SD, NoiseCorr: c.Noise.Phi,
		NoiseFrom: c.NoiseFrom, Better: []variantJSON{}, Missing: c.Missing}
	if c.Missing == "" {
		o.Detectable = &c.Least
		if c.Power >= 0 {
			o.Power = &c.Power
			if !math.IsInf(c.WeeksNeeded, 1) {
				o.WeeksNeeded, o.LooksNeeded = &c.WeeksNeeded, &c.LooksNeeded
			}
		}
	}
	for _, v := range c.Better {
		o.Better = append(o.Better, variantJSON{v.Name, v.How, v.Power, v.Least})
	}
	return o
}

func clashesOf(list []trial.Clash) []clashJSON {
	out := []clashJSON{}
	for _, c := range list {
		j := clashJSON{What: c.What, Tank: c.Tank, At: c.At, Correlation: c.Mixed, Together: c.Together(), Says: strings.TrimSuffix(c.Says(), ".")}
		if !c.Separate.IsZero() {
			j.Separate = &c.Separate
		}
		out = append(out, j)
	}
	return out
}
