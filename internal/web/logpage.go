package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
)

// logView is the log with its search.
type logView struct {
	frame
	Text, Tank, Kind string
	From, To         string
	Kinds, TankNames []option
	Days             []logDay
	Count            string
	Newer, Older     string
	Problem          string
}

// logDay is the lines of one day.
type logDay struct {
	Name string
	Rows []logRow
}

// logRow is a line as the log shows it.
type logRow struct {
	Clock, Tank, Kind, Words, Note, By, Fate, Href string
}

var logScreen = screen[logView]{"log.html"}

const logPage = 60

// logQuery is what is searched for.
type logQuery struct {
	text, tank, kind string
	from, to         time.Time // zero: no limit
}

func (s *Server) log(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	q := r.URL.Query()
	v := logView{frame: s.frame(r, "Log", "log"), Text: q.Get("text"), Tank: q.Get("tank"), Kind: q.Get("kind"),
		From: q.Get("from"), To: q.Get("to")}
	zone := zoneOf(f, v.Tank)
	want := logQuery{text: strings.ToLower(strings.TrimSpace(v.Text)), tank: book.Key(v.Tank), kind: v.Kind}
	want.from, want.to, v.Problem = spanOf(v.From, v.To, zone)
	t := s.thread()
	page, _ := strconv.Atoi(q.Get("page"))
	page = min(max(page, 0), len(t.lines)/logPage)
	found, n := t.search(want, page*logPage, logPage)
	v.Days = logDays(t, f, found)
	v.Count = countWords(n, page)
	v.Newer, v.Older = turn(r.URL, page-1, n), turn(r.URL, page+1, n)
	v.choices(f)
	return logScreen.show(s, w, http.StatusOK, v)
}

func (v *logView) choices(f *book.Facts) {
	v.Kinds = []option{{"", "any kind", v.Kind == ""}}
	for _, k := range book.Kinds() {
		v.Kinds = append(v.Kinds, option{string(k), string(k), v.Kind == string(k)})
	}
	v.TankNames = []option{{"", "any tank", v.Tank == ""}}
	for i := range f.Tanks {
		n := f.Tanks[i].Tank.Name
		v.TankNames = append(v.TankNames, option{n, n, same(v.Tank, n)})
	}
}

// spanOf reads two days; the second is meant to its end.
func spanOf(from, to string, zone *time.Location) (a, b time.Time, problem string) {
	if from != "" {
		t, err := momentOf(from, "00:00", zone)
		if err != nil {
			return a, b, prose.Capital(err.Error())
		}
		a = t
	}
	if to != "" {
		t, err := momentOf(to, "00:00", zone)
		if err != nil {
			return a, b, prose.Capital(err.Error())
		}
		b = t.AddDate(0, 0, 1)
	}
	if !a.IsZero() && !b.IsZero() && !a.Before(b) {
		return a, b, "The first day is after the last."
	}
	return a, b, ""
}

// search lists the lines asked for, newest first: so many after skipping some,
// and how many there are in all.
func (t *threads) search(q logQuery, skip, most int) (found []book.Line, n int) {
	for i := len(t.lines) - 1; i >= 0; i-- {
		if !q.matches(&t.lines[i]) {
			continue
		}
		if n >= skip && len(found) < most {
			found = append(found, t.lines[i])
		}
		n++
	}
	return found, n
}

func (q logQuery) matches(l *book.Line) bool {
	switch {
	case q.kind != "" && string(l.Kind) != q.kind,
		q.tank != "" && book.Key(l.Tank) != q.tank && !declares(*l, q.tank),
		!q.from.IsZero() && l.At.Before(q.from),
		!q.to.IsZero() && !l.At.Before(q.to):
		return false
	case q.text == "":
		return true
	}
	text := strings.ToLower(describe(*l) + " " + l.Note + " " + l.By + " " + l.Tank + " " + string(l.Kind))
	for _, word := range strings.Fields(q.text) {
		if !strings.Contains(text, word) {
			return false
		}
	}
	return true
}

func declares(l book.Line, tank string) bool {
	t, ok := l.Body.(*book.Tank)
	return ok && book.Key(t.Name) == tank
}

func logDays(t *threads, f *book.Facts, lines []book.Line) []logDay {
	var days []logDay
	for _, l := range lines {
		at := l.At.In(zoneOf(f, l.Tank))
		name := at.Format("Monday 2 January 2006")
		if len(days) == 0 || days[len(days)-1].Name != name {
			days = append(days, logDay{Name: name})
		}
		d := &days[len(days)-1]
		d.Rows = append(d.Rows, rowOfLine(t, l, at))
	}
	return days
}

func rowOfLine(t *threads, l book.Line, at time.Time) logRow {
	return logRow{Clock: at.Format("15:04"), Tank: l.Tank, Kind: string(l.Kind), Words: describe(l), Note: l.Note, By: l.By,
		Fate: t.fate(l.ID), Href: linePath(l.ID)}
}

func countWords(n, page int) string {
	switch {
	case n == 0:
		return "No line says that."
	case n == 1:
		return "1 line."
	case page*logPage >= n:
		return "The log has no such page."
	case n <= logPage:
		return fmt.Sprintf("%d lines, newest first.", n)
	}
	return fmt.Sprintf("Lines %s to %s of %s, newest first.", thousands(page*logPage+1), thousands(min((page+1)*logPage, n)), thousands(n))
}

// turn is the address of another page of the same search, empty past the ends.
func turn(u *url.URL, page, n int) string {
	if page < 0 || page*logPage >= n {
		return ""
	}
	q := u.Query()
	q.Del("kept")
	q.Set("page", strconv.Itoa(page))
	return "/log?" + q.Encode()
}
