package web

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"driftline/internal/away"
	"driftline/internal/book"
	"driftline/internal/rounds"
	"driftline/internal/web/gate"
)

// absenceView is one absence that is written down: before it the sheet and the link,
// from its beginning on what was done, what moved and what comes first.
type absenceView struct {
	frame
	Action  string
	Line    string // where it is corrected or retracted
	Lead    string
	Minder  string
	Linked  bool   // the link can be used
	Address string // shown once, right after it was made
	Begun   bool
	Recent  bool // so that there is an order to take things up in
	Homes   []absenceTank
	First   []catchUp
	Told    awayTold
	Normal  []link // pictures of when all is well, by tank
}

// absenceTank is what became of one tank.
type absenceTank struct {
	Name, Href string
	Done       []logBrief
	Moved      []string
}

type logBrief struct{ When, Words, Href string }

// catchUp is a part of the order in which things are taken up again.
type catchUp struct {
	Name string
	Rows []rounds.Row
}

var absenceScreen = screen[absenceView]{"absence.html"}

func absencePath(line string) string { return awayPath + "/" + pathEscape(line) }

// awayKeep writes an absence down.
func (s *Server) awayKeep(w http.ResponseWriter, r *http.Request) error {
	values, err := posted(r)
	if err != nil {
		return err
	}
	f := s.facts()
	if values["id"] != "" && s.known(values["id"]) {
		return back(w, r, absencePath(values["id"]), values["id"])
	}
	typed := awayFields{From: values["from"], Until: values["until"], Every: values["every"], Call: values["call"], Minder: values["minder"]}
	ask, problem := awayAsk(f, typed)
	if problem != "" {
		return &refusal{http.StatusUnprocessableEntity, problem}
	}
	if err := ask.Check(f.AsOf); err != nil {
		return &refusal{http.StatusUnprocessableEntity, sentence(err.Error())}
	}
	from, until := ask.From, ask.Until
	b := &book.Absence{From: &from, Until: &until, Minder: strings.TrimSpace(typed.Minder), Call: strings.TrimSpace(strings.ReplaceAll(typed.Call, "\r\n", "\n"))}
	if ask.Every > 0 {
		b.EveryDays = book.Number(fmt.Sprint(ask.Every))
	}
	l := book.Line{ID: values["id"], Kind: book.KindAbsence, At: s.Now().In(zoneOf(f, "")).Truncate(time.Second), Body: b}
	if l.ID == "" {
		l.ID = book.NewID(s.Now())
	}
	if err := s.keepOrRefuse(r, l); err != nil {
		return err
	}
	return back(w, r, absencePath(l.ID), l.ID)
}

// absenceOf is the absence a page's address names.
func (s *Server) absenceOf(r *http.Request, f *book.Facts) (away.Absence, error) {
	all := away.Kept(f)
	i := slices.IndexFunc(all, func(a away.Absence) bool { return a.Line == r.PathValue("line") })
	if i < 0 {
		return away.Absence{}, missing("That absence is not in the book any more, or was changed. The page Away lists those there are.")
	}
	return all[i], nil
}

func (s *Server) absence(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	a, err := s.absenceOf(r, f)
	if err != nil {
		return err
	}
	return s.showAbsence(w, r, f, a, "")
}

func (s *Server) showAbsence(w http.ResponseWriter, r *http.Request, f *book.Facts, a away.Absence, address string) error {
	zone := zoneOf(f, "")
	v := absenceView{frame: s.frame(r, "An absence", "rounds"), Action: absencePath(a.Line), Line: linePath(a.Line), Minder: a.Minder, Address: address,
		Linked: a.Open(f.AsOf), Begun: !f.AsOf.Before(a.From), Lead: longDay(a.From.In(zone)) + " to " + longDay(a.Until.In(zone))}
	if a.Until.After(f.AsOf) {
		typed := awayFields{From: a.From.In(zone).Format(time.DateOnly), Until: a.Until.In(zone).Format(time.DateOnly), Call: a.Call}
		if a.Every > 0 {
			typed.Every = fmt.Sprint(a.Every)
		}
		v.Told = s.workAway(f, typed)
		v.Normal = normalPictures(f, a)
	}
	if v.Begun {
		if err := s.becameOf(f, a, &v); err != nil {
			return err
		}
	}
	return absenceScreen.show(s, w, http.StatusOK, v)
}

