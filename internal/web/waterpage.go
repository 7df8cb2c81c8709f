package web

import (
	"net/http"
	"net/url"

	"driftline/internal/book"
	"driftline/internal/waterbench"
)

// waterView is the water bench: what was measured of one water or two, and all
// that follows from it.
type waterView struct {
	frame
	Tank, TankHref string
	Action         string
	Tanks          []link // to begin with their newest readings
	Mixes          []link // to fill the second water with
	Mix            string
	First, Second  benchWater
	Both           bool // the second water is open
	Told           findingsView
}

// findingsView is what follows, the part of the page that is asked for anew
// while figures are typed.
type findingsView struct {
	Problems      []benchProblem
	First, Second *sheetView
	Differences   []waterbench.Difference
	NoDifference  []string // titles of what is the same within its doubt
	Share         string
}

var waterScreen = screen[waterView]{"water.html"}

// partAsked is how the page's script asks for the findings alone.
const partAsked = "findings"

func (s *Server) water(w http.ResponseWriter, r *http.Request) error {
	return s.showWater(w, r, nil)
}

func (s *Server) waterOfTank(w http.ResponseWriter, r *http.Request) error {
	t, err := s.tankOf(r, s.facts())
	if err != nil {
		return err
	}
	return s.showWater(w, r, t)
}

// showWater answers with the page, or with the findings alone.
func (s *Server) showWater(w http.ResponseWriter, r *http.Request, t *book.TankFacts) error {
	f, q := s.facts(), r.URL.Query()
	v := waterView{Action: "/water", Mix: q.Get("mix"), First: newBenchWater("a", "First water"), Second: newBenchWater("b", "New mix")}
	title := "Water bench"
	if t != nil {
		name := t.Tank.Name
		v.Tank, v.TankHref, v.Action, title = name, tankPath(name), waterPath(name), title+", "+name
		v.First.Name = name
		if err := s.fillFromTank(&v.First, f, t); err != nil {
			return err
		}
	}
	v.Mixes = mixLinks(f, v.Action, v.Mix)
	if m, ok := f.MixAt(v.Mix, f.AsOf); ok && v.Mix != "" {
		v.Second.Name = m.Name
		fillFromMix(&v.Second, m)
	}
	for _, x := range []*benchWater{&v.First, &v.Second} {
		if x.typed(q) {
			x.refill(q)
		}
	}
	told, err := findings(&v.First, &v.Second)
	if err != nil {
		return err
	}
	v.Told, v.Both = told, told.Second != nil || v.Mix != "" || len(v.Second.problems()) > 0
	if q.Get("part") == partAsked {
		return waterScreen.part(s, w, "findings", v.Told)
	}
	v.frame = s.frame(r, title, "water")
	for _, x := range v.frame.Tanks {
		v.Tanks = append(v.Tanks, link{x.Name, waterPath(x.Name), x.Name == v.Tank})
	}
	return waterScreen.show(s, w, http.StatusOK, v)
}

// findings is what follows from the two waters as typed.
func findings(first, second *benchWater) (findingsView, error) {
	var v findingsView
	var a, b *waterbench.Sheet
	for _, x := range []struct {
		water *benchWater
		to    **waterbench.Sheet
	}{{first, &a}, {second, &b}} {
		sample := x.water.sample()
		v.Problems = append(v.Problems, x.water.problems()...)
		if len(sample.Entries) == 0 {
			continue
		}
		sheet, err := waterbench.Read(sample)
		if err != nil { // the figures do not go together: a sentence for the keeper
			v.Problems = append(v.Problems, benchProblem{Name: x.water.Name, Words: sentence(err.Error())})
			continue
		}
		*x.to = &sheet
	}
	v.First, v.Second = viewOfSheet(a), viewOfSheet(b)
	if a == nil || b == nil {
		return v, nil
	}
	v.Share = percentWords(waterbench.ChangeShare)
	for _, d := range waterbench.Compare(*a, *b) {
		if d.Real {
			v.Differences = append(v.Differences, d)
		} else {
			v.NoDifference = append(v.NoDifference, d.Title)
		}
	}
	return v, nil
}

func waterPath(tank string) string { return "/water/" + url.PathEscape(tank) }
