package web

import (
	"crypto/rand"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"driftline/internal/web/gate"
)

func TestPostFromAnotherSiteIsRefused(t *testing.T) {
	s := newSite(t, harbour)
	for name, headers := range map[string]map[string]string{
		"a page elsewhere":           {"Sec-Fetch-Site": "cross-site"},
		"a neighbour under one name": {"Sec-Fetch-Site": "same-site"},
		"an old browser":             {"Origin": "https://elsewhere.example"},
		"a file on the disk":         {"Origin": "null"},
	} {
		t.Run(name, func(t *testing.T) {
			r := httptest.NewRequest(http.MethodPost, "http://localhost/write/harbour/note", strings.NewReader("note=planted"))
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			for k, v := range headers {
				r.Header.Set(k, v)
			}
			var got reply
			if lines := s.added(func() { got = s.send(r) }); len(lines) != 0 || got.status != http.StatusForbidden {
				t.Errorf("status %d, %d lines stored, want 403 and none", got.status, len(lines))
			}
		})
	}
}

func TestForeignHostIsRefused(t *testing.T) {
	s := newSite(t, harbour)
	for host, want := range map[string]int{"localhost:8090": 200, "127.0.0.1:8090": 200, "[::1]:8090": 200, "book.localhost": 200,
		"evil.example": 421, "127.0.0.1.evil.example": 421, "192.168.1.20:8090": 421, "": 421} {
		r := httptest.NewRequest(http.MethodGet, "http://localhost/log", nil)
		r.Host = host
		if got := s.send(r); got.status != want {
			t.Errorf("host %q answers %d, want %d", host, got.status, want)
		}
	}
}

func guarded(t *testing.T, clock *time.Time) *site {
	t.Helper()
	hash, err := gate.Hash("seven quiet clams", rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return newSite(t, harbour, func(c *Config) {
		c.PassphraseHash, c.Listen = hash, "0.0.0.0:8090"
		c.Now = func() time.Time { return *clock }
	})
}

func TestNoCookieNoPage(t *testing.T) {
	clock := now
	s := guarded(t, &clock)
	for _, path := range []string{"/", "/tank/harbour", "/log", "/settings/book/driftline.jsonl", "/photo/x.jpg", "/no/such/page"} {
		got := s.get(path)
		if got.status != http.StatusSeeOther || !strings.HasPrefix(got.header.Get("Location"), "/enter?to=") {
			t.Errorf("%s answers %d %s without a session", path, got.status, got.header.Get("Location"))
		}
	}
	if got := s.post("/write/harbour/note", "note", "planted"); got.status != http.StatusUnauthorized {
		t.Errorf("a post without a session answers %d, want 401", got.status)
	}
	if body := s.get("/enter").body; strings.Contains(body, "harbour") {
		t.Error("the login page names the tanks")
	}
	soundPage(t, s.get("/enter").body)
	s.cookies = []*http.Cookie{{Name: "driftline_session", Value: "made-up"}}
	if got := s.get("/log"); got.status != http.StatusSeeOther {
		t.Errorf("a made-up session answers %d", got.status)
	}
}

func TestPassphraseOpensAndCloses(t *testing.T) {
	clock := now
	s := guarded(t, &clock)
	got := s.post("/enter", "passphrase", "seven quiet clams", "to", "//elsewhere.example/log")
	if got.status != http.StatusSeeOther || got.header.Get("Location") != "/" {
		t.Fatalf("the passphrase answers %d to %q", got.status, got.header.Get("Location"))
	}
	c := got.header.Get("Set-Cookie")
	for _, want := range []string{"HttpOnly", "SameSite=Lax", "Path=/"} {
		if !strings.Contains(c, want) {
			t.Errorf("the cookie lacks %s: %s", want, c)
		}
	}
	if got := s.get("/log"); got.status != http.StatusOK {
		t.Errorf("with a session the log answers %d", got.status)
	}
	clock = clock.AddDate(0, 0, 31)
	if got := s.get("/log"); got.status != http.StatusSeeOther {
		t.Errorf("after a month the log answers %d", got.status)
	}
	clock = now
	mine := s.cookies
	s.post("/leave")
	s.cookies = mine[:1]
	if got := s.get("/log"); got.status != http.StatusSeeOther {
		t.Errorf("after leaving, the old cookie answers %d", got.status)
	}
}

func TestGuessingIsSlowedDown(t *testing.T) {
	clock := now
	s := guarded(t, &clock)
	for i := range 4 {
		if got := s.post("/enter", "passphrase", "guess"); got.status != http.StatusUnauthorized {
			t.Fatalf("guess %d answers %d", i, got.status)
		}
	}
	got := s.post("/enter", "passphrase", "seven quiet clams")
	if got.status != http.StatusTooManyRequests || got.header.Get("Retry-After") == "" {
		t.Errorf("the fifth try answers %d, want 429 even when right", got.status)
	}
	s.remote = "10.0.0.7:4444"
	if got := s.post("/enter", "passphrase", "guess"); got.status != http.StatusUnauthorized {
		t.Errorf("another address answers %d, want its own count", got.status)
	}
	s.remote = "127.0.0.1:9999"
	clock = clock.Add(3 * time.Second)
	if got := s.post("/enter", "passphrase", "seven quiet clams"); got.status != http.StatusSeeOther {
		t.Errorf("after the wait the passphrase answers %d", got.status)
	}
}

type boxOfPhotos struct{ asked []string }

func (b *boxOfPhotos) Put(io.Reader, string) (string, error) { return "", nil }
func (b *boxOfPhotos) Open(name string) (io.ReadCloser, error) {
	b.asked = append(b.asked, name)
	return io.NopCloser(strings.NewReader("picture")), nil
}

func TestPhotoPathsStayInside(t *testing.T) {
	box := &boxOfPhotos{}
	s := newSite(t, harbour, func(c *Config) { c.Photos = box })
	good := "sha256-" + strings.Repeat("ab", 32) + ".jpg"
	if got := s.get("/photo/" + good); got.status != http.StatusOK || got.header.Get("Content-Type") != "image/jpeg" {
		t.Errorf("a picture answers %d %s", got.status, got.header.Get("Content-Type"))
	}
	for _, path := range []string{"/photo/..%2f..%2fbook.db", "/photo/%2e%2e%2fbook.db", "/photo/book.db", "/photo/sha256-ab.jpg",
		"/photo/" + good + "%00.png", "/photo/sha256-" + strings.Repeat("ab", 32) + ".html", "/photo/../book.db", "/assets/../book.db"} {
		if got := s.get(path); got.status == http.StatusOK {
			t.Errorf("%s is answered", path)
		}
	}
	if len(box.asked) != 1 {
		t.Errorf("the store was asked for %q", box.asked)
	}
}

func TestOversizedBodyIsRefused(t *testing.T) {
	s := newSite(t, harbour)
	var got reply
	lines := s.added(func() { got = s.post("/write/harbour/note", "note", strings.Repeat("long ", 200_000)) })
	if got.status != http.StatusRequestEntityTooLarge || len(lines) != 0 {
		t.Errorf("a megabyte of note answers %d, %d lines", got.status, len(lines))
	}
}

func TestHeadersOfEveryAnswer(t *testing.T) {
	s := newSite(t, harbour)
	for _, path := range []string{"/", "/nothing", s.server.assets.Path("driftline.css"), "/settings/book/driftline.csv"} {
		h := s.get(path).header
		csp := h.Get("Content-Security-Policy")
		if !strings.Contains(csp, "default-src 'none'") || !strings.Contains(csp, "frame-ancestors 'none'") || strings.Contains(csp, "unsafe") {
			t.Errorf("%s has the policy %q", path, csp)
		}
		if h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Referrer-Policy") == "" {
			t.Errorf("%s lacks a header: %v", path, h)
		}
	}
}

