package web

import (
	"net/http"
	"strings"
	"time"

	"driftline/internal/away"
	"driftline/internal/book"
)

// awayView is what an absence means, and the sheet for whoever minds the tanks.
type awayView struct {
	frame
	Action string
	Typed  awayFields
	Told   awayTold
	// Written are the absences in the book.
	Written []link
}

type awayFields struct{ From, Until, Every, Call, Minder string }

// awayTold is what follows, the part of the page that is asked for anew.
type awayTold struct {
	Problem string
	Lead    string
	Tanks   []away.Tank
	Needs   []away.Need
	Visits  []string
	Call    []string
	Typed   awayFields
	Action  string
	ID      string // of the line that would keep it
}

var awayScreen = screen[awayView]{"away.html"}

const awayPath = "/away"

func (s *Server) away(w http.ResponseWriter, r *http.Request) error {
	f, ask := s.facts(), r.URL.Query()
	g := func(name string) string { return strings.TrimSpace(ask.Get(name)) }
	typed := awayFields{g("from"), g("until"), g("every"), g("call"), g("minder")}
	told := s.workAway(f, typed)
	if ask.Get("part") == partAsked {
		return awayScreen.part(s, w, "findings", told)
	}
	v := awayView{frame: s.frame(r, "Away", "rounds"), Action: awayPath, Typed: typed, Told: told}
	for _, a := range away.Kept(f) {
		name := longDay(a.From.In(zoneOf(f, ""))) + " to " + longDay(a.Until.In(zoneOf(f, "")))
		if a.Minder != "" {
			name += ", " + a.Minder
		}
		v.Written = append(v.Written, link{Name: name, Href: absencePath(a.Line)})
	}
	return awayScreen.show(s, w, http.StatusOK, v)
}

// workAway follows an absence.
func (s *Server) workAway(f *book.Facts, typed awayFields) awayTold {
	if typed.From == "" || typed.Until == "" {
		return awayTold{}
	}
	ask, problem := awayAsk(f, typed)
	if problem != "" {
		return awayTold{Problem: problem}
	}
	p, err := away.Work(s.Desk, f, ask, f.AsOf)
	if err != nil {
		return awayTold{Problem: sentence(err.Error())}
	}
	zone := zoneOf(f, "")
	v := awayTold{Lead: longDay(p.From.In(zone)) + " to " + longDay(p.Until.In(zone)), Tanks: p.Tanks, Needs: away.Needs, Call: parts(typed.Call, "\n"),
		Typed: typed, Action: awayPath, ID: book.NewID(s.Now())}
	for _, at := range p.Visits {
		v.Visits = append(v.Visits, longDay(at.In(zone)))
	}
	return v
}

// awayAsk reads what was typed; a problem is a sentence.
func awayAsk(f *book.Facts, typed awayFields) (a away.Ask, problem string) {
	for _, x := range []struct {
		text string
		to   *time.Time
	}{{typed.From, &a.From}, {typed.Until, &a.Until}} {
		at, err := momentOf(x.text, "12:00", zoneOf(f, ""))
		if err != nil {
			return a, sentence(err.Error())
		}
		*x.to = at
	}
	if typed.Every != "" {
		v, ok := typedFigure(typed.Every)
		if !ok {
			return a, sentence("a visit every " + shorten(typed.Every) + " days is not a figure; expected such as 3")
		}
		a.Every = v
	}
	return a, ""
}
