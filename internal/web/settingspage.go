package web

import (
	"net/http"

	"driftline/internal/book"
	"driftline/stoichiometry"
)

// settingsView lists everything declared, with the ways to change it.
type settingsView struct {
	frame
	TankRows                            []tankSettings
	Instruments, Substances, Foods, Mix []thing
	BuiltIn                             string
	Tolerance                           string
}

type tankSettings struct {
	Name, About, Edit, Bands, AddRoutine string
	Routines                             []thing
}

// thing is something declared: what it is called, what it is, where it is changed.
type thing struct{ Name, Words, Change, Line string }

var settingsScreen = screen[settingsView]{"settings.html"}

func (s *Server) settings(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	v := settingsView{frame: s.frame(r, "Settings", "settings"), Tolerance: toleranceWords(f)}
	for i := range f.Tanks {
		t := &f.Tanks[i]
		n := t.Tank.Name
		row := tankSettings{Name: n, About: aboutTank(&t.Tank), Bands: bandsPath(n), AddRoutine: declarePath("routine", "tank", n),
			Edit: declarePath("tank", "line", newest(t.Declared))}
		for _, x := range routineRows(t) {
			row.Routines = append(row.Routines, thing{x.Name, x.Words, declarePath("routine", "tank", n, "line", idOf(x.Edit)), x.Edit})
		}
		v.TankRows = append(v.TankRows, row)
	}
	v.Instruments = things(f.Instruments, "instrument", func(i *book.Instrument) (string, string) {
		return i.Name, join(i.Quantity+",", i.Method)
	})
	v.Substances = things(f.Substances, "substance", func(b *book.Substance) (string, string) { return b.Name, join(b.Formula, b.Form) })
	v.Mix = things(f.Mixes, "mix", func(m *book.Mix) (string, string) { return m.Name, amount(m.Volume, m.Unit) })
	v.Foods = things(f.Foods, "food", func(b *book.Food) (string, string) {
		words := ""
		if b.Protein != "" {
			words = string(b.Protein) + " % protein"
		}
		return b.Name, words
	})
	var salts []string
	for _, p := range stoichiometry.Salts() {
		salts = append(salts, p.Name)
	}
	v.BuiltIn = list(salts)
	return settingsScreen.show(s, w, http.StatusOK, v)
}

// things are the newest declarations of each name.
func things[T any](declared []book.Declared[T], kind string, of func(T) (name, words string)) []thing {
	var all []thing
	at := map[string]int{}
	for _, d := range declared {
		n, words := of(d.Body)
		x := thing{n, words, declarePath(kind, "line", d.Line), linePath(d.Line)}
		if i, ok := at[book.Key(n)+"|"+words]; ok {
			all[i] = x
			continue
		}
		at[book.Key(n)+"|"+words] = len(all)
		all = append(all, x)
	}
	return all
}
