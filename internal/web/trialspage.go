package web

import (
	"bytes"
	"html/template"
	"net/http"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/chart"
	"driftline/internal/notebook"
	"driftline/internal/prose"
	"driftline/internal/trial"
)

// trialsView is the list of all trials with their verdicts.
type trialsView struct {
	frame
	New  string
	Rows []trialRow
}

type trialRow struct {
	Name, Href, About string
	Shape, Word, Says string
	Picture           template.HTML
}

// trialView is one trial: the notebook's page, and what can be done with it.
type trialView struct {
	frame
	Body               template.HTML
	State              string
	Looks              []lookRow
	Peek               string // where the interval that may be looked at is shown
	Peeked             []string
	Stopped            bool
	Save, Line         string
	End, Resume        string
	EndID, ResumeID    string
	Live, Due          bool
	Change             string
	TankHref, TankName string
}

type lookRow struct{ Says, Href, Do string }

var (
	trialsScreen = screen[trialsView]{"trials.html"}
	trialScreen  = screen[trialView]{"trial.html"}
)

const (
	trialsPath   = "/trials"
	newTrialPath = "/trials/new"
)

func trialPath(line string) string { return "/trial/" + pathEscape(line) }

// verdictShapes stand beside the verdict's word.
var verdictShapes = map[string]string{"helped": "deed", "hurt": "outside", "no difference that matters": "steady", "can't tell yet": "unknown",
	"planned": "test", "running": "test", "stopped": "outside"}

func (s *Server) trials(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	v := trialsView{frame: s.frame(r, "Trials", "rounds"), New: newTrialPath}
	for _, t := range trial.All(f, f.AsOf) {
		rep := trial.Work(s.Desk, f, t, f.AsOf)
		zone := zoneOf(f, t.Tank)
		row := trialRow{Name: prose.Capital(t.Plan.Name), Href: trialPath(t.Line), Word: string(t.State), Says: rep.Says,
			About: t.Tank + ", " + t.Start.In(zone).Format("2 January 2006")}
		if !t.Ends.IsZero() {
			row.About += " to " + t.Ends.In(zone).Format("2 January 2006")
		}
		if rep.Final {
			row.Word = string(rep.Verdict)
			if text := rep.Findings[0].Says(); rep.Findings[0].Missing == "" {
				row.Says = prose.Capital(rep.Findings[0].Label) + ": " + text + "."
			}
			row.Picture = chart.SwaySmall(chart.FromFinding(rep, rep.Findings[0], zone))
		}
		row.Shape = verdictShapes[row.Word]
		v.Rows = append(v.Rows, row)
	}
	return trialsScreen.show(s, w, http.StatusOK, v)
}

// trialOf is the trial a page's address names.
func (s *Server) trialOf(r *http.Request) (*book.Facts, trial.Trial, *time.Location, error) {
	f := s.facts()
	for _, t := range trial.All(f, f.AsOf) {
		if t.Line == r.PathValue("line") {
			return f, t.WithHistory(s.Journal.Lines()), zoneOf(f, t.Tank), nil
		}
	}
	return nil, trial.Trial{}, nil, missing("There is no such trial.")
}

func (s *Server) trial(w http.ResponseWriter, r *http.Request) error {
	f, t, zone, err := s.trialOf(r)
	if err != nil {
		return err
	}
	rep := trial.Work(s.Desk, f, t, f.AsOf)
	body, err := notebook.Body(rep, nil, zone)
	if err != nil {
		return err
	}
	path := trialPath(t.Line)
	v := trialView{frame: s.frame(r, prose.Capital(t.Plan.Name)+", a trial", "rounds"), Body: body, State: string(t.State), Save: path + "/notebook.html",
		Line: linePath(t.Line), End: path + "/end", Resume: path + "/resume", EndID: book.NewID(s.Now()), ResumeID: book.NewID(s.Now()),
		Live: t.State != trial.Over, Stopped: t.State == trial.Stopped, Change: t.Plan.Change, TankHref: tankPath(t.Tank), TankName: t.Tank}
	if v.Live {
		v.looks(rep, t, zone)
	}
	if t.State == trial.Running || v.Stopped {
		v.Peek = path + "?peek=true"
		if r.URL.Query().Get("peek") != "" {
			v.Peek = ""
			for _, fd := range rep.Findings {
				text := prose.Capital(fd.Label) + ": " + fd.Peeked()
				if fd.Missing != "" {
					text = prose.Capital(fd.Label) + ": " + strings.TrimSuffix(fd.Missing, ".")
				}
				v.Peeked = append(v.Peeked, text+".")
			}
		}
	}
	return trialScreen.show(s, w, http.StatusOK, v)
}

// looks are what is to be looked at, each with the page to write it on.
func (v *trialView) looks(rep trial.Report, t trial.Trial, zone *time.Location) {
	says := rep.ToLook()
	for i, m := range rep.Measuring {
		row := lookRow{Says: says[i], Do: "Enter the reading", Href: readPath(m.Tank) + "?quantity=" + urlQuery(m.Outcome.Of)}
		if m.Score() {
			row.Do, row.Href = "Score it", scorePath(m.Tank, m.Outcome.Of)
		}
		v.Looks = append(v.Looks, row)
	}
}

func scorePath(tank, sign string) string {
	return writePath(tank) + "/score?" + encode([]link{{Name: "sign", Href: sign}})
}

// trialSave sends the notebook as a file of its own, with what the trial could have
// shown by what was known when it was planned.
func (s *Server) trialSave(w http.ResponseWriter, r *http.Request) error {
	f, t, zone, err := s.trialOf(r)
	if err != nil {
		return err
	}
	planned := t.AsPlanned()
	var foreseen *trial.Prospect
	if p, err := trial.Foresee(s.Desk, s.Journal.Facts(planned.Written), t.Tank, planned.Plan, planned.Written); err == nil {
		foreseen = &p
	}
	page, err := notebook.Save(trial.Work(s.Desk, f, t, f.AsOf), foreseen, zone)
	if err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Content-Disposition", `attachment; filename="trial-`+fileName(t.Plan.Name)+`.html"`)
	h.Set("Cache-Control", "no-store")
	_, _ = bytes.NewReader(page).WriteTo(w) // the browser may have gone
	return nil
}

// fileName keeps what every system takes in a file's name.
func fileName(name string) string {
	out := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, name)
	return strings.Trim(out[:min(len(out), 60)], "-")
}

func (s *Server) trialEnd(w http.ResponseWriter, r *http.Request) error {
	return s.trialWord(w, r, book.KindPlanEnd, func(plan, why string) book.Body { return &book.PlanEnd{Plan: plan, Why: why} })
}

func (s *Server) trialResume(w http.ResponseWriter, r *http.Request) error {
	return s.trialWord(w, r, book.KindPlanResume, func(plan, why string) book.Body { return &book.PlanResume{Plan: plan, Why: why} })
}

func (s *Server) trialWord(w http.ResponseWriter, r *http.Request, kind book.Kind, body func(plan, why string) book.Body) error {
	f, t, _, err := s.trialOf(r)
	if err != nil {
		return err
	}
	tank, ok := f.Tank(t.Tank)
	if !ok {
		return missing("There is no such trial.")
	}
	values, err := posted(r)
	if err != nil {
		return err
	}
	return s.planWord(w, r, tank, kind, body(t.Line, strings.TrimSpace(values["why"])), values["id"], trialPath(t.Line))
}
