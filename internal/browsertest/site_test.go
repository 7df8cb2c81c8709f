package browsertest

import (
	"crypto/rand"
	"net/http"
	"net/http/httptest"
	"sync/atomic"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/rehearsal"
	"driftline/internal/standing"
	"driftline/internal/web"
)

// today is when every test happens.
var today = time.Date(2026, 3, 14, 8, 0, 0, 0, time.UTC)

// site is a served book whose connection can be cut.
type site struct {
	home    string
	journal *book.Journal
	cut     atomic.Bool
}

// serve shows a book of these lines until the test ends.
func serve(t *testing.T, lines []book.Line) *site { return serveBehind(t, "", lines) }

// serveBehind does so behind the passphrase of this hash.
func serveBehind(t *testing.T, hash string, lines []book.Line) *site {
	t.Helper()
	if testing.Short() {
		t.Skip("browser tests are long")
	}
	store := book.NewMemory()
	if _, err := store.Append(t.Context(), lines); err != nil {
		t.Fatal(err)
	}
	journal, err := book.OpenJournal(t.Context(), store)
	if err != nil {
		t.Fatal(err)
	}
	now := func() time.Time { return today }
	journal.Now = now
	pages, err := web.New(web.Config{Journal: journal, Desk: standing.NewDesk(), Now: now, Random: rand.Reader,
		Listen: "127.0.0.1:0", Zone: "Europe/Lisbon", PassphraseHash: hash})
	if err != nil {
		t.Fatal(err)
	}
	s := &site{journal: journal}
	server := httptest.NewServer(s.guard(pages))
	t.Cleanup(server.Close)
	s.home = server.URL
	return s
}

// guard drops every connection while the line is cut.
func (s *site) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !s.cut.Load() {
			next.ServeHTTP(w, r)
			return
		}
		panic(http.ErrAbortHandler)
	})
}

// demo are the lines of the made-up book.
func demo(t *testing.T) []book.Line {
	t.Helper()
	if testing.Short() {
		t.Skip("browser tests are long")
	}
	return rehearsal.Demo(today)
}
