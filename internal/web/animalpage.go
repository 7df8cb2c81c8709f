package web

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"driftline/internal/animals"
	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/seawater"
	"driftline/units"
)

// animalView is the life of one animal, pair, school or colony.
type animalView struct {
	frame
	Name     string
	TankName string
	TankHref string
	About    string
	Line     string
	Counts   []datedWords
	Life     []datedWords
	Looks    []animalLook
	Parent   *link
	Young    []link
	Pictures []link
	Do       []link
}

type datedWords struct{ On, Words, Href string }

type animalLook struct{ On, Feeding, Breathing, Skin, Aggression, Open string }

var animalScreen = screen[animalView]{"animal.html"}

func animalPath(name string) string { return animalsPath + "/" + pathEscape(name) }

func (s *Server) animal(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	all := animals.Register(f, f.AsOf)
	i := slices.IndexFunc(all, func(a *animals.Animal) bool { return same(a.Name, r.PathValue("name")) })
	if i < 0 {
		return missing("No animal called " + shorten(r.PathValue("name")) + " is in this book.")
	}
	a := all[i]
	zone := zoneOf(f, a.Tank)
	row := animalRowOf(a)
	v := animalView{frame: s.frame(r, prose.Capital(a.Name), "rounds"), Name: a.Name, TankName: a.Tank, TankHref: tankPath(a.Tank), About: row.About, Line: row.Line, Do: row.Do}
	for _, n := range a.Counts {
		v.Counts = append(v.Counts, datedWords{On: longDay(n.At.In(zone)), Words: units.FormatAmount(n.N)})
	}
	v.Life = lifeOf(a, zone)
	for k := len(a.Looks) - 1; k >= 0 && len(v.Looks) < 30; k-- {
		l := a.Looks[k]
		v.Looks = append(v.Looks, animalLook{longDay(l.At.In(zone)), scoreWord(l.Feeding), scoreWord(l.Breathing), scoreWord(l.Skin), scoreWord(l.Aggression), scoreWord(l.Open)})
	}
	for _, o := range all {
		if same(o.Name, a.Parent) {
			v.Parent = &link{Name: o.Name, Href: animalPath(o.Name)}
		}
		if same(o.Parent, a.Name) {
			v.Young = append(v.Young, link{Name: o.Name, Href: animalPath(o.Name)})
		}
	}
	v.Pictures = picturesOf(f, a.Name, zone)
	return animalScreen.show(s, w, http.StatusOK, v)
}

func scoreWord(v float64) string {
	if v < 0 {
		return ""
	}
	return units.FormatAmount(v)
}

// lifeOf is what happened, oldest first.
func lifeOf(a *animals.Animal, zone *time.Location) []datedWords {
	type event struct {
		at    time.Time
		words string
		href  string
	}
	all := []event{{a.Since, "written down in " + a.Tank, linePath(a.Line)}}
	if a.Origin != "" {
		all[0].words = "from " + a.Origin
	}
	for _, p := range a.Stages {
		all = append(all, event{p.At, p.Stage + ", " + p.Tank, ""})
	}
	for _, at := range a.Outbreaks {
		all = append(all, event{at, "an outbreak", ""})
	}
	for _, t := range a.Treatments {
		all = append(all, event{t.At, t.What + ", ordered by " + t.OrderedBy, ""})
	}
	for _, l := range a.Losses {
		all = append(all, event{l.At, strings.TrimSuffix(join(units.FormatAmount(l.N), l.What+":", l.Cause), ":"), linePath(l.Line)})
	}
	slices.SortStableFunc(all, func(x, y event) int { return x.at.Compare(y.at) })
	var out []datedWords
	for _, e := range all {
		out = append(out, datedWords{longDay(e.at.In(zone)), e.words, e.href})
	}
	return out
}

// picturesOf are the pictures whose viewpoint is the animal's name, newest first.
func picturesOf(f *book.Facts, name string, zone *time.Location) []link {
	type shot struct {
		at   time.Time
		file string
	}
	var all []shot
	for i := range f.Tanks {
		for k := range f.Tanks[i].Events {
			l := &f.Tanks[i].Events[k]
			if b, ok := l.Body.(*book.Photo); ok && same(b.Viewpoint, name) {
				all = append(all, shot{l.At, b.File})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b shot) int { return b.at.Compare(a.at) })
	var out []link
	for _, x := range all[:min(len(all), 12)] {
		out = append(out, link{Name: longDay(x.at.In(zone)), Href: "/photo/" + x.file})
	}
	return out
}

// plannedRow is one that is to come, and when.
type plannedRow struct {
	Name, Tank, Href string
	When, Adds       string
	Notes            []string
	Comes            string // the form that says it came
}

// stocking plans what is to come.
func (s *Server) stocking(f *book.Facts, all []*animals.Animal) []plannedRow {
	var out []plannedRow
	for _, p := range animals.Planned(s.Desk, f, all, f.AsOf) {
		zone := zoneOf(f, p.Tank)
		row := plannedRow{Name: p.Name, Tank: p.Tank, Href: animalPath(p.Name), Notes: p.Notes, Comes: animalWrite(p.Tank, p.Name, "stage") + "&stage=quarantine",
			When: fmt.Sprintf("Into quarantine from %s, among the others from %s, free from %s, at the earliest.", longDay(p.Comes.In(zone)), longDay(p.Meets.In(zone)), longDay(p.Enters.In(zone)))}
		if p.Adds != nil {
			c, psu := s.tankWater(f, p.Tank)
			t, _ := f.Tank(p.Tank)
			row.Adds = p.Adds.Says(standing.Litres(&t.Tank), saturated(c, psu))
		}
		out = append(out, row)
	}
	return out
}

// saturated is the oxygen that water at rest with the air holds, mg/L; 0 when its
// temperature or salinity is not known.
func saturated(tempC, psu float64) float64 {
	v, err := seawater.OxygenSolubilityMgPerL(psu, tempC)
	if err != nil {
		return 0
	}
	return v
}

// ruleSave keeps a rule of the keeper's own, or takes one back.
func (s *Server) ruleSave(w http.ResponseWriter, r *http.Request) error {
	values, err := posted(r)
	if err != nil {
		return err
	}
	about, says := strings.TrimSpace(values["about"]), strings.TrimSpace(values["says"])
	if about == "" || says == "" {
		return &refusal{http.StatusUnprocessableEntity, "A rule needs what it is about and what it says. Nothing was stored."}
	}
	l := s.preference(animals.OwnRule+about, says)
	if err := s.keepOrRefuse(r, l); err != nil {
		return err
	}
	return back(w, r, animalsPath+"#company", l.ID)
}
