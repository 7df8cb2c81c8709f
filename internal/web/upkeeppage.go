package web

import (
	"fmt"
	"net/http"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/upkeep"
	"driftline/units"
)

// upkeepView is what things need next, and the habits that lapsed.
type upkeepView struct {
	frame
	Homes       []upkeepTank
	Instruments []upkeepRow
}

type upkeepTank struct {
	Name, Href string
	Rows       []upkeepRow
	Lapses     []upkeepRow
}

// upkeepRow is one task; done in one tap.
type upkeepRow struct {
	Title, Says, Shape, Caution string
	Post                        *tap
}

var upkeepScreen = screen[upkeepView]{"upkeep.html"}

const upkeepPath = "/upkeep"

func (s *Server) upkeep(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	v := upkeepView{frame: s.frame(r, "Upkeep", "rounds")}
	for i := range f.Tanks {
		t := &f.Tanks[i]
		home := upkeepTank{Name: t.Tank.Name, Href: tankPath(t.Tank.Name)}
		for _, task := range upkeep.Tasks(t, f.AsOf) {
			home.Rows = append(home.Rows, s.upkeepRow(f, task, t.Tank.Name))
		}
		for _, l := range upkeep.Lapses(t, f.AsOf) {
			row := upkeepRow{Title: prose.Capital(l.Chore), Shape: "unknown",
				Says: fmt.Sprintf("Every %s for %d times, last on %s, %.0f days ago. Do it once and it is kept again; nothing of what was missed is asked for.", daysWord(l.Usual), l.Times, longDay(l.Last.In(t.Location)), l.Days)}
			row.Post = s.choreTap(t.Tank.Name, l.Chore)
			home.Lapses = append(home.Lapses, row)
		}
		v.Homes = append(v.Homes, home)
	}
	for _, task := range upkeep.Instruments(f, f.AsOf) {
		if len(f.Tanks) > 0 {
			v.Instruments = append(v.Instruments, s.upkeepRow(f, task, f.Tanks[0].Tank.Name))
		}
	}
	return upkeepScreen.show(s, w, http.StatusOK, v)
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
	row.Says = fmt.Sprintf("Due %s, every %s: %s; %s.", longDay(task.Next.In(zone)), daysWord(task.Every), basis, last)
	return row
}

func daysWord(v float64) string {
	if units.Number(v, 0) == "1" {
		return "day"
	}
	return units.Number(v, 0) + " days"
}