func TestMarkupInWordsIsEscaped(t *testing.T) {
	s := newSite(t, harbour+harbourReadings())
	evil := `"><img src=x onerror=alert(1)><script>alert(2)</script>`
	s.post("/write/harbour/note", "note", evil)
	s.post("/settings/declare/instrument?quantity=calcium", "name", evil, "method", "drop titration", "unit", "mg/L")
	s.post("/settings/declare/routine?tank=harbour&action=chore", "name", evil, "chore", evil, "every_days", "1")
	s.post("/write/harbour/chore", "name", evil)
	for _, path := range []string{"/", "/log", "/tank/harbour", "/settings", "/read/harbour", "/log?text=" + urlQuery(evil), "/write/harbour/chore?name=" + urlQuery(evil)} {
		body := s.get(path).body
		if strings.Contains(body, "<img src=x") || strings.Contains(body, "<script>alert") {
			t.Errorf("%s carries the markup as it was typed", path)
		}
		parsePage(t, body)
	}
}

func TestRedirectsStayHere(t *testing.T) {
	s := newSite(t, harbour)
	for _, to := range []string{"//evil.example", "https://evil.example", "/\\evil.example", "javascript:alert(1)", "/\nx"} {
		if got := s.post("/light", "light", "night", "here", to).header.Get("Location"); got != "/" {
			t.Errorf("the light form leads to %q", got)
		}
		if got := s.post("/write/harbour/note", "note", "x", "to", to).header.Get("Location"); !strings.HasPrefix(got, "/?kept=") {
			t.Errorf("a deed leads to %q", got)
		}
	}
}

func TestCompressedPagesReadTheSame(t *testing.T) {
	s := newSite(t, harbour)
	r := httptest.NewRequest(http.MethodGet, "http://localhost/about", nil)
	r.Header.Set("Accept-Encoding", "br, gzip;q=0.8")
	got := s.send(r)
	if got.header.Get("Content-Encoding") != "gzip" || len(got.body) >= len(s.get("/about").body) {
		t.Errorf("the page is not packed: %q", got.header.Get("Content-Encoding"))
	}
	r = httptest.NewRequest(http.MethodGet, "http://localhost/about", nil)
	r.Header.Set("Accept-Encoding", "gzip;q=0")
	if got := s.send(r); got.header.Get("Content-Encoding") != "" {
		t.Error("a browser that refuses gzip gets it")
	}
}

func TestBeyondLoopbackNeedsAPassphrase(t *testing.T) {
	if _, err := New(Config{Listen: "0.0.0.0:80", Journal: newSite(t, harbour).journal, Now: time.Now}); err == nil {
		t.Error("a book without a passphrase is served to everyone")
	}
}
