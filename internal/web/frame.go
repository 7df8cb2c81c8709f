package web

import (
	"net/http"
	"net/url"
	"time"

	"driftline/internal/book"
)

// frame is what every page has around its own matter.
type frame struct {
	Title  string
	Place  string // which of the six ways of the page's foot is current
	Today  string
	Here   string // this page's address
	Light  string // auto, day or night
	Sheet  string
	Script string
	Chart  string // empty on pages without a picture
	Mark   string
	Tanks  []link
	Remark string
	Kept   *kept // what was just written, with the way to put it right
	Inside bool  // a passphrase guards the book
}

// link is a name with where it leads.
type link struct {
	Name, Href string
	Current    bool
}

func (s *Server) frame(r *http.Request, title, place string) frame {
	now := s.Now()
	f := frame{Title: title, Place: place, Here: r.URL.RequestURI(), Light: lightOf(r),
		Sheet: s.assets.Path("driftline.css"), Script: s.assets.Path("island.js"), Mark: s.assets.Path("mark.svg"),
		Remark: s.Remark, Inside: s.PassphraseHash != ""}
	if s.guarded(r) {
		f.Today, f.Remark, f.Inside = longDay(now), "", false
		return f
	}
	facts := s.facts()
	zone := time.UTC
	for i := range facts.Tanks {
		t := &facts.Tanks[i]
		if i == 0 {
			zone = t.Location
		}
		f.Tanks = append(f.Tanks, link{t.Tank.Name, tankPath(t.Tank.Name), same(r.PathValue("tank"), t.Tank.Name)})
	}
	f.Today = longDay(now.In(zone))
	f.Kept = s.justKept(r)
	return f
}

// withChart loads the picture's script too.
func (f frame) withChart(s *Server) frame {
	f.Chart = s.assets.Path("chart.js")
	return f
}

func same(a, b string) bool { return a != "" && book.Key(a) == book.Key(b) }

func tankPath(tank string) string { return "/tank/" + url.PathEscape(tank) }
func quantityPath(tank, q string) string {
	return tankPath(tank) + "/" + url.PathEscape(q)
}
func readPath(tank string) string  { return "/read/" + url.PathEscape(tank) }
func writePath(tank string) string { return "/write/" + url.PathEscape(tank) }
func bandsPath(tank string) string { return "/settings/bands/" + url.PathEscape(tank) }
func linePath(id string) string    { return "/log/" + url.PathEscape(id) }

// tankOf is the tank a page's address names.
func (s *Server) tankOf(r *http.Request, f *book.Facts) (*book.TankFacts, error) {
	name := r.PathValue("tank")
	t, ok := f.Tank(name)
	if !ok {
		return nil, missing("No tank called “" + name + "” is declared in this book.")
	}
	return t, nil
}

// back goes to the page with the lines just written named on it.
func back(w http.ResponseWriter, r *http.Request, to string, ids ...string) error {
	u, err := url.Parse(to)
	if err != nil {
		return err
	}
	q := u.Query()
	for _, id := range ids {
		q.Add("kept", id)
	}
	u.RawQuery = q.Encode()
	http.Redirect(w, r, u.String(), http.StatusSeeOther)
	return nil
}

func pathEscape(s string) string { return url.PathEscape(s) }

// encode writes names with their values as the query of an address.
func encode(fields []link) string {
	q := url.Values{}
	for _, f := range fields {
		q.Set(f.Name, f.Href)
	}
	return q.Encode()
}

// declarePath is the form that declares a thing, begun with the pairs given.
func declarePath(kind string, pairs ...string) string {
	q := url.Values{}
	for i := 0; i+1 < len(pairs); i += 2 {
		q.Set(pairs[i], pairs[i+1])
	}
	return "/settings/declare/" + url.PathEscape(kind) + "?" + q.Encode()
}
