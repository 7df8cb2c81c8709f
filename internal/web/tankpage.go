package web

import (
	"html/template"
	"net/http"
	"slices"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/rounds"
	"driftline/internal/standing"
	"driftline/units"
)

// tankView is a tank's water: each quantity one row that reads as a sentence.
type tankView struct {
	frame
	Name, About string
	Read, Write string
	Bands, Edit string
	Rows        []quantityRow
	Quiet       []quantityRow // never tested, or too little to say
	Follows     []followsRow  // worked out from the readings
	Needed      []followsNeed // what could be, with more readings
	PHAndAir    string
	Bench       string
	Recent      []logRow
	Routines    []routineRow
	LogAll      string
	Courses     []courseRow
	Course      string // where one is planned, and the like
	WhatIf      string
	Feeding     string
	NewTrial    string
}

// quantityRow is one quantity as a sentence.
type quantityRow struct {
	Name, Href string
	State      string
	Shape      string
	Picture    template.HTML
	Level      string
	Demand     string
	Leaves     string
	Next       string
	Due        bool
	Why        string
	Read       string
	Last       string
	Also       []link // where what is low can be put right
}

// routineRow is a routine in force.
type routineRow struct{ Name, Words, Edit string }

var tankScreen = screen[tankView]{"tank.html"}

func (s *Server) tank(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, err := s.tankOf(r, f)
	if err != nil {
		return err
	}
	now := s.Now().In(t.Location)
	name := t.Tank.Name
	v := tankView{frame: s.frame(r, name, "rounds"), Name: name, About: aboutTank(&t.Tank), Read: readPath(name), Write: writePath(name),
		Bands: bandsPath(name), Edit: linePath(newest(t.Declared)), LogAll: "/log?tank=" + urlQuery(name)}
	rows, err := s.quantityRows(f, t, now)
	if err != nil {
		return err
	}
	for _, row := range rows {
		if row.State == string(standing.Unknown) {
			v.Quiet = append(v.Quiet, row)
		} else {
			v.Rows = append(v.Rows, row)
		}
	}
	if v.Follows, v.Needed, err = s.followsRows(f, t); err != nil {
		return err
	}
	v.Bench, v.PHAndAir = waterPath(name), phAirPath(name)
	v.Courses, v.Course = openCourses(s.courseRows(f, t)), coursePath(name)
	v.Feeding, v.WhatIf, v.NewTrial = feedingPath(name), whatifPath(name), newTrialPath+"?tank="+urlQuery(name)
	v.Recent = s.recent(t, now)
	v.Routines = routineRows(t)
	return tankScreen.show(s, w, http.StatusOK, v)
}

// openCourses are those that are not over.
func openCourses(all []courseRow) []courseRow {
	return slices.DeleteFunc(all, func(c courseRow) bool { return c.Over })
}

func newest[T any](d []book.Declared[T]) string {
	if len(d) == 0 {
		return ""
	}
	return d[len(d)-1].Line
}

func aboutTank(t *book.Tank) string {
	return join(prose.Capital(t.System)+",", amount(t.NetVolume, t.Unit))
}

// quantityRows are the quantities of a tank, most pressing first.
func (s *Server) quantityRows(f *book.Facts, t *book.TankFacts, now time.Time) ([]quantityRow, error) {
	all, err := s.Desk.Tank(f, t.Tank.Name, f.AsOf, pictureDays)
	if err != nil {
		return nil, err
	}
	rows := make([]quantityRow, 0, len(all))
	for _, q := range all {
		row := rowFor(inShownUnit(f, q), t, now)
		row.Also = alsoLinks(rounds.Remedies(f, t, q))
		rows = append(rows, row)
	}
	slices.SortStableFunc(rows, func(a, b quantityRow) int { return weight(b.State) - weight(a.State) })
	return rows, nil
}

func weight(state string) int {
	return slices.Index([]string{string(standing.Unknown), string(standing.Steady), string(standing.Drifting),
		string(standing.NearEdge), string(standing.Outside)}, state)
}

func rowFor(q standing.Quantity, t *book.TankFacts, now time.Time) quantityRow {
	row := quantityRow{Name: q.Name, Href: quantityPath(t.Tank.Name, q.Name), State: string(q.State), Shape: shapeOf(q.State),
		Picture: smallPicture(q, t.Location), Why: q.Why, Read: readPath(t.Tank.Name) + "?quantity=" + urlQuery(q.Name),
		Last: "last tested " + ago(q.LastTest, now), Next: nextTestWords(q, now)}
	if q.State == standing.Unknown && len(q.Readings) == 0 {
		return row
	}
	row.Level = pm(q, q.Level)
	switch {
	case q.State == standing.Unknown: // what it uses is a guess yet
	case q.Simple:
		row.Demand = simpleWords(q)
	default:
		row.Demand = demandWords(q)
	}
	row.Leaves = leavesWords(q, now)
	row.Due = !q.NextTest.On.IsZero() && daysBetween(now, q.NextTest.On.In(now.Location())) <= 0
	return row
}

// simpleWords tell the swing of a day and the trend, for what has no demand.
func simpleWords(q standing.Quantity) string {
	s := ""
	if q.DailySwing.Mean > 0 {
		s = "swings " + pm(q, q.DailySwing) + " in a day"
	}
	if d := q.Demand; d.SD > 0 && (d.Mean > 2*d.SD || -d.Mean > 2*d.SD) {
		way := "falls "
		if d.Mean < 0 {
			way, d.Mean = "rises ", -d.Mean
		}
		s = join(s, way+units.FormatPM(units.Quantity(q.Name), d.Mean, d.SD, q.Unit)+" a day")
	}
	return s
}

// shapeOf is the name of the sign drawn beside a state's word.
func shapeOf(state standing.State) string {
	switch state {
	case standing.Steady:
		return "steady"
	case standing.Drifting:
		return "drifting"
	case standing.NearEdge:
		return "edge"
	case standing.Outside:
		return "outside"
	}
	return "unknown"
}

// recent are the newest events of the tank.
func (s *Server) recent(t *book.TankFacts, now time.Time) []logRow {
	var rows []logRow
	th := s.thread()
	for i := len(t.Events) - 1; i >= 0 && len(rows) < 8; i-- {
		l := t.Events[i]
		row := rowOfLine(th, l, l.At.In(t.Location))
		row.Clock = moment(l.At, now)
		rows = append(rows, row)
	}
	return rows
}

// routineRows are the routines in force, the newest version of each name.
func routineRows(t *book.TankFacts) []routineRow {
	var rows []routineRow
	seen := map[string]bool{}
	for i := len(t.Routines) - 1; i >= 0; i-- {
		d := t.Routines[i]
		if k := book.Key(d.Body.Name); !seen[k] {
			seen[k] = true
			if d.Body.Until == nil || d.Body.Until.After(d.From) {
				rows = append(rows, routineRow{d.Body.Name, describeRoutine(d.Body), linePath(d.Line)})
			}
		}
	}
	slices.Reverse(rows)
	return rows
}
