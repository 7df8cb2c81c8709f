package web

import (
	"fmt"
	"net/http"
	"strings"

	"driftline/internal/book"
	"driftline/internal/course"
	"driftline/internal/pace"
	"driftline/internal/prose"
	"driftline/internal/rounds"
	"driftline/internal/stoprule"
	"driftline/internal/substance"
	"driftline/units"
)

// courseLineView is how an accepted course stands.
type courseLineView struct {
	frame
	Tank, TankHref, Name string
	Says, Stopped        string
	About, Held          string
	Dose                 *roundRow // the next turn with its one tap
	NextWhen             string
	NextWhat             string
	Signs                []signRow
	Watch, Stop          []string
	Turns                turnSheet
	Cautions             []string
	Line, Plan           string
	End, Resume          string
	EndID, ResumeID      string
	Over                 bool
}

// signRow is a sign of a course with the way to score it.
type signRow struct{ Says, Score, Name string }

var courseLineScreen = screen[courseLineView]{"courseline.html"}

// courseOf is the accepted course a page's address names.
func (s *Server) courseOf(r *http.Request) (*book.Facts, *book.TankFacts, course.Standing, error) {
	f := s.facts()
	t, err := s.tankOf(r, f)
	if err != nil {
		return nil, nil, course.Standing{}, err
	}
	all, err := course.Stand(f, t.Tank.Name, f.AsOf)
	if err != nil {
		return nil, nil, course.Standing{}, err
	}
	for _, c := range all {
		if c.Line == r.PathValue("line") {
			return f, t, c, nil
		}
	}
	return nil, nil, course.Standing{}, missing("There is no such course.")
}

func (s *Server) courseLine(w http.ResponseWriter, r *http.Request) error {
	f, t, c, err := s.courseOf(r)
	if err != nil {
		return err
	}
	b, tank := c.Course, t.Tank.Name
	path := courseLinePath(tank, c.Line)
	v := courseLineView{frame: s.frame(r, prose.Capital(b.Name)+", "+tank, "rounds"), Tank: tank, TankHref: tankPath(tank), Name: b.Name, Says: c.Says,
		About: aboutCourse(b), Watch: b.Watch, Line: linePath(c.Line), Plan: coursePath(tank), End: path + "/end", Resume: path + "/resume",
		EndID: book.NewID(s.Now()), ResumeID: book.NewID(s.Now()), Over: c.Over}
	if b.Stop != "" {
		v.Stop = append(v.Stop, strings.TrimSuffix(b.Stop, ".")+".")
	}
	for _, rule := range stoprule.All(b.StopWhen) {
		v.Stop = append(v.Stop, prose.Capital(rule.Says())+". The book watches this one.")
	}
	if c.Stopped != nil && !c.Over {
		v.Stopped = prose.Capital(c.Stopped.Rule.Says) + ", on " + c.Stopped.At.In(t.Location).Format("2 January, 15:04") + "."
	}
	for _, sign := range c.Signs {
		v.Signs = append(v.Signs, signRow{sign.Says, scorePath(tank, sign.Sign), sign.Sign})
	}
	if e, held := pace.Held(f, t, c.Line, f.AsOf); held && c.Next != nil {
		v.Held = e.Says("What is planned") + " Give none of it; end the course, and plan it anew."
	} else if c.Next != nil {
		v.nextTurn(s, f, t, c)
	}
	v.Turns = sheetOf(c.Turns, b.Signs, b.Unit, t.Location)
	if b.Substance != "" {
		v.Cautions = []string{labelFirst}
		if sub, err := substance.Find(f, b.Substance, f.AsOf); err == nil {
			v.Cautions = sub.Cautions
		}
	}
	return courseLineScreen.show(s, w, http.StatusOK, v)
}

func (v *courseLineView) nextTurn(s *Server, f *book.Facts, t *book.TankFacts, c course.Standing) {
	b := c.Course
	a := rounds.Action{Do: "dose", Tank: t.Tank.Name, Substance: b.Substance, Amount: string(c.Amount), Unit: b.Unit, Plan: c.Line}
	v.NextWhat = b.Chore
	if book.Key(b.Action) == "chore" {
		a = rounds.Action{Do: "chore", Tank: t.Tank.Name, Chore: b.Chore, Plan: c.Line}
	} else {
		v.NextWhat = amount(c.Amount, b.Unit) + " of " + b.Substance
	}
	v.NextWhen = moment(*c.Next, s.Now().In(t.Location))
	v.Dose = &roundRow{}
	s.deedTap(v.Dose, a)
}

// aboutCourse is a course in a sentence.
func aboutCourse(b *book.Course) string {
	what := b.Chore
	if book.Key(b.Action) != "chore" {
		what = amount(b.Amount, b.Unit) + " of " + b.Substance
	}
	every, _ := b.EveryHours.Float()
	days, _ := b.Days.Float()
	text := fmt.Sprintf("%s every %s hours for %s days", prose.Capital(what), units.FormatAmount(every), units.FormatAmount(days))
	if half, ok := b.HalfDays.Float(); ok && half > 0 {
		text += fmt.Sprintf(", half of it on the first %s days", units.FormatAmount(half))
	}
	if b.Most != "" {
		text += fmt.Sprintf("; never more than %s a dose", amount(b.Most, b.Unit))
	}
	return text + "."
}

// courseEnd ends a course; courseResume lets one go on that a rule has stopped.
func (s *Server) courseEnd(w http.ResponseWriter, r *http.Request) error {
	return s.courseWord(w, r, book.KindPlanEnd, func(plan, why string) book.Body { return &book.PlanEnd{Plan: plan, Why: why} })
}

func (s *Server) courseResume(w http.ResponseWriter, r *http.Request) error {
	return s.courseWord(w, r, book.KindPlanResume, func(plan, why string) book.Body { return &book.PlanResume{Plan: plan, Why: why} })
}

func (s *Server) courseWord(w http.ResponseWriter, r *http.Request, kind book.Kind, body func(plan, why string) book.Body) error {
	_, t, c, err := s.courseOf(r)
	if err != nil {
		return err
	}
	values, err := posted(r)
	if err != nil {
		return err
	}
	return s.planWord(w, r, t, kind, body(c.Line, strings.TrimSpace(values["why"])), values["id"], courseLinePath(t.Tank.Name, c.Line))
}

// planWord keeps a line about an accepted plan and goes back to its page.
func (s *Server) planWord(w http.ResponseWriter, r *http.Request, t *book.TankFacts, kind book.Kind, body book.Body, id, path string) error {
	if id == "" {
		id = book.NewID(s.Now())
	}
	if s.known(id) {
		return back(w, r, path, id)
	}
	fm := &form{}
	ok, err := s.keep(r, fm, book.Line{ID: id, Kind: kind, At: s.Now().In(t.Location), Tank: t.Tank.Name, Body: body})
	if err != nil {
		return err
	}
	if !ok {
		return &refusal{http.StatusUnprocessableEntity, fm.Error}
	}
	return back(w, r, path, id)
}
