package web

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/correction"
	"driftline/internal/prose"
	"driftline/internal/substance"
	"driftline/units"
)

// correctView is the page that works a correction out, and says how accepted
// ones stand.
type correctView struct {
	frame
	Tank, TankHref    string
	Name, Href        string
	Action, To, Most  string
	Anew              bool // the rest of a plan under way is worked out again
	Unit              string
	Units, Substances []option
	Told              correctionView
	Accepted          []acceptedRow
	Accept            string
}

// correctionView is what follows from what was typed, the part of the page that
// is asked for anew while it is typed.
type correctionView struct {
	Problem  string
	Plan     *correction.Plan
	Steps    []correctionStep
	Checks   []correctionCheck
	Most     string
	Demand   string
	Total    string
	Shelf    string
	AcceptTo string // where the plan is accepted
	Fields   []link
	ID       string
	Along    []string // what comes along with the plan
	Year     []string // what a year of it would leave behind
}

type correctionStep struct{ When, Amount, Expected string }

type correctionCheck struct{ When, Expected, IfNot string }

// acceptedRow is an accepted plan.
type acceptedRow struct {
	Title, Says, State string
	Line, End, ID      string
	Anew, Resume       string // resume only where a reading has stopped it
	ResumeID           string
	Open, Behind       bool
}

// correctNames are the fields of the form that make the plan.
var correctNames = []string{"aim", "unit", "with", "most", "anew"}

var correctScreen = screen[correctView]{"correct.html"}

func correctPath(tank, quantity string) string {
	return "/correct/" + pathEscape(tank) + "/" + pathEscape(quantity)
}

func (s *Server) correct(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, q, err := s.corrected(r, f)
	if err != nil {
		return err
	}
	ask := r.URL.Query()
	told := s.workCorrection(f, t, q, ask)
	if ask.Get("part") == partAsked {
		return correctScreen.part(s, w, "findings", told)
	}
	v := s.correctView(r, f, t, q, ask)
	v.Told = told
	return correctScreen.show(s, w, http.StatusOK, v)
}

// corrected is the tank and the quantity a page's address names.
func (s *Server) corrected(r *http.Request, f *book.Facts) (*book.TankFacts, units.Quantity, error) {
	t, err := s.tankOf(r, f)
	if err != nil {
		return nil, "", err
	}
	q, err := units.ParseQuantity(r.PathValue("quantity"))
	if err != nil {
		return nil, "", missing(prose.Capital(err.Error()) + ".")
	}
	if len(substance.Usual(q)) == 0 || q == units.Salinity {
		return nil, "", missing(prose.Capital(string(q)) + " is not corrected by doses.")
	}
	return t, q, nil
}

func (s *Server) correctView(r *http.Request, f *book.Facts, t *book.TankFacts, q units.Quantity, ask url.Values) correctView {
	tank := t.Tank.Name
	v := correctView{frame: s.frame(r, "Correction of "+string(q)+", "+tank, "rounds"), Tank: tank, TankHref: tankPath(tank),
		Name: string(q), Href: quantityPath(tank, string(q)), Action: correctPath(tank, string(q)), To: ask.Get("aim"), Most: ask.Get("most"), Anew: ask.Get("anew") != ""}
	v.Unit = ask.Get("unit")
	if v.Unit == "" {
		v.Unit = shownUnitOf(f, q)
	}
	if v.To == "" && !ask.Has("aim") {
		if std, err := s.Desk.Quantity(f, tank, string(q), f.AsOf, pictureDays); err == nil && std.Band.Aim != nil {
			if aim, err := units.Convert(q, *std.Band.Aim, std.Unit, v.Unit); err == nil {
				v.To = plainFigure(aim, units.Decimals(q, v.Unit))
			}
		}
	}
	for _, u := range q.Units() {
		v.Units = append(v.Units, option{u, u, u == v.Unit})
	}
	for _, name := range substancesFor(f, t, q) {
		v.Substances = append(v.Substances, option{name, name, same(name, ask.Get("with"))})
	}
	v.Accepted = s.acceptedRows(f, t, q)
	return v
}

