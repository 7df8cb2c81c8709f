package web

import (
	"html/template"
	"net/http"
	"net/url"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/chart"
	"driftline/internal/prose"
	"driftline/internal/waterbench"
	"driftline/units"
)

// followsRow is one figure worked out from a tank's readings, as a row.
type followsRow struct {
	Name, Href string
	Picture    template.HTML
	Level      string
	Says       string
}

// followsNeed is a figure that cannot be worked out, and what it would take.
type followsNeed struct{ Name, Needs string }

// followsView is one figure worked out over time, in full.
type followsView struct {
	frame
	Tank, TankHref string
	Name           string
	Level, Says    string
	Needs          string
	Figure         template.HTML
	Limits         string
	Count          int
	Bench          string
	Problem        string
}

var followsScreen = screen[followsView]{"follows.html"}

// followsRows are what follows from the readings of a tank, and what would with more.
func (s *Server) followsRows(f *book.Facts, t *book.TankFacts) ([]followsRow, []followsNeed, error) {
	all, err := s.past.of(f, t, s.pastOf)
	if err != nil {
		return nil, nil, err
	}
	var rows []followsRow
	var needs []followsNeed
	for _, x := range all {
		if len(x.Points) == 0 {
			needs = append(needs, followsNeed{prose.Capital(x.Title), sentence(x.Needs)})
			continue
		}
		p := chart.FromSeries(recentPoints(x, f.AsOf), t.Tank.Name, f.AsOf, t.Location).Joined()
		rows = append(rows, followsRow{Name: x.Title, Href: followsPath(t.Tank.Name, x.Key), Level: newestWords(x), Says: restOf(x),
			Picture: chart.Small(p.Between(p.Past(smallSpan)))})
	}
	return rows, needs, nil
}

// recentPoints leaves out what lies before the picture of a row.
func recentPoints(x waterbench.Series, asOf time.Time) waterbench.Series {
	x.Points = x.Points[since(len(x.Points), func(i int) time.Time { return x.Points[i].At }, asOf.Add(-smallSpan)):]
	return x
}

// plain writes a figure that is of no quantity with its doubt.
func plain(mean, sd float64, unit string) string {
	return strings.TrimSpace(units.FormatPM("", mean, sd, unit))
}

func newestWords(x waterbench.Series) string {
	p := x.Points[len(x.Points)-1]
	return plain(p.Mean, p.SD, x.Unit)
}

// restOf is what the sentence says beside the newest figure it begins with.
func restOf(x waterbench.Series) string {
	if len(x.Points) == 0 {
		return ""
	}
	if rest, ok := strings.CutPrefix(x.Says, newestWords(x)); ok {
		return rest
	}
	return ". " + x.Says
}

func followsPath(tank, key string) string {
	return "/follows/" + url.PathEscape(tank) + "/" + url.PathEscape(key)
}

// seriesOf is the figure the page's address names.
func (s *Server) seriesOf(r *http.Request, f *book.Facts) (*book.TankFacts, waterbench.Series, error) {
	t, err := s.tankOf(r, f)
	if err != nil {
		return nil, waterbench.Series{}, err
	}
	all, err := s.past.of(f, t, s.pastOf)
	if err != nil {
		return nil, waterbench.Series{}, err
	}
	for _, x := range all {
		if same(x.Key, r.PathValue("key")) {
			return t, x, nil
		}
	}
	return nil, waterbench.Series{}, missing("Nothing called “" + r.PathValue("key") + "” is worked out from readings.")
}

func (s *Server) follows(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, x, err := s.seriesOf(r, f)
	if err != nil {
		return err
	}
	name := t.Tank.Name
	v := followsView{frame: s.frame(r, prose.Capital(x.Title)+", "+name, "rounds").withChart(s), Tank: name, TankHref: tankPath(name), Name: x.Title,
		Says: restOf(x), Needs: sentence(x.Needs), Count: len(x.Points), Bench: waterPath(name), Limits: limitWords(x)}
	if len(x.Points) > 0 {
		v.Level = newestWords(x)
		p, err := spanAsked(chart.FromSeries(x, name, f.AsOf, t.Location), r.URL.Query())
		if err != nil {
			v.Problem = prose.Capital(err.Error()) + "."
		}
		v.Figure = chart.Figure(p, followsPlace(name, x.Key))
	}
	return followsScreen.show(s, w, http.StatusOK, v)
}

// followsDrawing answers the picture's script with another span.
func (s *Server) followsDrawing(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, x, err := s.seriesOf(r, f)
	if err != nil {
		return err
	}
	p, err := spanAsked(chart.FromSeries(x, t.Tank.Name, f.AsOf, t.Location), r.URL.Query())
	if err != nil {
		return &refusal{http.StatusBadRequest, prose.Capital(err.Error()) + "."}
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	_, _ = w.Write([]byte(chart.Inner(p, followsPlace(t.Tank.Name, x.Key)))) // the browser may have gone
	return nil
}

func followsPlace(tank, key string) chart.Place {
	page := followsPath(tank, key)
	return chart.Place{ID: "picture", Src: page + "/drawing", Page: page}
}

// limitWords tell what the limits of the picture stand for.
func limitWords(x waterbench.Series) string {
	say := func(v *float64) string {
		figure := strings.TrimRight(strings.TrimRight(strings.TrimSpace(units.Format("", *v, "")), "0"), ".")
		return strings.TrimSpace(figure + " " + x.Unit)
	}
	switch {
	case x.Low != nil && x.High != nil:
		return say(x.Low) + " to " + say(x.High)
	case x.Low != nil:
		return "at least " + say(x.Low)
	case x.High != nil:
		return "at most " + say(x.High)
	}
	return ""
}

// pastOf is what followed from the readings, with the desk's word on misreads.
func (s *Server) pastOf(f *book.Facts, tank string, asOf time.Time) ([]waterbench.Series, error) {
	return waterbench.PastFrom(s.Desk, f, tank, asOf)
}

func (s *Server) diagnosisOf(f *book.Facts, tank string, asOf time.Time) (waterbench.PHDiagnosis, error) {
	return waterbench.DiagnoseFrom(s.Desk, f, tank, asOf)
}
