package web

import (
	"net/http"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/stoichiometry"
)

// declarable are the things a page can declare.
var declarable = map[book.Kind]bool{book.KindTank: true, book.KindBand: true, book.KindInstrument: true, book.KindSubstance: true,
	book.KindMix: true, book.KindFood: true, book.KindRoutine: true}

// declare shows the form of a thing. A line in the address begins it with what
// that line says: keeping it declares the thing anew from now on.
func (s *Server) declare(w http.ResponseWriter, r *http.Request) error {
	sh, values, err := s.declared(r, asked(r))
	if err != nil {
		return err
	}
	if ask, lead, ways := s.missingChoice(sh, values); ask != "" {
		v := chooseView{frame: s.frame(r, sh.title, "settings"), Lead: lead}
		for _, w := range ways {
			q := r.URL.Query()
			q.Set(ask, w)
			v.Ways = append(v.Ways, way{Name: prose.Capital(w), Href: r.URL.Path + "?" + q.Encode()})
		}
		return chooseScreen.show(s, w, http.StatusOK, v)
	}
	fm, tank := s.declareForm(r, sh, values)
	fm.ID = book.NewID(s.Now())
	return s.showDeclare(w, r, http.StatusOK, sh, fm, tank)
}

// declared is the sheet and the values its form begins with.
func (s *Server) declared(r *http.Request, values map[string]string) (sheet, map[string]string, error) {
	kind := book.Kind(r.PathValue("kind"))
	if !declarable[kind] {
		return sheet{}, nil, missing("There is no form to declare “" + string(kind) + "”.")
	}
	if id := values["line"]; id != "" {
		l, ok := s.thread().line(id)
		if !ok || l.Kind != kind {
			return sheet{}, nil, missing("The book holds no such line.")
		}
		for k, v := range untold(l, zoneOf(s.facts(), l.Tank)) {
			if _, given := values[k]; !given && !strings.HasPrefix(k, "at.") && k != "note" && k != "from" {
				values[k] = v
			}
		}
	}
	return sheets[kind], values, nil
}

// missingChoice is what has to be chosen before the form can be made.
func (s *Server) missingChoice(sh sheet, values map[string]string) (ask, lead string, ways []string) {
	switch {
	case sh.ofTank() && values["tank"] == "":
		for i := range s.facts().Tanks {
			ways = append(ways, s.facts().Tanks[i].Tank.Name)
		}
		return "tank", "For which tank?", ways
	case (sh.kind == book.KindInstrument || sh.kind == book.KindBand) && quantityUnits(values["quantity"]) == nil:
		return "quantity", "For which quantity?", quantityNames()
	case sh.kind == book.KindRoutine && routineMatter(sheetContext{facts: s.facts()}, values["action"]) == nil:
		return "action", "What does it do?", actions
	}
	return "", "", nil
}

func (s *Server) declareForm(r *http.Request, sh sheet, values map[string]string) (*form, *book.TankFacts) {
	f := s.facts()
	if values["zone"] == "" && len(f.Tanks) > 0 {
		values["zone"] = f.Tanks[0].Location.String()
	}
	c := sheetContext{facts: f, values: values, now: s.Now().In(zoneOf(f, values["tank"]))}
	if t, ok := f.Tank(values["tank"]); ok && sh.ofTank() {
		c.tank = t
	}
	fm := &form{Action: r.URL.RequestURI(), Submit: sh.save, Fields: sh.fields(c), Cautions: cautionsFor(sh.kind, values)}
	fill(fm.Fields, values)
	if r.URL.Query().Get("line") != "" { // the same thing declared anew keeps its name
		for i := range fm.Fields {
			if fm.Fields[i].Name == "name" {
				fm.Fields[i].Input = "hidden"
			}
		}
	}
	return fm, c.tank
}

func (s *Server) showDeclare(w http.ResponseWriter, r *http.Request, status int, sh sheet, fm *form, t *book.TankFacts) error {
	v := formView{frame: s.frame(r, sh.title, "settings"), Form: fm}
	if id := r.URL.Query().Get("line"); id != "" {
		v.Lead = "A change holds from now on."
		v.Also = &link{Name: "To rename it, or to put right what was wrong from the start, correct its line", Href: linePath(id)}
		for _, f := range fm.Fields {
			if f.Name == "name" {
				v.Title = "Change " + f.Value
			}
		}
	}
	if t != nil {
		v.Tank, v.TankHref = t.Tank.Name, tankPath(t.Tank.Name)
	}
	return formScreen.show(s, w, status, v)
}

func (s *Server) declareSave(w http.ResponseWriter, r *http.Request) error {
	values, err := posted(r)
	if err != nil {
		return err
	}
	for k, v := range asked(r) {
		if _, sent := values[k]; !sent && (k == "tank" || k == "quantity" || k == "action") {
			values[k] = v
		}
	}
	delete(values, "line")
	sh, values, err := s.declared(r, values)
	if err != nil {
		return err
	}
	if values["id"] != "" && s.known(values["id"]) {
		return back(w, r, "/settings", values["id"])
	}
	fm, t := s.declareForm(r, sh, values)
	fm.ID = values["id"]
	l, ok := s.tellThing(fm, sh, t, values)
	if ok {
		ok, err = s.keep(r, fm, l)
	}
	if err != nil {
		return err
	}
	if !ok {
		return s.showDeclare(w, r, http.StatusUnprocessableEntity, sh, fm, t)
	}
	return back(w, r, "/settings", l.ID)
}

// tellThing makes the declaration, which holds from now on.
func (s *Server) tellThing(fm *form, sh sheet, t *book.TankFacts, values map[string]string) (book.Line, bool) {
	tank, zone := "", zoneOf(s.facts(), "")
	if t != nil {
		tank, zone = t.Tank.Name, t.Location
	} else if sh.ofTank() {
		fm.Error = "No tank called " + shorten(values["tank"]) + " is declared. Nothing was stored."
		return book.Line{}, false
	}
	now := s.Now().In(zone).Truncate(time.Second)
	values["at.date"], values["at.time"] = now.Format("2006-01-02"), now.Format("15:04:05")
	shown := fm.Fields
	fm.Fields = append(fm.Fields[:len(fm.Fields):len(fm.Fields)], field{Name: "at", Input: "moment"})
	l, ok := tell(fm, sh.kind, tank, values, zone)
	if at := fm.Fields[len(fm.Fields)-1]; at.Error != "" {
		fm.Error = at.Error
	}
	copy(shown, fm.Fields)
	fm.Fields = shown
	if formula := strings.TrimSpace(values["formula"]); ok && formula != "" && sh.kind == book.KindSubstance {
		if _, err := stoichiometry.Parse(formula); err != nil {
			fm.wrong("formula", err.Error())
			ok = false
		}
	}
	if ok && l.ID == "" {
		l.ID = book.NewID(now)
	}
	return l, ok
}
