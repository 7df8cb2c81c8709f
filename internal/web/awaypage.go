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
}

type awayFields struct{ From, Until, Every, Call string }

// awayTold is what follows, the part of the page that is asked for anew.
type awayTold struct {
	Problem string
	Lead    string
	Tanks   []away.Tank
	Needs   []away.Need
	Visits  []string
	Call    []string
}

var awayScreen = screen[awayView]{"away.html"}

const awayPath = "/away"

func (s *Server) away(w http.ResponseWriter, r *http.Request) error {
	f, ask := s.facts(), r.URL.Query()
	g := func(name string) string { return strings.TrimSpace(ask.Get(name)) }
	typed := awayFields{g("from"), g("until"), g("every"), g("call")}
	told := s.workAway(f, typed)
	if ask.Get("part") == partAsked {
		return awayScreen.part(s, w, "findings", told)
	}
	return awayScreen.show(s, w, http.StatusOK, awayView{frame: s.frame(r, "Away", "rounds"), Action: awayPath, Typed: typed, Told: told})
}

func (s *Server) workAway(f *book.Facts, typed awayFields) awayTold {
	if typed.From == "" || typed.Until == "" {
		return awayTold{}
	}
	zone := zoneOf(f, "")
	if len(f.Tanks) > 0 {
		zone = f.Tanks[0].Location
	}
	a := away.Ask{}
	for _, x := range []struct {
		text string
		to   *time.Time
	}{{typed.From, &a.From}, {typed.Until, &a.Until}} {
		at, err := momentOf(x.text, "12:00", zone)
		if err != nil {
			return awayTold{Problem: sentence(err.Error())}
		}
		*x.to = at
	}
	if typed.Every != "" {
		v, ok := typedFigure(typed.Every)
		if !ok {
			return awayTold{Problem: sentence("a visit every " + shorten(typed.Every) + " days is not a figure; expected such as 3")}
		}
		a.Every = v
	}
	p, err := away.Work(s.Desk, f, a, f.AsOf)
	if err != nil {
		return awayTold{Problem: sentence(err.Error())}
	}
	v := awayTold{Lead: longDay(p.From.In(zone)) + " to " + longDay(p.Until.In(zone)), Tanks: p.Tanks, Needs: away.Needs, Call: parts(typed.Call, "\n")}
	for _, at := range p.Visits {
		v.Visits = append(v.Visits, longDay(at.In(zone)))
	}
	return v
}
