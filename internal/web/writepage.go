package web

import (
	"net/http"
	"strings"

	"driftline/internal/book"
	"driftline/internal/prose"
)

// chooseView lists ways to go on, each a large target.
type chooseView struct {
	frame
	Lead string
	Ways []way
}

// way is one choice with a word about it.
type way struct{ Name, Words, Href string }

var chooseScreen = screen[chooseView]{"choose.html"}

// formView is a page that holds one form.
type formView struct {
	frame
	Tank, TankHref string
	Lead           string
	Also           *link // another way to go about it
	Form           *form
}

var formScreen = screen[formView]{"form.html"}

// deeds are what can be written down of a tank, in the order offered.
var deeds = []struct {
	kind  book.Kind
	words string
}{
	{book.KindDose, "something added to the water"},
	{book.KindWaterChange, "new water for old"},
	{book.KindFeeding, "a meal"},
	{book.KindTopOff, "fresh water for what evaporated"},
	{book.KindScore, "algae, detritus or polyps judged by eye, 0 to 4"},
	{book.KindChore, "glass cleaned, skimmer emptied"},
	{book.KindNote, "anything worth remembering"},
	{book.KindAnimal, "one that came, was looked at, moved on or died"},
	{book.KindHarvest, "plant matter taken out"},
	{book.KindSetting, "a light, pump or heater set differently"},
}

func (s *Server) writeChoose(w http.ResponseWriter, r *http.Request) error {
	return s.chooseTank(w, r, "Write down", "write", "Which tank was it?", writePath)
}

// chooseTank goes straight on when there is only one tank.
func (s *Server) chooseTank(w http.ResponseWriter, r *http.Request, title, place, lead string, to func(string) string) error {
	f := s.facts()
	switch len(f.Tanks) {
	case 0:
		http.Redirect(w, r, "/begin", http.StatusSeeOther)
		return nil
	case 1:
		http.Redirect(w, r, to(f.Tanks[0].Tank.Name), http.StatusSeeOther)
		return nil
	}
	v := chooseView{frame: s.frame(r, title, place), Lead: lead}
	for i := range f.Tanks {
		t := &f.Tanks[i].Tank
		v.Ways = append(v.Ways, way{t.Name, aboutTank(t), to(t.Name)})
	}
	return chooseScreen.show(s, w, http.StatusOK, v)
}

func (s *Server) writeTank(w http.ResponseWriter, r *http.Request) error {
	t, err := s.tankOf(r, s.facts())
	if err != nil {
		return err
	}
	name := t.Tank.Name
	v := chooseView{frame: s.frame(r, "Write down, "+name, "write"), Lead: "What happened in " + name + "?"}
	v.Ways = append(v.Ways, way{"Readings", "what the kits and probes say", readPath(name)})
	for _, d := range deeds {
		v.Ways = append(v.Ways, way{strings.TrimPrefix(strings.TrimPrefix(sheets[d.kind].title, "A "), "a "), d.words, writePath(name) + "/" + pathEscape(string(d.kind))})
	}
	v.Ways = append(v.Ways, way{"The shelf", "what there is of a salt or a supplement, or came in", shelfPath + "#count"})
	for i := range v.Ways {
		v.Ways[i].Name = prose.Capital(v.Ways[i].Name)
	}
	return chooseScreen.show(s, w, http.StatusOK, v)
}

// deedSheet is the sheet the page's address asks for.
func deedSheet(r *http.Request) (sheet, error) {
	what := book.Kind(r.PathValue("what"))
	for _, d := range deeds {
		if d.kind == what {
			return sheets[what], nil
		}
	}
	return sheet{}, missing("There is no form to write down “" + string(what) + "”.")
}

func (s *Server) write(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, err := s.tankOf(r, f)
	if err != nil {
		return err
	}
	sh, err := deedSheet(r)
	if err != nil {
		return err
	}
	values := asked(r)
	fm := s.deedForm(r, f, t, sh, values)
	fm.ID = book.NewID(s.Now())
	return s.showDeed(w, r, http.StatusOK, t, sh, fm)
}

func (s *Server) deedForm(r *http.Request, f *book.Facts, t *book.TankFacts, sh sheet, values map[string]string) *form {
	c := sheetContext{facts: f, tank: t, now: s.Now().In(t.Location), values: values}
	fm := &form{Action: r.URL.EscapedPath(), Submit: sh.save, Fields: sh.fields(c), Cautions: cautionsFor(sh.kind, values)}
	fill(fm.Fields, values)
	return fm
}

func (s *Server) showDeed(w http.ResponseWriter, r *http.Request, status int, t *book.TankFacts, sh sheet, fm *form) error {
	v := formView{frame: s.frame(r, sh.title+", "+t.Tank.Name, "write"), Tank: t.Tank.Name, TankHref: tankPath(t.Tank.Name), Form: fm}
	return formScreen.show(s, w, status, v)
}

func (s *Server) writeSave(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, err := s.tankOf(r, f)
	if err != nil {
		return err
	}
	sh, err := deedSheet(r)
	if err != nil {
		return err
	}
	values, err := posted(r)
	if err != nil {
		return err
	}
	to := ownPath(values["to"])
	if values["to"] == "" {
		to = tankPath(t.Tank.Name)
	}
	if values["id"] != "" && s.known(values["id"]) {
		return back(w, r, to, values["id"])
	}
	now := s.Now().In(t.Location)
	if _, ok := values["at.date"]; !ok { // one tap: it happened now
		values["at.date"], values["at.time"] = now.Format("2006-01-02"), now.Format("15:04:05")
	}
	fm := s.deedForm(r, f, t, sh, values)
	fm.ID = values["id"]
	l, ok := tell(fm, sh.kind, t.Tank.Name, values, t.Location)
	if ok {
		if l.ID == "" {
			l.ID = book.NewID(now)
		}
		ok, err = s.keep(r, fm, l)
	}
	if err != nil {
		return err
	}
	if !ok {
		return s.showDeed(w, r, http.StatusUnprocessableEntity, t, sh, fm)
	}
	return back(w, r, to, l.ID)
}
