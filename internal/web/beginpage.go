package web

import (
	"net/http"
	"net/url"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/units"
)

// beginView leads a newcomer to the first tank, kit and reading in three steps.
type beginView struct {
	frame
	Step  int
	Tank  string
	Form  *form
	Skip  string // address of the next step without this one
	Quiet bool   // nothing is in the book yet
}

var beginScreen = screen[beginView]{"begin.html"}

func (s *Server) begin(w http.ResponseWriter, r *http.Request) error {
	values := asked(r)
	step, t := s.beginStep(values)
	fm := s.beginForm(step, t, values)
	fm.ID = book.NewID(s.Now())
	return s.showBegin(w, r, http.StatusOK, step, t, fm)
}

// beginStep is the first step not yet done, or the one asked for.
func (s *Server) beginStep(values map[string]string) (int, *book.TankFacts) {
	f := s.facts()
	t, ok := f.Tank(values["tank"])
	switch {
	case !ok:
		return 1, nil
	case values["step"] == "3":
		return 3, t
	}
	return 2, t
}

func (s *Server) showBegin(w http.ResponseWriter, r *http.Request, status, step int, t *book.TankFacts, fm *form) error {
	v := beginView{frame: s.frame(r, "A new tank", "rounds"), Step: step, Form: fm, Quiet: len(s.facts().Tanks) == 0}
	if t != nil {
		v.Tank = t.Tank.Name
		v.Skip = "/begin?step=3&tank=" + urlQuery(v.Tank)
		if step == 3 {
			v.Skip = "/"
		}
	}
	return beginScreen.show(s, w, status, v)
}

func (s *Server) beginForm(step int, t *book.TankFacts, values map[string]string) *form {
	c := sheetContext{facts: s.facts(), tank: t, now: s.Now(), values: values}
	if t != nil {
		c.now = c.now.In(t.Location)
	}
	var fm *form
	switch step {
	case 1:
		fm = s.beginTankForm(c)
	case 2:
		fm = beginKitForm(c)
	default:
		fm = beginReadingForm(c)
	}
	fill(fm.Fields, values)
	return fm
}

// beginTankForm asks only what the rest cannot do without.
func (s *Server) beginTankForm(c sheetContext) *form {
	zone := zoneField(c)
	zone.Value = s.Zone
	if len(c.facts.Tanks) > 0 {
		zone.Value = c.facts.Tanks[0].Location.String()
	}
	if zone.Value == "" {
		zone.Value = "UTC"
	}
	all := tankFields(c)
	name := all[0]
	name.Hint = "What you call it at home."
	return &form{Action: "/begin/tank", Submit: "Next: a test kit", Fields: []field{name, all[1], all[2], zone}}
}

// beginKitForm asks for a quantity and how it is measured.
func beginKitForm(c sheetContext) *form {
	q := field{Name: "quantity", Label: "It measures", Input: "choice", Options: options(quantityNames()...)}
	q.choose(string(units.Alkalinity))
	method := field{Name: "method", Label: "How it works", Input: "choice", Optional: true,
		Options: append([]option{{Label: "the usual way for it"}}, options(methods...)...),
		Hint:    "Its usual errors follow from this. You can refine them later in Settings."}
	return &form{Action: "/begin/kit?tank=" + urlQuery(c.tank.Tank.Name), Submit: "Next: a reading",
		Fields: []field{q, method, {Name: "name", Label: "What you call it", Input: "text", Optional: true, Hint: "Left empty, it is called after what it measures."}}}
}

func beginReadingForm(c sheetContext) *form {
	q := c.value("quantity")
	if quantityUnits(q) == nil {
		q = string(units.Alkalinity)
		c.values["quantity"] = q
	}
	all := readingFields(c)
	value := all[1]
	value.Label = prose.Capital(q) + " reads"
	quantity := field{Name: "quantity", Input: "hidden", Value: q}
	kit := field{Name: "instrument", Input: "hidden", Value: c.value("instrument"), Optional: true}
	return &form{Action: "/begin/reading?tank=" + urlQuery(c.tank.Tank.Name), Submit: "Keep the reading", Fields: []field{quantity, value, kit, momentField(c)}}
}

