package web

import (
	"fmt"
	"net/http"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/rounds"
)

// roundsView is the first page: what deserves attention today over all tanks.
type roundsView struct {
	frame
	Lead      string
	Rows      []roundRow
	More      []roundRow // the lighter ones of a long list, folded away
	MoreWords string
	Quiet     string
	Next      []nextRow
	Later     []nextRow // folded away
	Briefs    []tankSummary
}

// roundRow is one thing to attend to, done in one tap.
type roundRow struct {
	Shape, Kind string
	Title, Why  string
	Href        string // where the matter is looked at
	Do          string // the words of the one tap
	DoHref      string // a page to fill in, or
	Post        *tap   // a form complete as it stands
	Cautions    []string
	Also        []link // where else the matter can be taken up
}

// tap is a form of hidden fields: one tap writes the line.
type tap struct {
	Action string
	ID     string
	Fields []link // name and value
	Change string // the same, to be changed first
}

// nextRow is what falls due later.
type nextRow struct{ Day, Title, Why, Href string }

// tankSummary is a tank's quantities in short.
type tankSummary struct {
	Name, Href, Read, Write, About, Word string
	Rows                                 []quantityRow
}

var roundsScreen = screen[roundsView]{"rounds.html"}

func (s *Server) rounds(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	if len(f.Tanks) == 0 {
		http.Redirect(w, r, "/begin", http.StatusSeeOther)
		return nil
	}
	sheet, err := rounds.Make(s.Desk, f, f.AsOf)
	if err != nil {
		return err
	}
	now := s.Now()
	v := roundsView{frame: s.frame(r, "Rounds", "rounds"), Quiet: sheet.Quiet}
	if len(sheet.Rows) > 0 || sheet.Quiet == "" {
		v.Lead = leadWords(len(sheet.Rows))
	}
	for _, row := range sheet.Rows {
		v.Rows = append(v.Rows, s.roundRow(f, row))
	}
	for _, row := range sheet.Next {
		n := nextRow{Title: row.Title, Why: row.Why, Href: matterPath(row)}
		if row.On != nil {
			n.Day = dayWord(*row.On, now.In(zoneOf(f, row.Tank)))
		}
		v.Next = append(v.Next, n)
	}
	v.fold()
	if v.Briefs, err = s.summaries(f, now); err != nil {
		return err
	}
	return roundsScreen.show(s, w, http.StatusOK, v)
}

// A list longer than tooLong shows its first inSight rows; the rest unfolds.
const (
	tooLong     = 10
	inSight     = 7
	nextInSight = 6
)

func (v *roundsView) fold() {
	if n := len(v.Rows); n > tooLong {
		v.Rows, v.More = v.Rows[:inSight:inSight], v.Rows[inSight:]
		v.MoreWords = prose.Capital(count(n-inSight)) + " lighter things"
	}
	if n := len(v.Next); n > nextInSight+1 {
		v.Next, v.Later = v.Next[:nextInSight:nextInSight], v.Next[nextInSight:]
	}
}

func leadWords(n int) string {
	switch n {
	case 0:
		return "Nothing needs doing now."
	case 1:
		return "One thing deserves attention."
	}
	return fmt.Sprintf("%s things deserve attention, the weightiest first.", prose.Capital(count(n)))
}

// count writes small numbers as words.
func count(n int) string {
	small := []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if n >= 0 && n < len(small) {
		return small[n]
	}
	return fmt.Sprint(n)
}

func (s *Server) summaries(f *book.Facts, now time.Time) ([]tankSummary, error) {
	var all []tankSummary
	for i := range f.Tanks {
		t := &f.Tanks[i]
		rows, err := s.quantityRows(f, t, now.In(t.Location))
		if err != nil {
			return nil, err
		}
		sum := tankSummary{Name: t.Tank.Name, Href: tankPath(t.Tank.Name), Read: readPath(t.Tank.Name), Write: writePath(t.Tank.Name),
			About: aboutTank(&t.Tank)}
		for _, row := range rows {
			if row.Level != "" {
				sum.Rows = append(sum.Rows, row)
			}
		}
		sum.Word = summaryWord(sum.Rows)
		all = append(all, sum)
	}
	return all, nil
}

// summaryWord says in a line how a tank stands.
func summaryWord(rows []quantityRow) string {
	if len(rows) == 0 {
		return "No readings yet."
	}
	by := map[string][]string{}
	for _, r := range rows {
		by[r.State] = append(by[r.State], r.Name)
	}
	if len(by["outside"])+len(by["near the edge"])+len(by["drifting"]) == 0 {
		if len(by["unknown"]) == len(rows) {
			return "Too little is known yet."
		}
		if len(by["unknown"]) > 0 {
			return "What is known of it is steady."
		}
		return "All steady."
	}
	var s string
	for _, state := range []string{"outside", "near the edge", "drifting"} {
		if names := by[state]; len(names) > 0 {
			s = join(s, prose.Capital(list(names))+" "+state+".")
		}
	}
	return s
}

func list(names []string) string {
	switch len(names) {
	case 0:
		return ""
	case 1:
		return names[0]
	}
	s := names[0]
	for _, n := range names[1 : len(names)-1] {
		s += ", " + n
	}
	return s + " and " + names[len(names)-1]
}

