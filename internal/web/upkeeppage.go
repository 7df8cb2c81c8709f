package web

import (
	"fmt"
	"net/http"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/internal/upkeep"
	"driftline/units"
)

// upkeepView is what things need next, and the habits that lapsed.
type upkeepView struct {
	frame
	Homes       []upkeepTank
	Instruments []upkeepRow
	LaterOn     []upkeepRow // of instruments
	Unsaid      []upkeepRow // of instruments, due by when they were declared alone
	Labels      []string    // dates on labels that are near or over
	Calendar    string
}

type upkeepTank struct {
	Name, Href string
	Rows       []upkeepRow
	Later      []upkeepRow // not due yet
	Lapses     []upkeepRow
	Tests      []lapsedTest
}

// lapsedTest is a test that used to be done.
type lapsedTest struct{ Title, Says, Shape, Href string }

// upkeepRow is one task; done in one tap.
type upkeepRow struct {
	Title, Says, Shape, Caution string
	Post                        *tap
}

var upkeepScreen = screen[upkeepView]{"upkeep.html"}

const upkeepPath = "/upkeep"

func (s *Server) upkeep(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	v := upkeepView{frame: s.frame(r, "Upkeep", "rounds"), Calendar: calendarPath, Labels: labelWords(f)}
	for i := range f.Tanks {
		t := &f.Tanks[i]
		home := upkeepTank{Name: t.Tank.Name, Href: tankPath(t.Tank.Name)}
		for _, task := range upkeep.Tasks(t, f.AsOf) {
			apart(&home.Rows, &home.Later, s.upkeepRow(f, task, t.Tank.Name))
		}
		for _, l := range upkeep.Lapses(t, f.AsOf) {
			row := upkeepRow{Title: prose.Capital(l.Chore), Shape: "unknown",
				Says: fmt.Sprintf("Every %s for %d times, last on %s, %.0f days ago. Do it once and it is kept again; nothing of what was missed is asked for.", daysWord(l.Usual), l.Times, longDay(l.Last.In(t.Location)), l.Days)}
			row.Post = s.choreTap(t.Tank.Name, l.Chore)
			home.Lapses = append(home.Lapses, row)
		}
		home.Tests = s.lapsedTests(f, t)
		v.Homes = append(v.Homes, home)
	}
	for _, task := range upkeep.Instruments(f, f.AsOf) {
		if len(f.Tanks) > 0 {
			due := &v.Instruments
			if task.Last.IsZero() {
				due = &v.Unsaid
			}
			apart(due, &v.LaterOn, s.upkeepRow(f, task, f.Tanks[0].Tank.Name))
		}
	}
	return upkeepScreen.show(s, w, http.StatusOK, v)
}

// apart keeps what is due apart from what is not.
func apart(due, later *[]upkeepRow, row upkeepRow) {
	if row.Shape == "steady" {
		due = later
	}
	*due = append(*due, row)
}

func (s *Server) choreTap(tank, chore string) *tap {
	fields := []link{{Name: "name", Href: chore}, {Name: "to", Href: upkeepPath}}
	action := writePath(tank) + "/chore"
	return &tap{Action: action, ID: book.NewID(s.Now()), Fields: fields, Change: action + "?" + encode(fields)}
}

func (s *Server) upkeepRow(f *book.Facts, task upkeep.Task, tank string) upkeepRow {
	zone := zoneOf(f, tank)
	row := upkeepRow{Title: prose.Capital(task.Thing) + ": " + task.Do, Caution: task.Caution, Shape: "steady", Post: s.choreTap(tank, task.Chore)}
	switch late := task.Late(f.AsOf); {
	case late > 1:
		row.Shape = "edge"
	case late > 0:
		row.Shape = "test"
	}
	basis := fmt.Sprintf("usually every %s to %s (common practice)", units.Number(task.Low, 0), daysWord(task.High))
	if task.Own {
		basis = "your own rhythm; " + basis
	}
	last := "never written down, so counted from when it was declared, " + longDay(task.Since.In(zone))
	if !task.Last.IsZero() {
		last = "last on " + longDay(task.Last.In(zone))
	}
	if task.Found != "" {
		basis = task.Found + "; " + basis
	}
	row.Says = fmt.Sprintf("Due %s, every %s: %s; %s.", longDay(task.Next.In(zone)), daysWord(task.Every), basis, last)
	if task.InParts {
		row.Says += partsWords(task, zone)
	}
	return row
}

// partsWords tells how far the renewal of a medium in parts has come.
func partsWords(task upkeep.Task, zone *time.Location) string {
	if len(task.Parts) == 0 {
		return " Say with each turn how much of it was renewed."
	}
	var all []string
	for _, p := range task.Parts {
		all = append(all, fmt.Sprintf("%s %% on %s", units.Number(100*p.Share, 0), longDay(p.At.In(zone))))
	}
	return fmt.Sprintf(" Renewed in parts: %s; %s %% of it by now.", strings.Join(all, ", "), units.Number(100*task.Renewed(), 0))
}

// lapsedTests are the tests of a tank that used to be done, by what may go wrong unseen.
func (s *Server) lapsedTests(f *book.Facts, t *book.TankFacts) []lapsedTest {
	standings, err := s.Desk.Tank(f, t.Tank.Name, f.AsOf, pictureDays)
	if err != nil {
		return nil
	}
	var out []lapsedTest
	for _, l := range upkeep.TestLapses(t, standings, f.AsOf) {
		x := lapsedTest{Title: prose.Capital(l.Chore), Shape: "unknown", Href: readPath(t.Tank.Name),
			Says: fmt.Sprintf("Every %s until %s, now %.0f days ago. Outside its band now: %s. One test is a fresh start.", daysWord(l.Usual), longDay(l.Last.In(t.Location)), l.Days, standing.ChanceWords(l.Risk))}
		if l.Risk > 0.5 {
			x.Shape = "outside"
		} else if l.Risk > 0.1 {
			x.Shape = "edge"
		}
		out = append(out, x)
	}
	return out
}

// labelWords tell what the labels of kits and jars say.
func labelWords(f *book.Facts) []string {
	var out []string
	for _, e := range upkeep.Expiring(f, f.AsOf) {
		word := "is good until"
		if e.On.Before(f.AsOf) {
			word = "was good until"
		}
		out = append(out, fmt.Sprintf("%s %s %s.", prose.Capital(e.What), word, longDay(e.On)))
	}
	return out
}

func daysWord(v float64) string {
	if units.Number(v, 0) == "1" {
		return "day"
	}
	return units.Number(v, 0) + " days"
}
