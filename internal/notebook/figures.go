package notebook

import (
	"bytes"
	"fmt"
	"html/template"
	"strings"
	"time"

	"driftline/internal/effect"
	"driftline/internal/prose"
	"driftline/internal/trial"
	"driftline/internal/trialsheet"
	"driftline/internal/web/assets"
	"driftline/units"
)

// Save is the notebook as a file of its own, with its look and its figures inside.
func Save(r trial.Report, foreseen *trial.Prospect, zone *time.Location) ([]byte, error) {
	sheet, err := assets.Sheet()
	if err != nil {
		return nil, err
	}
	type data struct{ Title, Command, CSV string }
	whole := struct {
		Page    page
		Sheet   template.CSS
		Data    []data
		Written string
	}{pageOf(r, foreseen, zone, true), template.CSS(sheet), nil, r.AsOf.In(zone).Format("2 January 2006, 15:04")}
	for i, f := range r.Findings {
		var csv strings.Builder
		if err := trialsheet.Write(&csv, f.Ask); err != nil {
			return nil, err
		}
		whole.Data = append(whole.Data, data{prose.Capital(f.Label), command(f, i), csv.String()})
	}
	var b bytes.Buffer
	if err := pages.ExecuteTemplate(&b, "whole", whole); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// command asks the same question of the saved figures.
func command(f trial.Finding, i int) string {
	a := f.Ask
	parts := []string{"driftline trial analyse", fmt.Sprintf("--csv outcome-%d.csv", i+1)}
	for _, s := range a.On {
		parts = append(parts, "--start "+s.From.Format(time.RFC3339))
		if !s.Until.IsZero() {
			parts = append(parts, "--end "+s.Until.Format(time.RFC3339))
		}
	}
	if a.Settle > 0 {
		parts = append(parts, fmt.Sprintf("--settle %gh", a.Settle.Hours()))
	}
	hoped := "fall"
	if a.Rise {
		hoped = "rise"
	}
	parts = append(parts, "--outcome "+string(a.Outcome), "--hoped "+hoped)
	if a.Matters > 0 {
		parts = append(parts, fmt.Sprintf("--matters %g", a.Matters))
	}
	if a.Outcome == effect.Reading && a.Unit != "" {
		parts = append(parts, fmt.Sprintf("--unit %q", a.Unit))
	}
	if n := len(a.Starts); n > 0 {
		parts = append(parts, "--drawn-from "+a.Starts[0].Format("2006-01-02"), "--drawn-until "+a.Starts[n-1].Format("2006-01-02"))
	}
	return strings.Join(parts, " ")
}

// tableOf lists the figures, each with what was made of it.
func tableOf(r trial.Report, f trial.Finding, zone *time.Location) table {
	t := table{Title: fmt.Sprintf("%s: %d figures", prose.Capital(f.Label), len(f.Ask.Treated)+len(f.Ask.Comparison)), Caption: captionOf(f)}
	dropped := map[time.Time]bool{}
	for _, u := range f.Result.Used {
		dropped[u.At] = u.Dropped
	}
	add := func(tank string, points []effect.Point, treated bool) {
		for _, p := range points {
			line := row{When: p.At.In(zone).Format("2 Jan 2006, 15:04"), Tank: tank, Figure: rounded(p.Value)}
			var notes []string
			if p.Open {
				notes = append(notes, "not over yet")
			}
			if p.Known != 0 {
				notes = append(notes, "of it "+rounded(p.Known)+" by known deeds, taken off")
			}
			if treated && dropped[p.At] {
				notes = append(notes, "taken for a misread")
			}
			line.Note = strings.Join(notes, "; ")
			t.Rows = append(t.Rows, line)
		}
	}
	add(names(append([]string{r.Trial.Tank}, ratioAlso(r, f)...)), f.Ask.Treated, true)
	for i, also := range f.Ask.Also {
		add(r.Trial.Plan.AlsoIn[i], also.Treated, false)
	}
	add(names(r.Trial.Plan.Comparison), f.Ask.Comparison, false)
	return t
}

// ratioAlso are the tanks whose intervals or counts stand in one row.
func ratioAlso(r trial.Report, f trial.Finding) []string {
	if f.Ask.Outcome.Ratio() {
		return r.Trial.Plan.AlsoIn
	}
	return nil
}

func captionOf(f trial.Finding) string {
	switch {
	case f.Ask.Outcome == effect.Interval:
		return "Days from one to the next, told at its end."
	case f.Ask.Outcome == effect.Count:
		return "Times in each week, told at its middle."
	case f.Ask.Outcome == effect.Score:
		return "Points of 0 to 4."
	}
	return fmt.Sprintf("In %s, each kit's bias taken off.", f.Unit)
}

func rounded(v float64) string {
	text := units.Number(v, 3)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}
