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
}

type correctionStep struct{ When, Amount, Expected string }

type correctionCheck struct{ When, Expected, IfNot string }

// acceptedRow is an accepted plan.
type acceptedRow struct {
	Title, Says, State string
	Line, End, ID      string
	Open               bool
}

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
		Name: string(q), Href: quantityPath(tank, string(q)), Action: correctPath(tank, string(q)), To: ask.Get("aim"), Most: ask.Get("most")}
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
	a := correction.Ask{Tank: t.Tank.Name, Quantity: q, Unit: ask.Get("unit"), Substance: ask.Get("with")}
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
	for _, name := range []string{"aim", "unit", "with", "most"} {
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
		out = append(out, acceptedRow{Title: "To " + units.Format(q, p.Aim, p.Unit) + ", accepted on " + p.Accepted.In(t.Location).Format("2 January 2006"),
			Says: p.Says, State: string(p.State), Line: linePath(p.Line), End: correctPath(t.Tank.Name, string(q)) + "/end/" + pathEscape(p.Line),
			ID: book.NewID(s.Now()), Open: p.State == correction.Running || p.State == correction.Stopped})
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
	for _, name := range []string{"aim", "unit", "with", "most"} {
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

// correctEnd ends an accepted plan.
func (s *Server) correctEnd(w http.ResponseWriter, r *http.Request) error {
	t, q, err := s.corrected(r, s.facts())
	if err != nil {
		return err
	}
	values, err := posted(r)
	if err != nil {
		return err
	}
	path := correctPath(t.Tank.Name, string(q))
	plan, ok := s.thread().line(r.PathValue("line"))
	if !ok || plan.Kind != book.KindCorrection || !same(plan.Tank, t.Tank.Name) {
		return missing("There is no such correction.")
	}
	id := values["id"]
	if id == "" {
		id = book.NewID(s.Now())
	}
	if s.known(id) {
		return back(w, r, path, id)
	}
	fm := &form{}
	ok, err = s.keep(r, fm, book.Line{ID: id, Kind: book.KindPlanEnd, At: s.Now().In(t.Location), Tank: t.Tank.Name,
		Body: &book.PlanEnd{Plan: plan.ID, Why: strings.TrimSpace(values["why"])}})
	if err != nil {
		return err
	}
	if !ok {
		return &refusal{http.StatusUnprocessableEntity, fm.Error}
	}
	return back(w, r, path, id)
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
