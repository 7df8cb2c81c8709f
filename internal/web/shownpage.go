package web

import (
	"net/http"
	"strconv"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
)

// shownView is how the keeper wants things told: units and tolerance.
type shownView struct {
	frame
	Form *form
}

var shownScreen = screen[shownView]{"shown.html"}

// asIs stands for no preference: the unit of the band, else of the readings.
const asIs = "as measured"

func (s *Server) shown(w http.ResponseWriter, r *http.Request) error {
	return s.showShown(w, r, http.StatusOK, s.shownForm(s.facts()))
}

func (s *Server) showShown(w http.ResponseWriter, r *http.Request, status int, fm *form) error {
	return shownScreen.show(s, w, status, shownView{frame: s.frame(r, "What is shown", "settings"), Form: fm})
}

func (s *Server) shownForm(f *book.Facts) *form {
	fm := &form{Action: "/settings/shown", Submit: "Keep"}
	fm.Fields = append(fm.Fields, field{Name: "tolerance", Label: "Chance of an unseen excursion you accept", Input: "figure",
		Value: tolerancePercent(f), Hint: "In percent, 0.5 to 50. Smaller asks for more tests. The next test is the latest day that keeps to it."})
	for _, q := range quantityNames() {
		all := quantityUnits(q)
		if len(all) < 2 {
			continue
		}
		x := field{Name: unitPreference(q), Label: prose.Capital(q) + " in", Input: "choice", Options: options(append([]string{asIs}, all...)...)}
		x.choose(asIs)
		if u := shownUnit(f, q); u != "" {
			x.choose(u)
		}
		fm.Fields = append(fm.Fields, x)
	}
	return fm
}

func tolerancePercent(f *book.Facts) string {
	return strconv.FormatFloat(standing.Tolerance(f)*100, 'f', -1, 64)
}

func toleranceWords(f *book.Facts) string {
	return tolerancePercent(f) + " %"
}

// shownSave writes a preference line for everything changed.
func (s *Server) shownSave(w http.ResponseWriter, r *http.Request) error {
	values, err := posted(r)
	if err != nil {
		return err
	}
	f := s.facts()
	fm := s.shownForm(f)
	before := map[string]string{}
	for _, x := range fm.Fields {
		before[x.Name] = x.Value
	}
	fill(fm.Fields, values)
	var lines []book.Line
	for _, x := range fm.Fields {
		v, sent := values[x.Name]
		if v = strings.TrimSpace(v); !sent || v == before[x.Name] {
			continue
		}
		if x.Name == "tolerance" {
			if v, err = percent(v); err != nil {
				fm.wrong(x.Name, err.Error())
				continue
			}
		}
		lines = append(lines, s.preference(x.Name, v))
	}
	ok := !fm.Wrong()
	if ok && len(lines) > 0 {
		if ok, err = s.keep(r, fm, lines...); err != nil {
			return err
		}
	}
	if !ok {
		return s.showShown(w, r, http.StatusUnprocessableEntity, fm)
	}
	ids := make([]string, len(lines))
	for i := range lines {
		ids[i] = lines[i].ID
	}
	return back(w, r, "/settings/shown", ids...)
}

// percent reads the tolerance and refuses what would ask for tests every hour or never.
func percent(text string) (string, error) {
	n, err := figure(strings.TrimSuffix(strings.TrimSpace(text), "%"))
	if err != nil {
		return "", err
	}
	v, err := strconv.ParseFloat(n, 64)
	if err != nil || v < 0.5 || v > 50 {
		return "", &refusal{sentence: shorten(text) + " is not possible here; expected 0.5 to 50 percent"}
	}
	return n + " %", nil
}

func (s *Server) preference(name, value string) book.Line {
	return book.Line{ID: book.NewID(s.Now()), Kind: book.KindPreference, At: s.Now().Truncate(time.Second),
		Body: &book.Preference{Name: name, Value: value}}
}