// substancesFor lists what can raise a quantity: what the last correction of it
// took, the usual ones, then the keeper's own.
func substancesFor(f *book.Facts, t *book.TankFacts, q units.Quantity) []string {
	var out []string
	add := func(name string) {
		s, err := substance.Find(f, name, f.AsOf)
		if err == nil && s.PerUnit(q) > 0 && !slices.ContainsFunc(out, func(o string) bool { return same(o, name) }) {
			out = append(out, name)
		}
	}
	for i := len(t.Events) - 1; i >= 0 && len(out) == 0; i-- {
		if b, ok := t.Events[i].Body.(*book.Correction); ok && same(b.Quantity, string(q)) {
			add(b.Substance)
		}
	}
	for _, name := range substance.Usual(q) {
		add(name)
	}
	for i := len(f.Substances) - 1; i >= 0; i-- {
		add(f.Substances[i].Body.Name)
	}
	return out
}

// workCorrection works out what was asked for.
func (s *Server) workCorrection(f *book.Facts, t *book.TankFacts, q units.Quantity, ask url.Values) correctionView {
	var v correctionView
	a := correction.Ask{Tank: t.Tank.Name, Quantity: q, Unit: ask.Get("unit"), Substance: ask.Get("with"), Anew: ask.Get("anew") != ""}
	if a.Unit == "" {
		a.Unit = shownUnitOf(f, q)
	}
	if a.Substance == "" {
		a.Substance = substancesFor(f, t, q)[0]
	}
	if text := strings.TrimSpace(ask.Get("aim")); text != "" {
		aim, ok := typedFigure(text)
		if !ok {
			v.Problem = "The aim " + shorten(text) + " is not a number."
			return v
		}
		a.To = &aim
	}
	if text := strings.TrimSpace(ask.Get("most")); text != "" {
		most, ok := typedFigure(text)
		if !ok {
			v.Problem = "The largest rise " + shorten(text) + " is not a number."
			return v
		}
		a.MostADay = most
	}
	plan, err := correction.Work(s.Desk, f, a, f.AsOf)
	if err != nil {
		v.Problem = sentence(err.Error())
		return v
	}
	v.fill(plan, t, s.Now().In(t.Location))
	v.Shelf = correctionOnShelf(f, plan)
	v.AcceptTo, v.ID = correctPath(t.Tank.Name, string(q)), book.NewID(s.Now())
	for _, name := range correctNames {
		if x := ask.Get(name); x != "" {
			v.Fields = append(v.Fields, link{Name: name, Href: x})
		}
	}
	return v
}

func (v *correctionView) fill(p correction.Plan, t *book.TankFacts, now time.Time) {
	q := units.Quantity(p.Quantity)
	v.Plan = &p
	v.Most = units.Format(q, p.MostADay, p.Unit)
	v.Demand = units.FormatPM(q, p.Demand.Mean, p.Demand.SD, p.Unit)
	v.Total = units.FormatAmount(p.Total.Amount) + " " + p.Total.Unit
	when := func(at time.Time) string { return at.In(t.Location).Format("Mon 2 Jan, 15:04") }
	for _, st := range p.Steps {
		v.Steps = append(v.Steps, correctionStep{when(st.At), units.FormatAmount(st.Amount) + " " + st.Unit,
			units.FormatPM(q, st.Expected.Mean, st.Expected.SD, p.Unit)})
	}
	for i := range p.SideEffects {
		if e := &p.SideEffects[i]; e.Lasting() {
			v.Year = append(v.Year, e.Says)
		} else {
			v.Along = append(v.Along, e.Says)
		}
	}
	for _, c := range p.Checks {
		v.Checks = append(v.Checks, correctionCheck{when(c.At), units.FormatPM(q, c.Expected.Mean, c.Expected.SD, c.Unit), c.IfNot})
	}
}

