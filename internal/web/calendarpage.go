package web

import (
	"bytes"
	"fmt"
	"net/http"
	"strings"

	"driftline/internal/book"
	"driftline/internal/calendar"
	"driftline/internal/rounds"
	"driftline/internal/web/gate"
)

// calendarView is what is to be done on which day.
type calendarView struct {
	frame
	Lead     string
	Dates    []calendarDay
	Machines []string
	Spans    []link
	Linked   bool   // there is a secret address already
	Address  string // shown once, right after it was made
}

type calendarDay struct {
	Name    string
	Entries []calendarEntry
}

type calendarEntry struct{ Title, Tank, Why, Href string }

var calendarScreen = screen[calendarView]{"calendar.html"}

const (
	calendarPath   = "/calendar"
	feedPrefix     = "/calendar/feed/"
	calendarSecret = "calendar link" // preference: SHA-256 of the secret in the address of the feed
	streamDays     = 28
)

func (s *Server) calendar(w http.ResponseWriter, r *http.Request) error {
	return s.showCalendar(w, r, "")
}

func (s *Server) showCalendar(w http.ResponseWriter, r *http.Request, address string) error {
	days := 7
	if r.URL.Query().Get("span") == "month" {
		days = streamDays
	}
	f := s.facts()
	c, err := calendar.Make(s.Desk, f, f.AsOf, days)
	if err != nil {
		return err
	}
	v := calendarView{frame: s.frame(r, "Calendar", "rounds"), Machines: c.Machines, Linked: f.Preferences[book.Key(calendarSecret)] != "", Address: address}
	v.Spans = []link{{"a week", calendarPath, days == 7}, {"four weeks", calendarPath + "?span=month", days != 7}}
	v.Lead = longDay(c.From) + " to " + longDay(c.From.AddDate(0, 0, days-1))
	for d := range days {
		day := c.From.AddDate(0, 0, d)
		v.Dates = append(v.Dates, calendarDay{Name: longDay(day)})
		for _, e := range c.Entries {
			if e.Day.Equal(day) {
				v.Dates[d].Entries = append(v.Dates[d].Entries, calendarEntry{e.Title, tankBeside(e), e.Why, s.calendarHref(e.Do)})
			}
		}
	}
	return calendarScreen.show(s, w, http.StatusOK, v)
}

// tankBeside is the tank where the title does not name it.
func tankBeside(e calendar.Entry) string {
	if strings.Contains(e.Title, e.Tank) {
		return ""
	}
	return e.Tank
}

// calendarHref is where an entry is done.
func (s *Server) calendarHref(a rounds.Action) string {
	switch a.Do {
	case "upkeep":
		return upkeepPath
	case "away":
		return awayPath
	case "animal":
		return animalsPath
	case "test", "read":
		if a.Tank != "" {
			return readPath(a.Tank)
		}
	case "trial":
		return trialsPath
	case "stock":
		return shelfPath
	}
	if a.Tank == "" {
		return "/"
	}
	return writePath(a.Tank)
}

// calendarLink makes a new secret address; the one before stops.
func (s *Server) calendarLink(w http.ResponseWriter, r *http.Request) error {
	if _, err := posted(r); err != nil {
		return err
	}
	secret, hash, err := gate.NewSecret(s.Random)
	if err != nil {
		return err
	}
	if err := s.keepOrRefuse(r, s.preference(calendarSecret, hash)); err != nil {
		return err
	}
	return s.showCalendar(w, r, s.origin(r)+feedPrefix+secret+"/driftline.ics")
}

// origin is how the visitor reached the book.
func (s *Server) origin(r *http.Request) string {
	scheme := "http"
	if r.TLS != nil || s.Secure {
		scheme = "https"
	}
	return scheme + "://" + r.Host
}

// feed answers calendar programs that know the secret; everyone else learns nothing.
func (s *Server) feed(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	if err := s.knock(w, r, gate.Opens(r.PathValue("secret"), f.Preferences[book.Key(calendarSecret)])); err != nil {
		return err
	}
	c, err := calendar.Make(s.Desk, f, f.AsOf, streamDays)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := c.Write(&out, s.Now()); err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "text/calendar; charset=utf-8")
	h.Set("Content-Disposition", `inline; filename="driftline.ics"`)
	h.Set("Cache-Control", "private, max-age=900")
	_, _ = out.WriteTo(w) // the program may have gone
	return nil
}

// knock lets a visitor with the right secret past. Wrong ones make their address
// wait, as wrong passphrases do.
func (s *Server) knock(w http.ResponseWriter, r *http.Request, right bool) error {
	if left := s.knocks.Left(r.RemoteAddr); left > 0 {
		w.Header().Set("Retry-After", fmt.Sprintf("%.0f", left.Seconds()+1))
		return &refusal{http.StatusTooManyRequests, "Too many wrong addresses from there. Try again later."}
	}
	if !right {
		s.knocks.Wrong(r.RemoteAddr)
		return missing("There is no such page, or its time is over.")
	}
	return nil
}

// secretAddress says whether a path is guarded by its own secret instead of the
// passphrase.
func secretAddress(path string) bool {
	return strings.HasPrefix(path, feedPrefix) || strings.HasPrefix(path, mindPrefix)
}
