package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/course"
	"driftline/internal/prose"
	"driftline/internal/substance"
	"driftline/units"
)

// courseView is the page that plans a course: one of the trade's, or the keeper's
// own of doses or of a chore.
type courseView struct {
	frame
	Tank, TankHref, Action string
	Begin                  []link // what to begin with
	What                   string // which of them it is
	Known, Doses           bool
	Strengths              []option // of peroxide
	Substances             []string // offered for a dose of one's own
	Unit                   string
	Units                  []option
	Usual                  courseFields // what holds where nothing is typed
	Typed                  courseFields
	Told                   courseTold
	Accepted               []courseRow
}

// courseFields are the form's fields, as typed or as they hold untyped.
type courseFields struct {
	Name, With, Chore, Amount, Most, Every, Days, Half string
	Day, Clock                                         string
	Signs, Watch, Stop, Rules                          string
}

// courseRow is an accepted course in a line.
type courseRow struct {
	Name, Says, Href string
	Stopped, Over    bool
}

// The ways to begin a course.
const (
	ownDose  = "dose"
	ownChore = "chore"
)

var courseScreen = screen[courseView]{"course.html"}

func coursePath(tank string) string { return "/course/" + pathEscape(tank) }

func courseLinePath(tank, line string) string { return coursePath(tank) + "/" + pathEscape(line) }

func (s *Server) course(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, err := s.tankOf(r, f)
	if err != nil {
		return err
	}
	ask := r.URL.Query()
	told := s.workCourse(f, t, ask)
	if ask.Get("part") == partAsked {
		return courseScreen.part(s, w, "findings", told)
	}
	return s.showCourse(w, r, http.StatusOK, f, t, ask, told)
}

func (s *Server) showCourse(w http.ResponseWriter, r *http.Request, status int, f *book.Facts, t *book.TankFacts, ask url.Values, told courseTold) error {
	tank := t.Tank.Name
	v := courseView{frame: s.frame(r, "A course, "+tank, "rounds"), Tank: tank, TankHref: tankPath(tank), Action: coursePath(tank), Told: told}
	v.What = whatOf(ask)
	v.Known, v.Doses = v.What != ownDose && v.What != ownChore, v.What == ownDose || v.What == course.Peroxide
	for _, way := range []struct{ what, name string }{{course.Peroxide, "peroxide against cyanobacteria"}, {course.LightsOut, "lights out"},
		{ownDose, "a dose of your own"}, {ownChore, "a chore of your own"}} {
		v.Begin = append(v.Begin, link{way.name, coursePath(tank) + "?" + url.Values{"what": {way.what}}.Encode(), v.What == way.what})
	}
	v.Typed = typedCourse(ask)
	v.Usual = s.usualCourse(f, t, v.What)
	v.Unit = typedOr(ask, "unit", "mL")
	v.Units = []option{{"mL", "mL", v.Unit == "mL"}, {"g", "g", v.Unit == "g"}}
	v.Strengths = peroxides(f, ask.Get("with"))
	for i := len(f.Substances) - 1; i >= 0; i-- {
		if name := f.Substances[i].Body.Name; !slices.Contains(v.Substances, name) {
			v.Substances = append(v.Substances, name)
		}
	}
	v.Accepted = s.courseRows(f, t)
	return courseScreen.show(s, w, status, v)
}

func whatOf(ask url.Values) string {
	switch what := ask.Get("what"); what {
	case course.LightsOut, ownDose, ownChore:
		return what
	}
	return course.Peroxide
}

func typedCourse(ask url.Values) courseFields {
	g := func(name string) string { return strings.TrimSpace(ask.Get(name)) }
	return courseFields{Name: g("name"), With: g("with"), Chore: g("chore"), Amount: g("amount"), Most: g("most"), Every: g("every"), Days: g("days"), Half: g("half"),
		Day: g("start.date"), Clock: g("start.time"), Signs: g("signs"), Watch: g("watch"), Stop: g("stop"), Rules: g("rules")}
}

// usualCourse is what a form holds where nothing is typed: the trade's figures for
// a course of the trade, the next morning or evening for its start.
func (s *Server) usualCourse(f *book.Facts, t *book.TankFacts, what string) courseFields {
	start := s.usualStart(t)
	out := courseFields{Day: start.Format("2006-01-02"), Clock: start.Format("15:04"), Half: "0", Name: "what to call it"}
	if what == ownDose || what == ownChore {
		return out
	}
	p, err := course.Work(f, course.Ask{Tank: t.Tank.Name, Known: what, Start: start}, f.AsOf)
	if err != nil {
		return out
	}
	out.Name, out.Every, out.Days, out.Half = p.Name, plainAmount(p.EveryHours), plainAmount(p.Days), plainAmount(p.HalfDays)
	out.Amount, out.Most = plainAmount(p.Amount), plainAmount(p.Most)
	out.Signs, out.Watch, out.Stop, out.Rules = strings.Join(p.Signs, ", "), strings.Join(p.Watch, "\n"), p.Stop, rulesText(p)
	return out
}

