package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"driftline/internal/book"
	"driftline/internal/effect"
	"driftline/internal/notebook"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/internal/trial"
)

type trialListCmd struct {
	bookFlag
	AsOf string `placeholder:"MOMENT" help:"Look from this moment; later lines are ignored. Without it, now."`
	JSON bool   `help:"Print the result as JSON."`
}

func (c *trialListCmd) Help() string {
	return `All trials of the book, newest first, with how they stand and their verdicts.`
}

type trialReportCmd struct {
	bookFlag
	Trial string `required:"" placeholder:"NAME" help:"The trial's name, or the id of its line."`
	HTML  string `name:"html" placeholder:"FILE" help:"Save the notebook, with its picture and figures, as one file of its own."`
	Peek  bool   `help:"Of a running trial, show the interval that may be looked at as often as one likes."`
	AsOf  string `placeholder:"MOMENT" help:"Look from this moment; later lines are ignored. Without it, now."`
	JSON  bool   `help:"Print the result as JSON."`
}

func (c *trialReportCmd) Help() string {
	return `What a trial showed. While it runs, what is to be looked at and what was missed, and no verdict.

Examples:

    driftline trial report --book bench --trial "finer meals"
    driftline trial report --book bench --trial "finer meals" --html finer-meals.html`
}

// trialsAt are the book's trials as of a moment, with the lines they rest on.
func (b bookFlag) trialsAt(j *job, asOf string) (*book.Facts, []book.Line, time.Time, error) {
	dir, err := b.dir(j)
	if err != nil {
		return nil, nil, time.Time{}, err
	}
	facts, at, err := j.factsAt(dir, "", "--as-of", asOf)
	if err != nil {
		return nil, nil, at, err
	}
	lines, err := j.lines(dir)
	return facts, lines, at, err
}

func (c *trialListCmd) Run(j *job) error {
	facts, lines, asOf, err := c.trialsAt(j, c.AsOf)
	if err != nil {
		return err
	}
	desk := standing.NewDesk()
	list := []trialJSON{}
	rows := table{head: []string{"Trial", "Tank", "From", "Until", "Stands", "Verdict", "Effect"}}
	for _, t := range trial.All(facts, asOf) {
		r := trial.Work(desk, facts, t.WithHistory(lines), asOf)
		if c.JSON {
			list = append(list, reportOf(r, false))
			continue
		}
		verdict, effect := "", ""
		if r.Final {
			verdict, effect = string(r.Verdict), r.Findings[0].Effect()
		}
		until := ""
		if !t.Ends.IsZero() {
			until = t.Ends.Format(time.DateOnly)
		}
		rows.add(t.Plan.Name, t.Tank, t.Start.Format(time.DateOnly), until, string(t.State), verdict, effect)
	}
	switch {
	case c.JSON:
		return printJSON(j.out, list)
	case len(rows.rows) == 0:
		fmt.Fprintln(j.out, "No trial is in the book. driftline trial plan says what one could show.")
		return nil
	}
	return rows.print(j.out)
}

func (c *trialReportCmd) Run(j *job) error {
	facts, lines, asOf, err := c.trialsAt(j, c.AsOf)
	if err != nil {
		return err
	}
	t, err := trial.Find(facts, c.Trial, asOf)
	if err != nil {
		return usage("driftline trial list names them", "%v", err)
	}
	t = t.WithHistory(lines)
	desk := standing.NewDesk()
	r := trial.Work(desk, facts, t, asOf)
	if c.HTML != "" {
		if err := c.save(j, desk, lines, r, zoneOf(facts, t.Tank)); err != nil {
			return err
		}
	}
	if c.JSON {
		return printJSON(j.out, reportOf(r, c.Peek))
	}
	return c.print(j, r)
}

// save writes the notebook, with what the trial could have shown by what was known
// when it was planned.
func (c *trialReportCmd) save(j *job, desk *standing.Desk, lines []book.Line, r trial.Report, zone *time.Location) error {
	planned := r.Trial.AsPlanned()
	before := book.Replay(lines, planned.Written)
	var foreseen *trial.Prospect
	if p, err := trial.Foresee(desk, before, r.Trial.Tank, planned.Plan, planned.Written); err == nil {
		foreseen = &p
	}
	page, err := notebook.Save(r, foreseen, zone)
	if err != nil {
		return err
	}
	if err := os.WriteFile(c.HTML, page, 0o644); err != nil {
		return usage("", "--html: %v", err)
	}
	if !c.JSON {
		fmt.Fprintf(j.out, "Saved %s.\n\n", filepath.Base(c.HTML))
	}
	return nil
}