func (s *Server) beginTank(w http.ResponseWriter, r *http.Request) error {
	return s.beginSave(w, r, 1, book.KindTank, func(values map[string]string) string {
		return "/begin?" + url.Values{"tank": {strings.TrimSpace(values["name"])}}.Encode()
	})
}

func (s *Server) beginKit(w http.ResponseWriter, r *http.Request) error {
	return s.beginSave(w, r, 2, book.KindInstrument, func(values map[string]string) string {
		return "/begin?" + url.Values{"step": {"3"}, "tank": {r.URL.Query().Get("tank")}, "quantity": {values["quantity"]},
			"instrument": {strings.TrimSpace(values["name"])}}.Encode()
	})
}

func (s *Server) beginReading(w http.ResponseWriter, r *http.Request) error {
	return s.beginSave(w, r, 3, book.KindReading, func(map[string]string) string { return "/" })
}

// beginSave keeps the line of a step and goes on to the next.
func (s *Server) beginSave(w http.ResponseWriter, r *http.Request, step int, kind book.Kind, next func(map[string]string) string) error {
	values, err := posted(r)
	if err != nil {
		return err
	}
	if values["id"] != "" && s.known(values["id"]) {
		return back(w, r, next(values))
	}
	values["tank"] = r.URL.Query().Get("tank")
	if step == 2 {
		usualKit(values)
	}
	var t *book.TankFacts
	if step > 1 {
		found, ok := s.facts().Tank(values["tank"])
		if !ok {
			return missing("No tank called “" + values["tank"] + "” is declared in this book.")
		}
		t = found
	}
	fm := s.beginForm(step, t, values)
	fm.ID = values["id"]
	l, ok := s.beginLine(fm, kind, t, values)
	if ok && step == 1 {
		ok = s.nameIsFree(fm, values["name"])
	}
	if ok {
		ok, err = s.keep(r, fm, l)
	}
	if err != nil {
		return err
	}
	if !ok {
		return s.showBegin(w, r, http.StatusUnprocessableEntity, step, t, fm)
	}
	return back(w, r, next(values), l.ID)
}

// usualKit fills in what a newcomer left to the book.
func usualKit(values map[string]string) {
	q := values["quantity"]
	if strings.TrimSpace(values["name"]) == "" && quantityUnits(q) != nil {
		values["name"] = q + " kit"
	}
	if values["method"] == "" {
		values["method"] = methodsFor(q)[0]
	}
}

// nameIsFree keeps a newcomer from declaring an old tank anew by accident.
func (s *Server) nameIsFree(fm *form, name string) bool {
	if _, taken := s.facts().Tank(name); taken {
		fm.wrong("name", "a tank of this name is in the book already; give this one another")
		return false
	}
	return true
}

// beginLine makes the line of a step. A tank and a kit hold from the start of
// the day, so that a reading taken this morning can name them.
func (s *Server) beginLine(fm *form, kind book.Kind, t *book.TankFacts, values map[string]string) (book.Line, bool) {
	if kind == book.KindReading {
		l, ok := tell(fm, kind, t.Tank.Name, values, t.Location)
		return withID(l, s.Now()), ok
	}
	zone := time.UTC
	if z, err := time.LoadLocation(strings.TrimSpace(values["time_zone"])); err == nil {
		zone = z
	}
	if t != nil {
		zone = t.Location
	}
	values["at.date"], values["at.time"] = s.Now().In(zone).Format("2006-01-02"), "00:00"
	n := len(fm.Fields)
	fm.Fields = append(fm.Fields, field{Name: "at", Input: "moment"})
	l, ok := tell(fm, kind, "", values, zone)
	fm.Fields = fm.Fields[:n]
	return withID(l, s.Now()), ok
}

func withID(l book.Line, now time.Time) book.Line {
	if l.ID == "" {
		l.ID = book.NewID(now)
	}
	return l
}
