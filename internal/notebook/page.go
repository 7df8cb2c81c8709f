package notebook

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/chart"
	"driftline/internal/effect"
	"driftline/internal/prose"
	"driftline/internal/stoprule"
	"driftline/internal/trial"
)

//go:embed page.html
var source string

var pages = template.Must(template.New("").Parse(source))

// page is what the template is filled with.
type page struct {
	Name, About, Question string
	Kind, Mark, Says      string
	Findings              []finding
	Stamp                 string
	Plan                  []part
	Foreseen              []string
	Deviations            []string
	Tables                []table
	Open                  bool
}

type finding struct {
	Title, Missing       string
	Effect, Says         string
	Chance, Longer       string
	Sway, Picture        template.HTML
	PictureTitle, Method string
	Others               []string
	Checks               []effect.Check
}

type part struct {
	Name string
	Says []string
}

type table struct {
	Title, Caption string
	Rows           []row
}

type row struct{ When, Tank, Figure, Note string }

// Body is the notebook's page without the frame around it. The foreseen may be nil.
func Body(r trial.Report, foreseen *trial.Prospect, zone *time.Location) (template.HTML, error) {
	var b bytes.Buffer
	if err := pages.ExecuteTemplate(&b, "notebook", pageOf(r, foreseen, zone, false)); err != nil {
		return "", err
	}
	return template.HTML(b.String()), nil
}

func pageOf(r trial.Report, foreseen *trial.Prospect, zone *time.Location, open bool) page {
	t := r.Trial
	p := page{Name: prose.Capital(t.Plan.Name), Question: t.Plan.Question, Says: r.Says, Kind: kindOf(r), Open: open, Deviations: r.Deviations}
	p.About = fmt.Sprintf("A trial in %s, %s", names(append([]string{t.Tank}, t.Plan.AlsoIn...)), lasting(t, zone))
	if r.Final {
		p.Mark = prose.Capital(string(r.Verdict)) + "."
	}
	for i, f := range r.Findings {
		p.Findings = append(p.Findings, findingOf(r, f, i, zone))
		p.Tables = append(p.Tables, tableOf(r, f, zone))
	}
	planned := t.AsPlanned()
	p.Stamp = fmt.Sprintf("As it was written on %s.", planned.Written.In(zone).Format("2 January 2006, 15:04"))
	p.Plan = planOf(planned.Plan, zone)
	if foreseen != nil {
		for _, c := range foreseen.Outcomes {
			p.Foreseen = append(p.Foreseen, prose.Capital(c.Label)+". "+c.Shows())
		}
	}
	return p
}

func kindOf(r trial.Report) string {
	if !r.Final {
		return string(r.Trial.State)
	}
	return strings.ReplaceAll(strings.ReplaceAll(string(r.Verdict), " ", "-"), "'", "")
}

func lasting(t trial.Trial, zone *time.Location) string {
	from := t.Start.In(zone).Format("2 January 2006")
	if t.Ends.IsZero() {
		return "from " + from
	}
	return from + " to " + t.Ends.In(zone).Format("2 January 2006")
}

func names(list []string) string {
	if len(list) <= 1 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:len(list)-1], ", ") + " and " + list[len(list)-1]
}

func findingOf(r trial.Report, f trial.Finding, i int, zone *time.Location) finding {
	c := chart.FromFinding(r, f, zone)
	out := finding{Title: prose.Capital(f.Label), PictureTitle: "In the course of time", Picture: chart.ContrastFigure(c, fmt.Sprintf("time-%d", i))}
	if f.Missing != "" {
		out.Missing = f.Says()
		return out
	}
	if !r.Final {
		return out
	}
	out.Effect, out.Says = f.Effect(), strings.TrimPrefix(f.Says(), f.Effect())+"."
	out.Chance, out.Longer = f.Chance(), f.Longer()
	out.Sway = chart.SwayFigure(c, fmt.Sprintf("answer-%d", i))
	out.Checks = f.Result.Checks
	out.Method = methodOf(f)
	for _, o := range f.Result.Others {
		text := fmt.Sprintf("%s, worked out together with it: %s, 95 %% interval %s to %s", prose.Capital(o.Name),
			effect.Figure(o.Effect, f.Result), effect.Figure(o.Low, f.Result), effect.Figure(o.High, f.Result))
		if o.Together {
			text = prose.Capital(o.Name) + " came with it, and the two cannot be told apart"
		}
		out.Others = append(out.Others, text+".")
	}
	return out
}

// methodOf names the test and how the figures resemble their neighbours.
func methodOf(f trial.Finding) string {
	text := prose.Capital(f.Result.Method) + fmt.Sprintf(". p %.2g of no effect; %d figures without the change, %d with it; figures %.3g days apart are alike by a correlation of %.2f.",
		f.Result.P, f.Result.Before, f.Result.After, f.Result.GapDays, f.Result.Phi)
	if f.Result.Exact >= 0 {
		text += fmt.Sprintf(" The p is that of the exact test over %d starts the lot could have drawn.", len(f.Ask.Starts))
	}
	return text
}

// Plan is a trial's plan in sentences.
func Plan(b *book.Trial, zone *time.Location) []string {
	var out []string
	for _, p := range planOf(b, zone) {
		out = append(out, p.Name+": "+strings.Join(p.Says, " "))
	}
	return out
}

func planOf(b *book.Trial, zone *time.Location) []part {
	day := func(at time.Time) string { return at.In(zone).Format("2 January 2006, 15:04") }
	var on []string
	for _, p := range b.On {
		text := "On from " + day(*p.From)
		if p.Until != nil {
			text += " until " + day(*p.Until)
		}
		on = append(on, text+".")
	}
	if b.Ends != nil {
		on = append(on, "Measured until "+day(*b.Ends)+".")
	}
	if b.DrawnFrom != nil && b.DrawnUntil != nil {
		on = append(on, fmt.Sprintf("The start was drawn by lot from the days %s to %s.", b.DrawnFrom.In(zone).Format("2 January 2006"), b.DrawnUntil.In(zone).Format("2 January 2006")))
	}
	out := []part{{"The change", []string{prose.Capital(b.Change) + "."}}, {"When", on}}
	if len(b.Comparison) > 0 {
		out = append(out, part{"Left as it is", []string{prose.Capital(names(b.Comparison)) + "."}})
	}
	if text := settling(b); text != "" {
		out = append(out, part{"Settling", []string{text}})
	}
	watched := part{Name: "Watched"}
	for i, o := range b.Outcomes {
		text := prose.Capital(trial.Label(o)) + ", hoped " + trial.Hope(o)
		if o.EveryDays != "" {
			text += ", looked at every " + string(o.EveryDays) + " days"
		}
		if i == 0 && len(b.Outcomes) > 1 {
			text += ". This one decides"
		}
		watched.Says = append(watched.Says, text+".")
	}
	stop := part{Name: "The change comes off when"}
	for _, rule := range stoprule.All(b.StopWhen) {
		stop.Says = append(stop.Says, prose.Capital(rule.Says())+".")
	}
	if len(stop.Says) == 0 {
		stop.Says = []string{"No stop rule was set."}
	}
	return append(out, watched, stop)
}

func settling(b *book.Trial) string {
	var out []string
	if b.RampDays != "" && b.RampDays != "0" {
		out = append(out, "the change is brought on over "+string(b.RampDays)+" days")
	}
	if b.SettleDays != "" && b.SettleDays != "0" {
		out = append(out, string(b.SettleDays)+" days after each change count for nothing")
	}
	if len(out) == 0 {
		return ""
	}
	return prose.Capital(strings.Join(out, "; ")) + "."
}