// normalPictures are the tanks when all is well.
func normalPictures(f *book.Facts, a away.Absence) []link {
	var out []link
	all := away.Normal(f, a, normalOfATank)
	for i := range f.Tanks {
		name := f.Tanks[i].Tank.Name
		for _, p := range all[name] {
			out = append(out, link{Name: name, Href: "/photo/" + p.File})
		}
	}
	return out
}

// becameOf tells what was done, what moved, and what to take up first.
func (s *Server) becameOf(f *book.Facts, a away.Absence, v *absenceView) error {
	for i := range f.Tanks {
		t := &f.Tanks[i]
		h := absenceTank{Name: t.Tank.Name, Href: tankPath(t.Tank.Name)}
		for _, l := range away.DoneBy(t, a, f.AsOf) {
			h.Done = append(h.Done, logBrief{l.At.In(t.Location).Format("2 January 15:04"), describe(l), linePath(l.ID)})
		}
		standings, err := s.Desk.Tank(f, t.Tank.Name, f.AsOf, pictureDays)
		if err != nil {
			return err
		}
		for _, m := range away.Drifted(standings, a, f.AsOf) {
			h.Moved = append(h.Moved, m.Says)
		}
		v.Homes = append(v.Homes, h)
	}
	if !a.Recent(f.AsOf) {
		return nil
	}
	v.Recent = true
	sheet, err := rounds.Make(s.Desk, f, f.AsOf)
	if err != nil {
		return err
	}
	v.First = inOrder(sheet.Rows)
	return nil
}

// inOrder is how things are taken up again: look, then test, then do by hand, one
// thing of a tank a day. Within each part the rounds' own order holds.
func inOrder(rows []rounds.Row) []catchUp {
	parts := []catchUp{{Name: "First look"}, {Name: "Then test, before anything is changed"}, {Name: "Then, by what the tests say, one thing of a tank a day"}}
	for _, r := range rows {
		i := 2
		switch r.Action.Do {
		case "animal", "look", "score":
			i = 0
		case "read":
			i = 1
		}
		parts[i].Rows = append(parts[i].Rows, r)
	}
	return slices.DeleteFunc(parts, func(c catchUp) bool { return len(c.Rows) == 0 })
}

// absenceLink makes the minder's link; one from before stops.
func (s *Server) absenceLink(w http.ResponseWriter, r *http.Request) error {
	secret, hash, err := gate.NewSecret(s.Random)
	if err != nil {
		return err
	}
	f, a, err := s.relink(r, hash)
	if err != nil {
		return err
	}
	return s.showAbsence(w, r, f, a, s.origin(r)+mindPrefix+secret)
}

// absenceRevoke ends the minder's link.
func (s *Server) absenceRevoke(w http.ResponseWriter, r *http.Request) error {
	_, a, err := s.relink(r, "")
	if err != nil {
		return err
	}
	return back(w, r, absencePath(a.Line))
}

// relink corrects the line of an absence to have another link, or none.
func (s *Server) relink(r *http.Request, hash string) (*book.Facts, away.Absence, error) {
	if _, err := posted(r); err != nil {
		return nil, away.Absence{}, err
	}
	f := s.facts()
	a, err := s.absenceOf(r, f)
	if err != nil {
		return nil, a, err
	}
	old, ok := s.thread().line(a.Line)
	if !ok {
		return nil, a, missing("That absence is not in the book any more.")
	}
	b := *old.Body.(*book.Absence)
	b.Link = hash
	l := book.Line{ID: book.NewID(s.Now()), Kind: book.KindAbsence, At: old.At, By: old.By, Note: old.Note, Body: &b, Replaces: a.Line}
	if err := s.keepOrRefuse(r, l); err != nil {
		return nil, a, err
	}
	a.Line, a.Link = l.ID, hash
	return s.facts(), a, nil
}