// shapes of the rows, by why they are on the rounds.
var roundShapes = map[rounds.Kind]string{rounds.Outside: "outside", rounds.Leaving: "edge", rounds.Misread: "misread",
	rounds.TestDue: "test", rounds.RoutineDue: "deed", rounds.RoutineMissed: "deed", rounds.Lapse: "unknown",
	rounds.StepDue: "deed", rounds.CourseDue: "deed", rounds.PlanStopped: "misread", rounds.CourseStopped: "outside", rounds.DoseHeld: "outside",
	rounds.RunsOut: "edge", rounds.HabitFound: "unknown", rounds.CountAgain: "misread",
	rounds.TrialStopped: "outside", rounds.TrialTurn: "deed", rounds.TrialLook: "test", rounds.TrialOver: "steady",
	rounds.AnimalLook: "test", rounds.AnimalReady: "steady", rounds.AnimalLate: "edge", rounds.UpkeepDue: "deed"}

func (s *Server) roundRow(f *book.Facts, row rounds.Row) roundRow {
	v := roundRow{Shape: roundShapes[row.Kind], Kind: string(row.Kind), Title: row.Title, Why: row.Why, Href: matterPath(row),
		Cautions: row.Cautions}
	if v.Shape == "" {
		v.Shape = "unknown"
	}
	v.Also = alsoLinks(row.Also)
	a := row.Action
	switch a.Do {
	case "read":
		v.Do, v.DoHref = "Enter the reading", readPath(a.Tank)+"?quantity="+urlQuery(a.Quantity)
	case "dose", "water change", "feeding", "chore":
		s.deedTap(&v, a)
	case "course":
		v.Do, v.DoHref = "End it, or go on", courseLinePath(a.Tank, a.Plan)
		if row.Kind == rounds.DoseHeld {
			v.Do = "End it"
		}
	case "correct":
		v.Do, v.DoHref = "End it", correctPath(a.Tank, a.Quantity)
	case "routine":
		v.Do = "Declare it"
		v.DoHref = "/settings/declare/routine?" + encode([]link{{Name: "tank", Href: a.Tank}, {Name: "action", Href: "dose"}, {Name: "name", Href: a.Substance}, {Name: "substance", Href: a.Substance},
			{Name: "amount", Href: a.Amount}, {Name: "unit", Href: a.Unit}, {Name: "every_days", Href: a.EveryDays}})
	case "upkeep":
		v.Do, v.DoHref = "See them", upkeepPath
	case "animal":
		v.Do, v.DoHref = "Write down what you see", animalWrite(a.Tank, a.Animal, "observed")
	case "trial":
		v.Do, v.DoHref = "Look", trialPath(a.Plan)
	case "score":
		v.Do, v.DoHref = "Score it", scorePath(a.Tank, a.Sign)
	case "stock":
		v.Do = "Count it"
		v.DoHref = shelfPath + "?" + encode([]link{{Name: "substance", Href: a.Substance}}) + "#count"
	default:
		v.Do, v.DoHref = "Look", v.Href
	}
	return v
}

// alsoLinks lead to where else a matter can be taken up.
func alsoLinks(all []rounds.Action) []link {
	var out []link
	for _, a := range all {
		switch a.Do {
		case "correct":
			out = append(out, link{Name: "Work out a correction", Href: correctPath(a.Tank, a.Quantity)})
		case "work anew":
			out = append(out, link{Name: "Work the rest out again", Href: correctPath(a.Tank, a.Quantity) + "?anew=true"})
		case "mix":
			out = append(out, link{Name: "The make-up water has too little", Href: "/mix?" + encode([]link{{Name: "tank", Href: a.Tank}, {Name: "mix", Href: a.Mix}})})
		}
	}
	return out
}

// deedTap makes the one tap of a deed: at once when all of it is known.
func (s *Server) deedTap(v *roundRow, a rounds.Action) {
	fields := []link{}
	add := func(name, value string) {
		if value != "" {
			fields = append(fields, link{Name: name, Href: value})
		}
	}
	figure, whole := "amount", true
	switch a.Do {
	case "dose":
		add("substance", a.Substance)
		whole = a.Substance != "" && a.Amount != ""
	case "water change":
		figure = "volume"
		add("mix", a.Mix)
		whole = a.Mix != "" && a.Amount != ""
	case "feeding":
		add("food", a.Food)
		whole = a.Food != ""
	case "chore":
		add("name", a.Chore)
		whole = a.Chore != ""
	}
	add(figure, a.Amount)
	add("unit", a.Unit)
	add("plan", a.Plan)
	action := writePath(a.Tank) + "/" + pathEscape(a.Do)
	change := action + "?" + encode(fields)
	if !whole {
		v.Do, v.DoHref = "Write it down", change
		return
	}
	v.Do = "Done"
	v.Post = &tap{Action: action, ID: book.NewID(s.Now()), Fields: fields, Change: change}
}

// matterPath is where the matter of a row is looked at.
func matterPath(row rounds.Row) string {
	switch {
	case row.Kind == rounds.RunsOut || row.Kind == rounds.CountAgain:
		return shelfPath
	case row.Kind == rounds.DoseHeld && row.Action.Do == "course":
		return courseLinePath(row.Tank, row.Lines[0])
	case row.Kind == rounds.CourseDue || row.Kind == rounds.CourseStopped:
		return courseLinePath(row.Tank, row.Lines[0])
	case row.Kind == rounds.TrialStopped || row.Kind == rounds.TrialTurn || row.Kind == rounds.TrialLook || row.Kind == rounds.TrialOver:
		return trialPath(row.Lines[0])
	case row.Action.Do == "upkeep":
		return upkeepPath
	case row.Action.Do == "animal":
		return animalsPath
	case row.Kind == rounds.StepDue || row.Kind == rounds.PlanStopped || row.Kind == rounds.DoseHeld:
		return correctPath(row.Tank, row.Quantity)
	case row.Quantity != "":
		return quantityPath(row.Tank, row.Quantity)
	case row.Tank != "":
		return tankPath(row.Tank)
	}
	return "/log"
}
