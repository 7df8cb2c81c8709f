package web

import (
	"net/http"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
)

// lineView is one line of the log: what it says, what came before and after,
// and the ways to correct or retract it.
type lineView struct {
	frame
	Words, Tank, When string
	Raw               string // as the log writes it
	Note              string
	Photo             string
	History           []logRow
	Fate              string
	Details           []string // of an accepted plan
	Stands            string   // where it is seen how that stands
	Correct           *form
	RetractID         string
	LineID            string
}

var lineScreen = screen[lineView]{"line.html"}

func (s *Server) line(w http.ResponseWriter, r *http.Request) error {
	l, err := s.lineOf(r)
	if err != nil {
		return err
	}
	zone := zoneOf(s.facts(), l.Tank)
	f, err := s.correction(l, untold(l, zone))
	if err != nil {
		return err
	}
	return s.showLine(w, r, http.StatusOK, l, f)
}

func (s *Server) lineOf(r *http.Request) (book.Line, error) {
	l, ok := s.thread().line(r.PathValue("id"))
	if !ok {
		return l, missing("The book holds no such line.")
	}
	return l, nil
}

func (s *Server) showLine(w http.ResponseWriter, r *http.Request, status int, l book.Line, f *form) error {
	t, facts, now := s.thread(), s.facts(), s.Now()
	zone := zoneOf(facts, l.Tank)
	raw, err := l.MarshalJSON()
	if err != nil {
		return err
	}
	v := lineView{frame: s.frame(r, prose.Capital(describe(l)), "log"), Words: describe(l), Tank: l.Tank, LineID: l.ID,
		When: longDay(l.At.In(zone)) + ", " + l.At.In(zone).Format("15:04"), Raw: string(raw), Note: l.Note, Fate: t.fate(l.ID)}
	if v.Details, v.Stands = planDetails(l, zone); v.Fate != "" {
		v.Stands = ""
	}
	if p, ok := l.Body.(*book.Photo); ok {
		v.Photo = "/photo/" + p.File
	}
	if all := t.history(l.ID); len(all) > 1 {
		for _, h := range all {
			row := rowOfLine(t, h, h.At.In(zone))
			row.Clock = moment(h.At, now.In(zone))
			v.History = append(v.History, row)
		}
	}
	if v.Fate == "" && l.Kind != book.KindVoid {
		v.Correct, v.RetractID = f, book.NewID(now)
	}
	return lineScreen.show(s, w, status, v)
}

// correction is the form that puts a line right: the form it was written with,
// or the line's own text where a kind has no form.
func (s *Server) correction(l book.Line, values map[string]string) (*form, error) {
	f := &form{Action: linePath(l.ID) + "/correct", ID: book.NewID(s.Now()), Submit: "Keep the correction"}
	sh, ok := sheets[l.Kind]
	if !ok {
		raw, err := l.MarshalJSON()
		if err != nil {
			return nil, err
		}
		f.Fields = []field{{Name: "line", Label: "The line as the log writes it", Input: "long", Value: string(raw)}}
		return f, nil
	}
	facts := s.facts()
	c := sheetContext{facts: facts, now: s.Now().In(zoneOf(facts, l.Tank)), values: values}
	if t, ok := facts.Tank(l.Tank); ok {
		c.tank = t
	}
	f.Fields = sh.fields(c)
	if !hasMoment(f.Fields) {
		f.Fields = append(f.Fields, momentField(c))
	}
	fill(f.Fields, values)
	return f, nil
}

func hasMoment(fields []field) bool {
	for _, f := range fields {
		if f.Input == "moment" {
			return true
		}
	}
	return false
}

func (s *Server) lineCorrect(w http.ResponseWriter, r *http.Request) error {
	l, err := s.lineOf(r)
	if err != nil {
		return err
	}
	values, err := posted(r)
	if err != nil {
		return err
	}
	if _, done := s.thread().line(values["id"]); done {
		return back(w, r, linePath(values["id"]), values["id"])
	}
	if fate := s.thread().fate(l.ID); fate != "" {
		return &refusal{http.StatusConflict, "This line has been " + fate + " already. Open the newest one to change it again."}
	}
	f, err := s.correction(l, values)
	if err != nil {
		return err
	}
	f.ID = values["id"]
	values["replaces"] = l.ID
	fixed, ok := s.retell(f, l, values)
	if ok {
		ok, err = s.keep(r, f, fixed)
	}
	if err != nil {
		return err
	}
	if !ok {
		return s.showLine(w, r, http.StatusUnprocessableEntity, l, f)
	}
	return back(w, r, linePath(fixed.ID), fixed.ID)
}

// retell makes the corrected line. What no form asks for is carried over.
func (s *Server) retell(f *form, old book.Line, values map[string]string) (book.Line, bool) {
	if _, ok := sheets[old.Kind]; ok {
		l, ok := tell(f, old.Kind, old.Tank, values, zoneOf(s.facts(), old.Tank))
		l.By, l.Extra = old.By, old.Extra
		keepQuiet(&l, old)
		return l, ok
	}
	l, err := book.ParseLine([]byte(strings.TrimSpace(values["line"])))
	if err == nil {
		l.ID, l.Replaces = values["id"], old.ID
		err = book.Validate(l)
	}
	if err != nil {
		f.wrong("line", err.Error())
		f.Fields[0].Value = values["line"]
	}
	return l, err == nil
}

// keepQuiet carries over what a kind's form does not ask.
func keepQuiet(l *book.Line, old book.Line) {
	if b, ok := l.Body.(*book.Routine); ok {
		if o, ok := old.Body.(*book.Routine); ok {
			b.Composition = o.Composition
		}
	}
}

func (s *Server) lineRetract(w http.ResponseWriter, r *http.Request) error {
	l, err := s.lineOf(r)
	if err != nil {
		return err
	}
	values, err := posted(r)
	if err != nil {
		return err
	}
	id := values["id"]
	if _, done := s.thread().line(id); done {
		return back(w, r, linePath(l.ID), id)
	}
	if fate := s.thread().fate(l.ID); fate != "" {
		return &refusal{http.StatusConflict, "This line has been " + fate + " already."}
	}
	void := book.Line{ID: id, Kind: book.KindVoid, At: s.Now().Truncate(time.Second), Tank: l.Tank, Replaces: l.ID,
		Note: strings.TrimSpace(values["note"])}
	if void.ID == "" {
		void.ID = book.NewID(s.Now())
	}
	if err := book.Validate(void); err != nil {
		return &refusal{http.StatusUnprocessableEntity, prose.Capital(err.Error())}
	}
	if err := s.Journal.Append(r.Context(), void); err != nil {
		return err
	}
	return back(w, r, linePath(l.ID), void.ID)
}
