package web

import (
	"context"
	"crypto/rand"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
)

// now is the moment of every test.
var now = time.Date(2026, 3, 20, 18, 30, 0, 0, time.UTC)

// harbour is a small book of our own: one tank in good order with a misread, and one
// whose name would do harm if it were not escaped.
const harbour = `{"kind":"tank","at":"2026-01-01T08:00:00Z","id":"019b7805-0000-7000-8000-000000000001","name":"harbour","system":"mixed","net_volume":300,"unit":"L","time_zone":"Europe/Lisbon"}
{"kind":"tank","at":"2026-01-01T08:00:00Z","id":"019b7805-0000-7000-8000-000000000002","name":"<script>alert(1)</script>","system":"quarantine","net_volume":60,"unit":"L","time_zone":"Europe/Lisbon"}
{"kind":"band","at":"2026-01-01T08:01:00Z","tank":"harbour","quantity":"alkalinity","unit":"dKH","low":7.5,"aim":8.2,"high":9}
{"kind":"instrument","at":"2026-01-01T08:02:00Z","name":"drop kit","quantity":"alkalinity","method":"drop titration","unit":"dKH","resolution":0.1}
{"kind":"mix","at":"2026-01-01T08:03:00Z","name":"blue tub","volume":100,"unit":"L","composition":[{"quantity":"alkalinity","value":9.1,"unit":"dKH"},{"quantity":"salinity","value":35,"unit":"PSU"}]}
{"kind":"routine","at":"2026-01-01T08:04:00Z","tank":"harbour","name":"weekly change","action":"water change","volume":30,"unit":"L","mix":"blue tub","every_days":7,"from":"2026-01-01T08:00:00Z"}
{"kind":"note","at":"2026-03-19T08:00:00Z","tank":"harbour","note":"the clam <b>opens</b> wide & late","id":"019b7805-0000-7000-8000-000000000003"}
`

// readings of alkalinity every third day around 8.2 dKH, and one far off.
func harbourReadings() string {
	var b strings.Builder
	wobble := []float64{0.1, -0.2, 0, 0.2, -0.1}
	for i := range 24 {
		at := time.Date(2026, 1, 3, 9, 0, 0, 0, time.UTC).AddDate(0, 0, 3*i)
		v := 8.2 + wobble[i%len(wobble)]
		if i == 20 {
			v = 10.9
		}
		fmt.Fprintf(&b, `{"kind":"reading","at":%q,"tank":"harbour","quantity":"alkalinity","value":%.1f,"unit":"dKH","instrument":"drop kit","id":"019b7805-0000-7000-8000-0000000001%02d"}`+"\n",
			at.Format(time.RFC3339), v, i)
	}
	return b.String()
}

// site is a server over a book in memory with a visitor that keeps cookies.
type site struct {
	t       *testing.T
	server  *Server
	journal *book.Journal
	cookies []*http.Cookie
	remote  string
}

func newSite(t *testing.T, text string, change ...func(*Config)) *site {
	t.Helper()
	store := book.NewMemory()
	rep, err := book.ImportJSONL(context.Background(), strings.NewReader(text), store, book.ImportOptions{Now: now})
	if err != nil || len(rep.Refused) > 0 {
		t.Fatalf("the fixture is not taken: %v %v", err, rep.Refused)
	}
	j, err := book.OpenJournal(context.Background(), store)
	if err != nil {
		t.Fatal(err)
	}
	c := Config{Journal: j, Store: store, Desk: standing.NewDesk(), Now: func() time.Time { return now }, Random: rand.Reader}
	for _, f := range change {
		f(&c)
	}
	s, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	return &site{t: t, server: s, journal: j, remote: "127.0.0.1:5000"}
}

// reply is what a visit brought.
type reply struct {
	status int
	body   string
	header http.Header
}

func (s *site) send(r *http.Request) reply {
	s.t.Helper()
	r.RemoteAddr = s.remote
	for _, c := range s.cookies {
		r.AddCookie(c)
	}
	w := httptest.NewRecorder()
	s.server.ServeHTTP(w, r)
	res := w.Result()
	defer res.Body.Close()
	b, err := io.ReadAll(res.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	s.cookies = append(s.cookies, res.Cookies()...)
	return reply{res.StatusCode, string(b), res.Header}
}

func (s *site) get(path string) reply {
	s.t.Helper()
	return s.send(httptest.NewRequest(http.MethodGet, "http://localhost"+path, nil))
}

// post sends names and values in pairs, as a page of the book itself would.
func (s *site) post(path string, pairs ...string) reply {
	s.t.Helper()
	v := url.Values{}
	for i := 0; i+1 < len(pairs); i += 2 {
		v.Set(pairs[i], pairs[i+1])
	}
	r := httptest.NewRequest(http.MethodPost, "http://localhost"+path, strings.NewReader(v.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	return s.send(r)
}

// page gets a page that must be there and sound.
func (s *site) page(path string) *node {
	s.t.Helper()
	got := s.get(path)
	if got.status != http.StatusOK {
		s.t.Fatalf("%s answers %d: %s", path, got.status, words200(got.body))
	}
	return soundPage(s.t, got.body)
}

func words200(s string) string {
	if len(s) > 2000 {
		s = s[:2000]
	}
	return s
}

// added gives the lines a deed adds, whatever their time.
func (s *site) added(deed func()) []book.Line {
	s.t.Helper()
	before := map[string]bool{}
	for _, l := range s.journal.Lines() {
		before[l.ID] = true
	}
	deed()
	var fresh []book.Line
	for _, l := range s.journal.Lines() {
		if !before[l.ID] {
			fresh = append(fresh, l)
		}
	}
	return fresh
}
