package cli

import (
	"fmt"
	"io"
	"math"
	"os"
	"strings"
	"time"

	"driftline/internal/effect"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/internal/trialsheet"
)

type trialCmd struct {
	Plan    trialPlanCmd    `cmd:"" help:"What a trial could show, before it starts."`
	Report  trialReportCmd  `cmd:"" help:"What a trial showed."`
	List    trialListCmd    `cmd:"" help:"All trials and their verdicts."`
	Analyse trialAnalyseCmd `cmd:"" help:"What a change did, from a table of figures alone."`
}

type trialAnalyseCmd struct {
	CSV        string   `name:"csv" required:"" placeholder:"FILE" help:"Table with the columns time, value and, if you like, group (treated, comparison); - reads standard input."`
	Start      []string `required:"" placeholder:"TIME" help:"When the change came; once for each time it was put on."`
	End        []string `placeholder:"TIME" help:"When it was taken off again; once for each time."`
	Settle     string   `default:"0d" placeholder:"TIME" help:"Settling time after each change whose figures count for nothing: 14d, 36h, 2w."`
	Outcome    string   `enum:"reading,score,interval,count" default:"reading" placeholder:"KIND" help:"What the values are: reading, score (0-4), interval (days between), count."`
	Hoped      string   `enum:"rise,fall" default:"rise" placeholder:"rise|fall" help:"The direction hoped for."`
	Matters    float64  `placeholder:"VALUE" help:"The smallest difference that would matter; for intervals and counts a ratio, such as 1.2."`
	Unit       string   `placeholder:"UNIT" help:"Unit of the values, for the report."`
	Slope      bool     `help:"Let the trend change as well as the level."`
	NoTrend    bool     `help:"Without a comparison: take it that there was no trend."`
	DrawnFrom  string   `placeholder:"DAY" help:"First day the start could have fallen on, where it was drawn by lot."`
	DrawnUntil string   `placeholder:"DAY" help:"Last such day."`
	JSON       bool     `help:"Print the result as JSON."`
}

func (c *trialAnalyseCmd) Help() string {
	return `Effect of a change with its interval, its p and a verdict: helped, hurt, no difference that matters, can't tell yet. With a
comparison tank it is the change of the difference between the two; without one, a step on top of the trend. docs/trials.md tells how.

Examples:

    driftline trial analyse --csv film.csv --start 2026-03-01 --settle 14d --outcome score --hoped fall --matters 0.5
    driftline trial analyse --csv nitrate.csv --start 2026-03-01 --hoped fall --matters 1 --unit "mg/L NO3" --json`
}

func (c *trialAnalyseCmd) Run(j *job) error {
	ask, err := c.ask(j)
	if err != nil {
		return err
	}
	r, err := effect.Analyse(ask)
	if err != nil {
		return refused("", "%v", err)
	}
	if c.JSON {
		return printJSON(j.out, analysed(ask, r))
	}
	return c.print(j.out, ask, r)
}

func (c *trialAnalyseCmd) ask(j *job) (a effect.Ask, err error) {
	in := j.in
	if c.CSV != "-" {
		f, err := os.Open(c.CSV)
		if err != nil {
			return a, usage("", "--csv: %v", err)
		}
		defer func() { _ = f.Close() }()
		in = f
	}
	table, err := trialsheet.Read(in)
	if err != nil {
		return a, refused("", "%s: %v", c.CSV, err)
	}
	a = effect.Ask{Treated: table.Treated, Comparison: table.Comparison, Outcome: effect.Outcome(c.Outcome),
		Rise: c.Hoped == "rise", Matters: c.Matters, Unit: c.Unit, Slope: c.Slope, NoTrend: c.NoTrend}
	if a.On, err = c.spans(table); err != nil {
		return a, err
	}
	if a.Settle, err = length("--settle", c.Settle); err != nil {
		return a, err
	}
	return a, c.lot(table, &a)
}

// at reads a time of the kind the table has.
func (c *trialAnalyseCmd) at(flag, text string, table trialsheet.Table) (time.Time, error) {
	at, numbered, err := trialsheet.ParseTime(strings.ReplaceAll(text, "−", "-"))
	if err != nil {
		return at, usage("", "%s: %v", flag, err)
	}
	if numbered != table.Numbered {
		return at, usage("", "%s %s: expected the same kind of time as in the table, a date or a number", flag, text)
	}
	return at, nil
}

