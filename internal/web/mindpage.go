package web

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"driftline/internal/away"
	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/web/gate"
	"driftline/units"
)

// mindView is all that whoever minds the tanks sees of the book.
type mindView struct {
	Title, Light, Sheet, Mark string
	Lead                      string
	Action                    string
	Thanks                    string
	Problem                   string
	Homes                     []mindTank
	Readings                  readingAsked
	Needs                     []away.Need
	Call                      []string
	PictureID, ReadingID      string // of the lines the forms would make
}

// mindTank is what there is to do at one tank.
type mindTank struct {
	Name    string
	Errands []mindErrand
	Normal  []link // pictures of when all is well
}

// mindErrand is one thing to tick off.
type mindErrand struct {
	ID, Says, Portion, Do, Done string
}

// readingAsked is the form for a reading.
type readingAsked struct {
	Tanks      []string
	Quantities []string
	Units      []string
}

var mindScreen = screen[mindView]{"mind.html"}

const (
	mindPrefix    = "/mind/"
	mindLines     = 200 // a day by one link
	mindPictures  = 40
	normalOfATank = 3
)

// minded is the absence whose link a request carries, while it is good.
func (s *Server) minded(w http.ResponseWriter, r *http.Request, f *book.Facts) (away.Absence, error) {
	secret, now := r.PathValue("secret"), s.Now()
	all := away.Kept(f)
	i := slices.IndexFunc(all, func(a away.Absence) bool { return gate.Opens(secret, a.Link) && a.Open(now) })
	if err := s.knock(w, r, i >= 0); err != nil {
		return away.Absence{}, err
	}
	return all[i], nil
}

func (s *Server) mind(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	a, err := s.minded(w, r, f)
	if err != nil {
		return err
	}
	return s.showMind(w, r, http.StatusOK, f, a, "")
}

func (s *Server) showMind(w http.ResponseWriter, r *http.Request, status int, f *book.Facts, a away.Absence, problem string) error {
	zone, now := zoneOf(f, ""), s.Now()
	v := mindView{Title: "The tanks", Light: "auto", Sheet: s.assets.Path("driftline.css"), Mark: s.assets.Path("mark.svg"),
		Action: mindPrefix + r.PathValue("secret"), Needs: away.Needs, Call: parts(a.Call, "\n"), Problem: problem, PictureID: book.NewID(now), ReadingID: book.NewID(now)}
	v.Lead = longDay(a.From.In(zone)) + " to " + longDay(a.Until.In(zone)) + ". " + visitWords(a, now, zone)
	switch r.URL.Query().Get("thanks") {
	case "done":
		v.Thanks = "Ticked off, thank you."
	case "reading":
		v.Thanks = "The reading is kept, thank you."
	case "picture":
		v.Thanks = "The picture is kept, thank you."
	}
	normal := away.Normal(f, a, normalOfATank)
	for _, e := range away.Errands(f, a, now) {
		i := slices.IndexFunc(v.Homes, func(h mindTank) bool { return h.Name == e.Tank })
		if i < 0 {
			i = len(v.Homes)
			h := mindTank{Name: e.Tank}
			for _, p := range normal[e.Tank] {
				h.Normal = append(h.Normal, link{Name: p.Viewpoint, Href: v.Action + "/picture/" + p.File})
			}
			v.Homes = append(v.Homes, h)
		}
		v.Homes[i].Errands = append(v.Homes[i].Errands, mindErrandOf(e, zone, now))
	}
	v.Readings = readingAskedOf(f)
	return mindScreen.show(s, w, status, v)
}

// visitWords say when somebody is to come.
func visitWords(a away.Absence, now time.Time, zone *time.Location) string {
	for _, at := range a.Visits() {
		switch at = at.In(zone); {
		case sameDay(at, now.In(zone)):
			return "Today is a visit."
		case at.After(now):
			return "The next visit is on " + longDay(at) + "."
		}
	}
	return "No visit is planned any more."
}

func sameDay(a, b time.Time) bool {
	return a.Format(time.DateOnly) == b.Format(time.DateOnly)
}

func mindErrandOf(e away.Errand, zone *time.Location, now time.Time) mindErrand {
	out := mindErrand{ID: book.NewID(now), Says: e.Says, Do: "look"}
	if e.Food != "" {
		out.Do, out.Portion = "portion", strings.TrimSpace(e.Amount+" "+e.Unit+" "+e.Food)
	}
	if !e.Done.IsZero() {
		out.Done = "done at " + e.Done.In(zone).Format("15:04")
	}
	return out
}

