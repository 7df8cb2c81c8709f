package web

import (
	"crypto/rand"
	"errors"
	"fmt"
	"math/big"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/trial"
	"driftline/units"
)

// newTrialView is the page that plans a trial.
type newTrialView struct {
	frame
	Action      string
	In          []option
	Others      []option // that could be left as they are
	Watched     []watchedRow
	Typed       trialFields
	Usual       trialFields
	OnOff       []option
	Told        trialTold
	Rules       string
	MoreWatched bool
}

// trialFields are the form's fields as typed, or as they hold untyped.
type trialFields struct {
	Name, Question, Change    string
	From, Weeks, Settle, Ramp string
	Draw                      string
}

// watchedRow is one outcome of the form.
type watchedRow struct {
	N              int
	Choices        []watchGroup
	Hoped          []option
	Matters, Every string
	Folded         bool
}

type watchGroup struct {
	Name    string
	Choices []option
}

var newTrialScreen = screen[newTrialView]{"trialnew.html"}

// mostWatched is how many outcomes the form has room for; more can be had by the
// command line.
const mostWatched = 3

func (s *Server) newTrial(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	if len(f.Tanks) == 0 {
		http.Redirect(w, r, "/begin", http.StatusSeeOther)
		return nil
	}
	ask := r.URL.Query()
	t := trialTank(f, ask)
	told := s.workTrial(f, t, ask)
	if ask.Get("part") == partAsked {
		return newTrialScreen.part(s, w, "findings", told)
	}
	return s.showNewTrial(w, r, http.StatusOK, f, t, ask, told)
}

func trialTank(f *book.Facts, ask url.Values) *book.TankFacts {
	if t, ok := f.Tank(ask.Get("tank")); ok {
		return t
	}
	return &f.Tanks[0]
}

func (s *Server) showNewTrial(w http.ResponseWriter, r *http.Request, status int, f *book.Facts, t *book.TankFacts, ask url.Values, told trialTold) error {
	v := newTrialView{frame: s.frame(r, "Plan a trial", "rounds"), Action: newTrialPath, Told: told, Typed: typedTrial(ask), Usual: s.usualTrial(t)}
	for i := range f.Tanks {
		name := f.Tanks[i].Tank.Name
		v.In = append(v.In, option{name, name, same(name, t.Tank.Name)})
		if !same(name, t.Tank.Name) {
			v.Others = append(v.Others, option{name, name, slices.Contains(ask["comparison"], name)})
		}
	}
	v.OnOff = []option{{"once", "once, and stays on", ask.Get("pattern") != "twice"}, {"twice", "on, off, on, off, in four equal stretches", ask.Get("pattern") == "twice"}}
	v.Rules = or(ask.Get("rules"), usualRules(t))
	for n := range mostWatched {
		v.Watched = append(v.Watched, s.watchedRow(f, t, ask, n))
		v.MoreWatched = v.MoreWatched || n > 0 && ask.Get(fmt.Sprintf("watch%d", n+1)) != ""
	}
	return newTrialScreen.show(s, w, status, v)
}

func typedTrial(ask url.Values) trialFields {
	g := func(name string) string { return strings.TrimSpace(ask.Get(name)) }
	return trialFields{Name: g("name"), Question: g("question"), Change: g("change"), From: g("from"), Weeks: g("weeks"), Settle: g("settle"), Ramp: g("ramp"), Draw: g("draw")}
}

func (s *Server) usualTrial(t *book.TankFacts) trialFields {
	now := s.Now().In(t.Location)
	return trialFields{From: now.AddDate(0, 0, 1).Format(time.DateOnly), Weeks: "8", Settle: "7", Ramp: "0", Draw: "1"}
}

// usualRules offer the sign that tells most, where it is scored in this tank.
func usualRules(t *book.TankFacts) string {
	if slices.Contains(scored(t), "polyp extension") {
		return "polyp extension <= 1 twice running"
	}
	return ""
}

// watchedRow offers what this tank's log knows.
func (s *Server) watchedRow(f *book.Facts, t *book.TankFacts, ask url.Values, n int) watchedRow {
	field := func(name string) string { return strings.TrimSpace(ask.Get(fmt.Sprintf("%s%d", name, n+1))) }
	row := watchedRow{N: n + 1, Matters: field("matters"), Every: field("every"), Folded: n > 0}
	hoped := field("hoped")
	row.Hoped = []option{{"fall", "to fall", hoped != "rise"}, {"rise", "to rise", hoped == "rise"}}
	chosen := field("watch")
	group := func(name, what string, of []string, label func(string) string) {
		g := watchGroup{Name: name}
		for _, o := range of {
			value := what + ":" + o
			g.Choices = append(g.Choices, option{value, label(o), value == chosen})
		}
		if len(g.Choices) > 0 {
			row.Choices = append(row.Choices, g)
		}
	}
	withUnit := func(q string) string { return q + ", " + units.Quantity(q).Default() }
	plain := func(o string) string { return o }
	group("Signs, in points", "score", scored(t), plain)
	group("Readings", "reading", read(t), withUnit)
	group("Days between chores, as a ratio", "interval", chores(t), plain)
	group("Times a week, as a ratio", "count", chores(t), plain)
	group("Highest of a day", "peak", read(t), withUnit)
	return row
}

// scored, read and chores are what the log of a tank knows, newest first.
func scored(t *book.TankFacts) []string {
	return known(t, func(b book.Body) string {
		if s, ok := b.(*book.Score); ok {
			return s.Sign
		}
		return ""
	})
}

