package web

import (
	"fmt"
	"html/template"
	"net/http"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/chart"
	"driftline/internal/correction"
	"driftline/internal/course"
	"driftline/internal/makeup"
	"driftline/internal/supply"
)

// shelfView is what is in stock, what uses it and when it runs out, with the form
// that writes down a count or a purchase.
type shelfView struct {
	frame
	Lead    string
	Rows    []shelfRow
	Missing []shelfRow
	Costs   []string
	Until   string
	Problem string
	Form    *form
}

// shelfRow is one thing on the shelf.
type shelfRow struct {
	Name, State, Shape string
	Picture            template.HTML
	Level, Says        string
	Cost               string
	Users              []link
	Notes              []string
	Count              string // the form, begun with it
	Line               string // its newest stock line
}

var shelfScreen = screen[shelfView]{"shelf.html"}

const shelfPath = "/shelf"

// shapes of the rows, by how a thing stands.
var shelfShapes = map[supply.State]string{supply.CountAgain: "misread", supply.Empty: "outside", supply.Low: "edge", supply.Lasting: "steady",
	supply.Unused: "unknown"}

func (s *Server) shelf(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	values := asked(r)
	fm := s.shelfForm(f, values)
	fm.ID = book.NewID(s.Now())
	return s.showShelf(w, r, http.StatusOK, f, fm)
}

func (s *Server) shelfForm(f *book.Facts, values map[string]string) *form {
	sh := sheets[book.KindStock]
	fm := &form{Action: shelfPath + "#count", Submit: sh.save, Fields: sh.fields(sheetContext{facts: f, now: s.Now().In(zoneOf(f, "")), values: values})}
	fill(fm.Fields, values)
	return fm
}

func (s *Server) showShelf(w http.ResponseWriter, r *http.Request, status int, f *book.Facts, fm *form) error {
	v := shelfView{frame: s.frame(r, "The shelf", "rounds"), Until: r.URL.Query().Get("until"), Form: fm}
	zone := zoneOf(f, "")
	var until time.Time
	if v.Until != "" {
		t, err := momentOf(v.Until, "12:00", zone)
		if err != nil {
			v.Problem = sentence(err.Error())
		}
		until = t
	}
	shelf, err := supply.Of(f, f.AsOf, until)
	if err != nil {
		v.Problem = sentence(err.Error())
		if shelf, err = supply.Of(f, f.AsOf, time.Time{}); err != nil {
			return err
		}
	}
	v.Lead = shelf.Says
	for _, it := range shelf.Items {
		row := shelfRowOf(it, zone)
		row.Picture = chart.Small(chart.FromShelf(it, f.AsOf, zone))
		v.Rows = append(v.Rows, row)
	}
	for _, it := range shelf.Missing {
		v.Missing = append(v.Missing, shelfRowOf(it, zone))
	}
	for _, c := range shelf.Costs {
		v.Costs = append(v.Costs, money(c.AMonth, c.Currency))
	}
	return shelfScreen.show(s, w, status, v)
}

func money(v float64, currency string) string {
	return strings.TrimSpace(fmt.Sprintf("%.2f %s", v, currency))
}

func shelfRowOf(it supply.Item, zone *time.Location) shelfRow {
	unit, _ := it.Scale()
	level, says := it.LeftWords(), it.Says
	if rest, ok := strings.CutPrefix(says, level); ok {
		says = rest
	} else {
		level = ""
	}
	row := shelfRow{Name: it.Name, State: string(it.State), Shape: shelfShapes[it.State], Level: level, Says: says, Notes: it.Notes,
		Count: shelfPath + "?" + encode([]link{{Name: "substance", Href: it.Name}, {Name: "unit", Href: unit}}) + "#count"}
	if n := len(it.Lines); n > 0 {
		row.Line = linePath(it.Lines[n-1])
	}
	if it.AMonth > 0 {
		row.Cost = money(it.AMonth, it.Price.Currency) + " a month at the price of " + it.Price.On.In(zone).Format("January 2006")
	}
	for _, u := range it.Users {
		l := link{Name: u.Says}
		switch {
		case u.What == "correction":
			l.Href = correctPath(u.Tank, u.Quantity)
		case u.Line != "" && u.What == "course":
			l.Href = linePath(u.Line)
		case u.Tank != "":
			l.Href = tankPath(u.Tank)
		}
		row.Users = append(row.Users, l)
	}
	return row
}

// shelfSave writes down a count or a purchase.
func (s *Server) shelfSave(w http.ResponseWriter, r *http.Request) error {
	values, err := posted(r)
	if err != nil {
		return err
	}
	if values["id"] != "" && s.known(values["id"]) {
		return back(w, r, shelfPath, values["id"])
	}
	f := s.facts()
	fm := s.shelfForm(f, values)
	fm.ID = values["id"]
	l, ok := tell(fm, book.KindStock, "", values, zoneOf(f, ""))
	if ok {
		if l.ID == "" {
			l.ID = book.NewID(s.Now())
		}
		ok, err = s.keep(r, fm, l)
	}
	if err != nil {
		return err
	}
	if !ok {
		return s.showShelf(w, r, http.StatusUnprocessableEntity, f, fm)
	}
	return back(w, r, shelfPath, l.ID)
}

// Plans held against the shelf, a sentence each; empty where nothing is taken.

func heldAgainstShelf(f *book.Facts, ask func(*supply.Shelf) supply.Answer) string {
	shelf, err := supply.Of(f, f.AsOf, time.Time{})
	if err != nil {
		return ""
	}
	return ask(shelf).Says
}

func correctionOnShelf(f *book.Facts, p correction.Plan) string {
	return heldAgainstShelf(f, func(s *supply.Shelf) supply.Answer { return s.ForCorrection(p) })
}

func courseOnShelf(f *book.Facts, p course.Plan) string {
	return heldAgainstShelf(f, func(s *supply.Shelf) supply.Answer { return s.ForCourse(p) })
}

func batchOnShelf(f *book.Facts, b makeup.Batch, salt string) string {
	return heldAgainstShelf(f, func(s *supply.Shelf) supply.Answer { return s.ForBatch(b, salt) })
}