// readingAskedOf offers what the book has readings of, in their usual units.
func readingAskedOf(f *book.Facts) readingAsked {
	var out readingAsked
	out.Quantities = []string{string(units.Temperature), string(units.Salinity)}
	for i := range f.Tanks {
		t := &f.Tanks[i]
		out.Tanks = append(out.Tanks, t.Tank.Name)
		for k := len(t.Events) - 1; k >= 0 && k >= len(t.Events)-400; k-- {
			if b, ok := t.Events[k].Body.(*book.Reading); ok {
				if q, err := units.ParseQuantity(b.Quantity); err == nil && !slices.Contains(out.Quantities, string(q)) {
					out.Quantities = append(out.Quantities, string(q))
				}
			}
		}
	}
	for _, q := range out.Quantities {
		for _, u := range units.Quantity(q).Units() {
			if !slices.Contains(out.Units, u) {
				out.Units = append(out.Units, u)
			}
		}
	}
	return out
}

// mindDo ticks an errand off.
func (s *Server) mindDo(w http.ResponseWriter, r *http.Request) error {
	return s.mindWrite(w, r, "done", func(f *book.Facts, a away.Absence, values map[string]string) (book.Kind, book.Body, string) {
		for _, e := range away.Errands(f, a, s.Now()) {
			switch {
			case book.Key(e.Tank) != book.Key(values["tank"]):
			case values["do"] == "portion" && e.Food != "":
				return book.KindFeeding, &book.Feeding{Food: e.Food, Amount: book.Number(e.Amount), Unit: e.Unit}, ""
			case values["do"] == "look" && e.Food == "":
				return book.KindChore, &book.Chore{Name: away.LookedAt}, ""
			}
		}
		return "", nil, "That is not among the things to do here. Nothing was stored."
	})
}

// mindReading keeps a reading.
func (s *Server) mindReading(w http.ResponseWriter, r *http.Request) error {
	return s.mindWrite(w, r, "reading", func(_ *book.Facts, _ away.Absence, values map[string]string) (book.Kind, book.Body, string) {
		value, err := figure(values["value"])
		if err != nil {
			return "", nil, sentence(err.Error()) + " Nothing was stored."
		}
		return book.KindReading, &book.Reading{Quantity: values["quantity"], Value: book.Number(value), Unit: values["unit"]}, ""
	})
}

// mindWrite writes one line in the minder's name, now.
func (s *Server) mindWrite(w http.ResponseWriter, r *http.Request, thanks string, body func(*book.Facts, away.Absence, map[string]string) (book.Kind, book.Body, string)) error {
	f := s.facts()
	a, err := s.minded(w, r, f)
	if err != nil {
		return err
	}
	values, err := posted(r)
	if err != nil {
		return err
	}
	kind, b, problem := body(f, a, values)
	if problem == "" {
		problem, err = s.mindKeep(r, f, a, kind, b, values)
	}
	if err != nil {
		return err
	}
	if problem != "" {
		return s.showMind(w, r, http.StatusUnprocessableEntity, f, a, problem)
	}
	http.Redirect(w, r, mindPrefix+r.PathValue("secret")+"?thanks="+thanks, http.StatusSeeOther)
	return nil
}

// mindKeep stores a line of the minder's; a problem is told in a sentence.
func (s *Server) mindKeep(r *http.Request, f *book.Facts, a away.Absence, kind book.Kind, b book.Body, values map[string]string) (string, error) {
	id := values["id"]
	if id != "" && s.known(id) {
		return "", nil // sent twice
	}
	t, ok := f.Tank(values["tank"])
	if !ok {
		return "There is no such tank. Nothing was stored.", nil
	}
	if !s.strokes.Take(a.Link) {
		return "Too much was sent by this link today. Nothing was stored; call.", nil
	}
	l := book.Line{ID: id, Kind: kind, At: s.Now().In(zoneOf(f, "")).Truncate(time.Second), Tank: t.Tank.Name, By: a.Who(), Body: b, Note: strings.TrimSpace(values["note"])}
	fm := &form{}
	ok, err := s.keep(r, fm, l)
	if err != nil || ok {
		return "", err
	}
	if fm.Error == "" {
		return "That cannot be kept as it is. Nothing was stored.", nil
	}
	return prose.Capital(fm.Error), nil
}