func read(t *book.TankFacts) []string {
	return known(t, func(b book.Body) string {
		if r, ok := b.(*book.Reading); ok {
			if q, err := units.ParseQuantity(r.Quantity); err == nil {
				return string(q)
			}
		}
		return ""
	})
}

func chores(t *book.TankFacts) []string {
	return known(t, func(b book.Body) string {
		if c, ok := b.(*book.Chore); ok {
			return c.Name
		}
		return ""
	})
}

func known(t *book.TankFacts, name func(book.Body) string) []string {
	var out []string
	seen := map[string]bool{}
	for i := len(t.Events) - 1; i >= 0 && len(out) < 24; i-- {
		if n := name(t.Events[i].Body); n != "" && !seen[book.Key(n)] {
			seen[book.Key(n)] = true
			out = append(out, n)
		}
	}
	slices.Sort(out)
	return out
}

// trialTold is what follows from what was typed.
type trialTold struct {
	Problem  string
	Waiting  string // nothing is wrong, but something is missing yet
	Title    string
	Outcomes []foreseenOutcome
	Beside   []string
	Mind     []string
	Lot      string
	AcceptTo string
	ID       string
	Fields   []link
}

type foreseenOutcome struct {
	Label, Hope    string
	Share, Shows   string
	Needs, Scatter string
	Better         []string
}

func (s *Server) workTrial(f *book.Facts, t *book.TankFacts, ask url.Values) trialTold {
	var v trialTold
	if ask.Get("watch1") == "" {
		v.Waiting = "Choose what is to be watched, and what difference would matter: what the trial could show then stands here."
		return v
	}
	b, err := s.trialAsked(t, ask, 0)
	if err != nil {
		v.Problem = sentence(err.Error())
		return v
	}
	p, err := trial.Foresee(s.Desk, f, t.Tank.Name, b, f.AsOf)
	if err != nil {
		v.Problem = sentence(err.Error())
		return v
	}
	v.Title = fmt.Sprintf("From %s to %s", p.Trial.Start.In(t.Location).Format("2 January 2006"), p.Trial.Ends.In(t.Location).Format("2 January 2006"))
	for _, c := range p.Outcomes {
		o := foreseenOutcome{Label: c.Label, Hope: "hoped " + trial.Hope(c.Outcome), Shows: c.Shows(), Needs: c.Needs(), Scatter: c.Scatter()}
		if c.Power >= 0 && c.Missing == "" {
			o.Share = fmt.Sprintf("%.0f of 100", 100*c.Power)
		}
		for _, better := range c.Better {
			o.Better = append(o.Better, better.Says())
		}
		v.Outcomes = append(v.Outcomes, o)
	}
	v.Beside, v.Mind, v.Lot = p.Beside(), p.Warnings, p.Lot
	v.AcceptTo, v.ID = newTrialPath, book.NewID(s.Now())
	v.Fields = append(v.Fields, link{Name: "tank", Href: t.Tank.Name})
	for _, name := range trialNames() {
		for _, x := range ask[name] {
			if x != "" && name != "tank" {
				v.Fields = append(v.Fields, link{Name: name, Href: x})
			}
		}
	}
	if ask.Get("from") == "" {
		v.Fields = append(v.Fields, link{Name: "from", Href: b.On[0].From.In(t.Location).Format(time.DateOnly)})
	}
	return v
}

// newTrialAccept writes the trial that was shown, worked out anew from the same
// words. Where a lot decides, it falls now.
func (s *Server) newTrialAccept(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	if len(f.Tanks) == 0 {
		return missing("The book has no tank yet.")
	}
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	ask := url.Values{}
	for _, name := range trialNames() {
		if len(r.PostForm[name]) > 0 {
			ask[name] = r.PostForm[name]
		}
	}
	id := r.PostForm.Get("id")
	if id != "" && s.known(id) {
		return back(w, r, trialPath(id), id)
	}
	t := trialTank(f, ask)
	b, err := s.drawn(t, ask)
	if err == nil && strings.TrimSpace(b.Name) == "" {
		err = errors.New("the trial has no name: expected a few words for the list")
	}
	if err != nil {
		told := s.workTrial(f, t, ask)
		told.Problem = sentence(err.Error())
		return s.showNewTrial(w, r, http.StatusUnprocessableEntity, f, t, ask, told)
	}
	line := book.Line{ID: id, Kind: book.KindTrial, At: s.Now().In(t.Location), Tank: t.Tank.Name, Body: b}
	if line.ID == "" {
		line.ID = book.NewID(s.Now())
	}
	fm := &form{}
	ok, err := s.keep(r, fm, line)
	if err != nil {
		return err
	}
	if !ok {
		told := s.workTrial(f, t, ask)
		told.Problem = fm.Error
		return s.showNewTrial(w, r, http.StatusUnprocessableEntity, f, t, ask, told)
	}
	return back(w, r, trialPath(line.ID), line.ID)
}

// drawn lets the lot fall where one decides.
func (s *Server) drawn(t *book.TankFacts, ask url.Values) (*book.Trial, error) {
	b, err := s.trialAsked(t, ask, 0)
	if err != nil || b.DrawnFrom == nil {
		return b, err
	}
	days := int(b.DrawnUntil.Sub(*b.DrawnFrom).Hours()/24+0.5) + 1
	fell, err := rand.Int(rand.Reader, big.NewInt(int64(days)))
	if err != nil {
		return nil, err
	}
	return s.trialAsked(t, ask, int(fell.Int64()))
}