func (s *Server) acceptedRows(f *book.Facts, t *book.TankFacts, q units.Quantity) []acceptedRow {
	all, err := correction.Stand(f, t.Tank.Name, f.AsOf)
	if err != nil {
		return nil
	}
	var out []acceptedRow
	for _, p := range all {
		if p.Quantity != q || len(out) >= 5 {
			continue
		}
		path := correctPath(t.Tank.Name, string(q))
		row := acceptedRow{Title: "To " + units.Format(q, p.Aim, p.Unit) + ", accepted on " + p.Accepted.In(t.Location).Format("2 January 2006"),
			Says: p.Says, State: string(p.State), Line: linePath(p.Line), End: path + "/end/" + pathEscape(p.Line),
			ID: book.NewID(s.Now()), Open: p.Open(), Behind: p.Behind()}
		if row.Open {
			row.Anew = path + "?anew=true"
		}
		if p.State == correction.Stopped {
			row.Resume, row.ResumeID = path+"/resume/"+pathEscape(p.Line), book.NewID(s.Now())
		}
		out = append(out, row)
	}
	return out
}

// correctAccept keeps the plan that was shown, worked out anew from the same words.
func (s *Server) correctAccept(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, q, err := s.corrected(r, f)
	if err != nil {
		return err
	}
	values, err := posted(r)
	if err != nil {
		return err
	}
	path := correctPath(t.Tank.Name, string(q))
	if values["id"] != "" && s.known(values["id"]) {
		return back(w, r, path, values["id"])
	}
	ask := url.Values{}
	for _, name := range correctNames {
		if values[name] != "" {
			ask.Set(name, values[name])
		}
	}
	told := s.workCorrection(f, t, q, ask)
	if told.Problem == "" && (told.Plan.Refused != "" || len(told.Plan.Steps) == 0) {
		told.Problem = told.Plan.Says
	}
	if told.Problem == "" {
		lines, err := correction.Accept(*told.Plan, s.Now().In(t.Location))
		if err != nil {
			return err
		}
		plan := &lines[len(lines)-1]
		if plan.ID = values["id"]; plan.ID == "" {
			plan.ID = book.NewID(s.Now())
		}
		fm := &form{}
		ok, err := s.keep(r, fm, lines...)
		if err != nil {
			return err
		}
		if ok {
			return back(w, r, path, plan.ID)
		}
		told.Problem = fm.Error
	}
	v := s.correctView(r, f, t, q, ask)
	v.Told = told
	return correctScreen.show(s, w, http.StatusUnprocessableEntity, v)
}

// correctEnd ends an accepted plan; correctResume lets one go on that a reading
// has stopped.
func (s *Server) correctEnd(w http.ResponseWriter, r *http.Request) error {
	return s.correctWord(w, r, book.KindPlanEnd, func(plan, why string) book.Body { return &book.PlanEnd{Plan: plan, Why: why} })
}

func (s *Server) correctResume(w http.ResponseWriter, r *http.Request) error {
	return s.correctWord(w, r, book.KindPlanResume, func(plan, why string) book.Body { return &book.PlanResume{Plan: plan, Why: why} })
}

func (s *Server) correctWord(w http.ResponseWriter, r *http.Request, kind book.Kind, body func(plan, why string) book.Body) error {
	t, q, err := s.corrected(r, s.facts())
	if err != nil {
		return err
	}
	values, err := posted(r)
	if err != nil {
		return err
	}
	plan, ok := s.thread().line(r.PathValue("line"))
	if !ok || plan.Kind != book.KindCorrection || !same(plan.Tank, t.Tank.Name) {
		return missing("There is no such correction.")
	}
	return s.planWord(w, r, t, kind, body(plan.ID, strings.TrimSpace(values["why"])), values["id"], correctPath(t.Tank.Name, string(q)))
}

// shownUnitOf is the unit a quantity is shown in.
func shownUnitOf(f *book.Facts, q units.Quantity) string {
	if u := shownUnit(f, string(q)); u != "" {
		return u
	}
	return q.Default()
}

// plainFigure is a figure as it would be typed.
func plainFigure(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }

// typedFigure reads a figure as a person types it.
func typedFigure(text string) (float64, bool) {
	plain, err := figure(text)
	if err != nil {
		return 0, false
	}
	v, err := strconv.ParseFloat(plain, 64)
	return v, err == nil
}