func rulesText(p course.Plan) string {
	var out []string
	for _, r := range p.Rules() {
		out = append(out, r.String())
	}
	return strings.Join(out, "\n")
}

func plainAmount(v float64) string {
	if v == 0 {
		return ""
	}
	return strings.ReplaceAll(units.FormatAmount(v), ",", "")
}

// usualStart is the next eight o'clock, morning or evening, in the tank's zone.
func (s *Server) usualStart(t *book.TankFacts) time.Time {
	now := s.Now().In(t.Location)
	for _, h := range []int{8, 20, 32} {
		if at := time.Date(now.Year(), now.Month(), now.Day(), h, 0, 0, 0, t.Location); at.After(now) {
			return at
		}
	}
	return now
}

// peroxides are the strengths that are worked with, the keeper's own after them.
func peroxides(f *book.Facts, chosen string) []option {
	names := []string{"hydrogen peroxide 3 %", "hydrogen peroxide 6 %", "hydrogen peroxide 1.5 %"}
	for i := range f.Substances {
		s, err := substance.Of(f.Substances[i].Body, f.Substances[i].Body.Name)
		if err == nil && len(s.Parts) == 1 && s.Parts[0].Formula.String() == "H2O2" && !slices.Contains(names, s.Name) {
			names = append(names, s.Name)
		}
	}
	var out []option
	for _, n := range names {
		out = append(out, option{n, n, same(n, chosen)})
	}
	return out
}

func (s *Server) courseRows(f *book.Facts, t *book.TankFacts) []courseRow {
	all, err := course.Stand(f, t.Tank.Name, f.AsOf)
	if err != nil {
		return nil
	}
	var out []courseRow
	for _, c := range all {
		if len(out) < 8 {
			out = append(out, courseRow{prose.Capital(c.Course.Name) + ", from " + firstTurn(c).In(t.Location).Format("2 January 2006"), c.Says,
				courseLinePath(t.Tank.Name, c.Line), c.Stopped != nil && !c.Over, c.Over})
		}
	}
	return out
}

func firstTurn(c course.Standing) time.Time {
	if len(c.Turns) > 0 {
		return c.Turns[0].At
	}
	return c.Accepted
}

// courseAccept keeps the course that was shown, worked out anew from the same words.
func (s *Server) courseAccept(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, err := s.tankOf(r, f)
	if err != nil {
		return err
	}
	values, err := posted(r)
	if err != nil {
		return err
	}
	if id := values["id"]; id != "" && s.known(id) {
		return back(w, r, courseLinePath(t.Tank.Name, id), id)
	}
	ask := url.Values{}
	for _, name := range courseNames {
		if values[name] != "" {
			ask.Set(name, values[name])
		}
	}
	told := s.workCourse(f, t, ask)
	if told.Problem == "" && told.Plan.Refused != "" {
		told.Problem = told.Plan.Says
	}
	if told.Problem != "" {
		return s.showCourse(w, r, http.StatusUnprocessableEntity, f, t, ask, told)
	}
	line, err := course.Accept(*told.Plan, s.Now().In(t.Location))
	if err != nil {
		return err
	}
	if line.ID = values["id"]; line.ID == "" {
		line.ID = book.NewID(s.Now())
	}
	fm := &form{}
	ok, err := s.keep(r, fm, line)
	if err != nil {
		return err
	}
	if !ok {
		told.Problem = fm.Error
		return s.showCourse(w, r, http.StatusUnprocessableEntity, f, t, ask, told)
	}
	return back(w, r, courseLinePath(t.Tank.Name, line.ID), line.ID)
}

// courseNames are the fields of the form that make the course.
var courseNames = []string{"what", "name", "with", "chore", "amount", "unit", "most", "every", "days", "half", "start.date", "start.time", "signs", "watch", "stop", "rules"}

// perVolume says a dose by the net volume it was sized for.
func perVolume(t *book.TankFacts, v float64, unit string) string {
	volume, _ := t.Tank.NetVolume.Float()
	litres, err := units.Litres(volume, t.Tank.Unit)
	if err != nil || !(litres > 0) {
		return ""
	}
	return fmt.Sprintf("%s %s to each 100 L of the net %s.", units.FormatAmount(v*100/litres), unit, amount(t.Tank.NetVolume, t.Tank.Unit))
}