func (c *trialAnalyseCmd) spans(table trialsheet.Table) (on []effect.Span, err error) {
	for i, text := range c.Start {
		var s effect.Span
		if s.From, err = c.at("--start", text, table); err != nil {
			return nil, err
		}
		if i < len(c.End) {
			if s.Until, err = c.at("--end", c.End[i], table); err != nil {
				return nil, err
			}
			if !s.Until.After(s.From) {
				return nil, usage("", "--end %s: expected after --start %s", c.End[i], text)
			}
		}
		if n := len(on); n > 0 && (on[n-1].Until.IsZero() || s.From.Before(on[n-1].Until)) {
			return nil, usage("", "--start %s: expected after the end of the time before; give each its --end, in order", text)
		}
		on = append(on, s)
	}
	if len(c.End) > len(c.Start) {
		return nil, usage("", "%d --end for %d --start: expected at most as many", len(c.End), len(c.Start))
	}
	return on, nil
}

// lot lists the starts that could have been drawn, a day apart.
func (c *trialAnalyseCmd) lot(table trialsheet.Table, a *effect.Ask) error {
	if c.DrawnFrom == "" && c.DrawnUntil == "" {
		return nil
	}
	from, err := c.at("--drawn-from", c.DrawnFrom, table)
	if err != nil {
		return err
	}
	until, err := c.at("--drawn-until", c.DrawnUntil, table)
	if err != nil {
		return err
	}
	starts, err := effect.DailyStarts(from, until, a.On[0].From)
	if err != nil {
		return usage("", "--drawn-from: %v", err)
	}
	a.Starts = starts
	return nil
}

// analysis is the public shape of a result.
type analysis struct {
	Effect     float64        `json:"effect"`
	Unit       string         `json:"unit"`
	CI95       [2]float64     `json:"ci95"`
	P          float64        `json:"p"`
	Method     string         `json:"method"`
	Phi        float64        `json:"phi"`
	PhiGapDays float64        `json:"phi_gap_days"`
	PDirection float64        `json:"p_direction"`
	Verdict    effect.Verdict `json:"verdict"`
	Why        string         `json:"why"`
	MoreDays   *float64       `json:"more_days"`
	ExactP     *float64       `json:"exact_p"`
	Before     int            `json:"n_before"`
	After      int            `json:"n_after"`
	LeftOut    []string       `json:"left_out"`
	Checks     []effect.Check `json:"checks"`
}

func analysed(a effect.Ask, r effect.Result) analysis {
	out := analysis{Effect: r.Effect, Unit: effectUnit(a), CI95: [2]float64{r.Low, r.High}, P: r.P, Method: r.Method, Phi: r.Phi,
		PhiGapDays: r.GapDays, PDirection: r.PDirection, Verdict: r.Verdict, Why: r.Why, Before: r.Before, After: r.After,
		LeftOut: []string{}, Checks: orEmpty(r.Checks)}
	if r.MoreDays > 0 && !math.IsInf(r.MoreDays, 0) {
		out.MoreDays = &r.MoreDays
	}
	if r.Exact >= 0 {
		out.ExactP = &r.Exact
	}
	for _, u := range r.Used {
		if u.Dropped {
			out.LeftOut = append(out.LeftOut, u.At.Format(time.RFC3339))
		}
	}
	return out
}

// effectUnit is the unit an effect is told in.
func effectUnit(a effect.Ask) string {
	switch {
	case a.Outcome.Ratio():
		return "times"
	case a.Outcome == effect.Score && a.Unit == "":
		return "points"
	}
	return a.Unit
}

func (c *trialAnalyseCmd) print(w io.Writer, a effect.Ask, r effect.Result) error {
	unit := strings.TrimSpace(" " + effectUnit(a))
	if _, err := fmt.Fprintf(w, "%s: %s.\n\nEffect    %s %s, 95 %% interval %s to %s\n", prose.Capital(string(r.Verdict)), r.Why,
		effect.Figure(r.Effect, r), unit, effect.Figure(r.Low, r), effect.Figure(r.High, r)); err != nil {
		return err
	}
	least := "at all"
	if a.Matters > 0 {
		least = "by what matters"
	}
	lines := [][2]string{
		{"Chance", fmt.Sprintf("%s that it went the hoped way (%s) %s", standing.ChanceFigure(r.PDirection), c.Hoped, least)},
		{"p", fmt.Sprintf("%.2g of no effect", r.P)},
		{"Figures", fmt.Sprintf("%d without the change, %d with it; correlation %.2f between figures %.3g days apart", r.Before, r.After, r.Phi, r.GapDays)},
		{"Method", r.Method},
	}
	if r.MoreDays > 0 {
		lines = append(lines, [2]string{"Go on", effect.Longer(r.MoreDays)})
	}
	for _, l := range lines {
		if _, err := fmt.Fprintf(w, "%-9s %s\n", l[0], l[1]); err != nil {
			return err
		}
	}
	for i, k := range r.Checks {
		head := ""
		if i == 0 {
			head = "Checks"
		}
		mark := "fits"
		if !k.Fits {
			mark = "mind"
		}
		if _, err := fmt.Fprintf(w, "%-9s %s: %s\n", head, mark, k.Says); err != nil {
			return err
		}
	}
	return nil
}