func (c *trialReportCmd) print(j *job, r trial.Report) error {
	t := r.Trial
	verdict := ""
	if r.Final {
		verdict = prose.Capital(string(r.Verdict)) + ". "
	}
	fmt.Fprintf(j.out, "%s, %s: %s%s\n", prose.Capital(t.Plan.Name), t.Tank, verdict, r.Says)
	for _, f := range r.Findings {
		fmt.Fprintf(j.out, "\n%s: %d figures without the change, %d with it\n", prose.Capital(f.Label), f.Before, f.After)
		switch {
		case f.Missing != "":
			fmt.Fprintf(j.out, "  %s\n", f.Says())
		case r.Final:
			fmt.Fprintf(j.out, "  %s. %s\n", f.Says(), f.Chance())
			if text := f.Longer(); text != "" {
				fmt.Fprintf(j.out, "  %s\n", text)
			}
			for _, k := range f.Result.Checks {
				mark := "fits"
				if !k.Fits {
					mark = "mind"
				}
				fmt.Fprintf(j.out, "  %s: %s\n", mark, k.Says)
			}
		case c.Peek:
			fmt.Fprintf(j.out, "  Peeked: %s, with 95 %% at all looks together (a confidence sequence of a normal mixture). It is no verdict.\n", f.Peeked())
		}
	}
	printList(j, "Where it did not go as planned:", r.Deviations)
	if !r.Final {
		printList(j, "To look at:", r.ToLook())
	}
	return nil
}

// trialJSON is the public shape of a trial's report.
type trialJSON struct {
	Line       string         `json:"line"`
	Name       string         `json:"name"`
	Tank       string         `json:"tank"`
	Question   string         `json:"question,omitempty"`
	Change     string         `json:"change"`
	Written    time.Time      `json:"written"`
	Start      time.Time      `json:"start"`
	Ends       *time.Time     `json:"ends"`
	State      trial.State    `json:"state"`
	Verdict    effect.Verdict `json:"verdict,omitempty"` // only when it is over
	Says       string         `json:"says"`
	Findings   []findingJSON  `json:"findings"`
	Clashes    []clashJSON    `json:"clashes"`
	Deviations []string       `json:"deviations"`
	ToLook     []string       `json:"to_look_at"`
}

type findingJSON struct {
	What    string      `json:"what"`
	Of      string      `json:"of"`
	Hoped   string      `json:"hoped"`
	Matters float64     `json:"matters,omitempty"`
	Before  int         `json:"n_before"`
	After   int         `json:"n_after"`
	Result  *analysis   `json:"result,omitempty"` // only when it is over
	Peek95  *[2]float64 `json:"peek95,omitempty"` // only when asked for
	Missing string      `json:"missing,omitempty"`
}

func reportOf(r trial.Report, peek bool) trialJSON {
	t := r.Trial
	out := trialJSON{Line: t.Line, Name: t.Plan.Name, Tank: t.Tank, Question: t.Plan.Question, Change: t.Plan.Change, Written: t.Written, Start: t.Start,
		State: t.State, Says: r.Says, Findings: []findingJSON{}, Clashes: clashesOf(r.Clashes), Deviations: orEmpty(r.Deviations), ToLook: []string{}}
	if !t.Ends.IsZero() {
		out.Ends = &t.Ends
	}
	if r.Final {
		out.Verdict = r.Verdict
	} else {
		out.ToLook = orEmpty(r.ToLook())
	}
	for _, f := range r.Findings {
		j := findingJSON{What: f.Outcome.What, Of: f.Outcome.Of, Hoped: f.Outcome.Hoped, Matters: f.Ask.Matters, Before: f.Before, After: f.After, Missing: f.Missing}
		if f.Missing == "" && r.Final {
			a := analysed(f.Ask, f.Result)
			j.Result = &a
		}
		if f.Missing == "" && peek && !r.Final {
			j.Peek95 = &[2]float64{f.PeekLow, f.PeekHigh}
		}
		out.Findings = append(out.Findings, j)
	}
	return out
}
