package web

import (
	"bytes"
	"crypto/rand"
	"crypto/sha256"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"io/fs"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/web/gate"
)

var secretIn = regexp.MustCompile(`/mind/([A-Za-z0-9_-]{43})`)

// away14 keeps an absence of fourteen days from the next day on and makes its link.
func (s *site) away14(t *testing.T) (page, link string) {
	t.Helper()
	from, until := now.AddDate(0, 0, 1).Format(time.DateOnly), now.AddDate(0, 0, 15).Format(time.DateOnly)
	r := s.post("/away", "from", from, "until", until, "every", "3", "minder", "Ilse", "call", "Ana 555 0199")
	if r.status != http.StatusSeeOther {
		t.Fatalf("the absence is not kept: %d %s", r.status, words200(r.body))
	}
	page, _, _ = strings.Cut(r.header.Get("Location"), "?")
	made := s.post(page + "/link")
	m := secretIn.FindStringSubmatch(made.body)
	if made.status != http.StatusOK || m == nil {
		t.Fatalf("no link: %d %s", made.status, words200(made.body))
	}
	if again := regexp.MustCompile(`/away/[^/"]+/revoke`).FindString(made.body); again != "" {
		page = strings.TrimSuffix(again, "/revoke")
	}
	return page, "/mind/" + m[1]
}

func jpegOf(t *testing.T, w, h int) []byte {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, w, h))
	img.SetGray(w/2, h/2, color.Gray{200})
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func (s *site) sendPicture(t *testing.T, link, tank string, raw []byte) reply {
	t.Helper()
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	_ = m.WriteField("tank", tank)
	f, err := m.CreateFormFile("picture", "../../x.jpg")
	if err != nil {
		t.Fatal(err)
	}
	_, _ = f.Write(raw)
	_ = m.Close()
	r := httptest.NewRequest(http.MethodPost, "http://localhost"+link+"/picture", &b)
	r.Header.Set("Content-Type", m.FormDataContentType())
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	return s.send(r)
}

// Who has the link can tick off, send a reading and a picture, each in their own name.
func TestMinding(t *testing.T) {
	s := newSite(t, harbour+fedHarbour(80), withPhotos(t))
	_, link := s.away14(t)
	before := s.get(link).body
	for _, want := range []string{"harbour", "Ana 555 0199", "2 g frozen mysis", "Look: fish all there", "When something is wrong"} {
		if !strings.Contains(before, want) {
			t.Errorf("%q is not on the page", want)
		}
	}
	for _, do := range []struct {
		path, want string
		fields     []string
	}{
		{"/done", "feeding, 2 g frozen mysis", []string{"tank", "harbour", "do", "portion", "id", book.NewID(now)}},
		{"/done", "visit: looked over", []string{"tank", "harbour", "do", "look", "id", book.NewID(now)}},
		{"/reading", "temperature 25.8 °C", []string{"tank", "harbour", "quantity", "temperature", "value", "25,8", "unit", "°C", "id", book.NewID(now)}},
	} {
		var r reply
		lines := s.added(func() { r = s.post(link+do.path, do.fields...); s.post(link+do.path, do.fields...) })
		if r.status != http.StatusSeeOther || len(lines) != 1 || describe(lines[0]) != do.want || lines[0].By != "Ilse" {
			t.Errorf("%s: %d, %v", do.path, r.status, lines)
		}
	}
	var r reply
	lines := s.added(func() { r = s.sendPicture(t, link, "harbour", jpegOf(t, 40, 30)) })
	if r.status != http.StatusSeeOther || len(lines) != 1 || lines[0].Kind != book.KindPhoto {
		t.Fatalf("a picture: %d, %v %s", r.status, lines, words200(r.body))
	}
	if after := s.get(link).body; strings.Count(after, "done at") != 2 {
		t.Errorf("the ticks do not show: %s", after)
	}
}

// The link as an attacker would use it: nothing of the book but its own page, nothing
// written but what it is for.
func TestMindersLinkUnderAttack(t *testing.T) {
	clock := now
	s := guardedWith(t, &clock)
	page, link := s.away14(t)
	keeper := s.cookies
	s.cookies = nil
	if got := s.get(link); got.status != http.StatusOK {
		t.Fatalf("the link answers %d without a session", got.status)
	}
	for _, path := range []string{"/", "/log", "/tank/harbour", "/settings/book/driftline.jsonl", "/away", page, "/calendar", "/photo/x.jpg", link + "/../../log"} {
		if got := s.get(path); got.status == http.StatusOK {
			t.Errorf("%s is open to whoever has the link", path)
		}
	}
	body := s.get(link).body
	for _, secret := range []string{"/log", "/settings", "/tank/", "/write/", "magnesium 12"} {
		if strings.Contains(body, secret) {
			t.Errorf("the page leads to or tells of %q", secret)
		}
	}
	for name, fields := range map[string][]string{
		"done another tank":   {"tank", "elsewhere", "do", "look"},
		"done another thing":  {"tank", "harbour", "do", "void"},
		"reading impossible":  {"tank", "harbour", "quantity", "temperature", "value", "4000", "unit", "°C"},
		"reading no quantity": {"tank", "harbour", "quantity", "replaces", "value", "1", "unit", "°C"},
		"reading of a mix":    {"tank", "harbour", "quantity", "temperature", "value", "25", "unit", "°C", "kind", "void", "replaces", "tank-1", "by", "Ana", "at", "2020-01-01"},
	} {
		var r reply
		kind, _, _ := strings.Cut(name, " ")
		lines := s.added(func() { r = s.post(link+"/"+kind, fields...) })
		if name == "reading of a mix" {
			if len(lines) != 1 || lines[0].Replaces != "" || lines[0].By != "Ilse" || lines[0].At.Before(now.AddDate(-1, 0, 0)) {
				t.Errorf("%s: %+v", name, lines)
			}
		} else if len(lines) != 0 || r.status != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d, %v", name, r.status, lines)
		}
	}
	for name, raw := range map[string][]byte{"not a picture": []byte("<svg onload=alert(1)>"), "cut": jpegOf(t, 900, 900)[:9], "one pixel": jpegOf(t, 1, 1)} {
		if lines := s.added(func() { s.sendPicture(t, link, "harbour", raw) }); len(lines) != 0 {
			t.Errorf("%s is stored: %v", name, lines)
		}
	}
	if got := s.get(link + "/picture/sha256-" + strings.Repeat("0", 64) + ".jpg"); got.status != http.StatusNotFound {
		t.Errorf("a picture that is not on the page answers %d", got.status)
	}
	// Guessing makes the address wait.
	guess := link[:len(link)-1] + "_"
	if guess == link {
		guess = link[:len(link)-1] + "A"
	}
	for range 6 {
		s.get(guess)
	}
	if got := s.get(guess); got.status != http.StatusTooManyRequests {
		t.Errorf("the seventh guess answers %d", got.status)
	}
	clock = clock.Add(time.Hour)
	// Revoked, and two days after the absence, it opens nothing.
	clock = now.AddDate(0, 0, 18)
	if got := s.get(link); got.status != http.StatusNotFound {
		t.Errorf("past its time the link answers %d", got.status)
	}
	clock, s.remote = now.Add(2*time.Hour), "10.0.0.9:4000" // whose address has guessed nothing
	if got := s.get(link); got.status != http.StatusOK {
		t.Errorf("within its time the link answers %d", got.status)
	}
	s.cookies = keeper
	if got := s.post(page + "/revoke"); got.status != http.StatusSeeOther {
		t.Fatalf("revoking answers %d %s", got.status, words200(got.body))
	}
	s.cookies = nil
	if got := s.get(link); got.status != http.StatusNotFound {
		t.Errorf("revoked, the link answers %d", got.status)
	}
}

func TestTooMuchByOneLink(t *testing.T) {
	s := newSite(t, harbour)
	_, link := s.away14(t)
	lines := s.added(func() {
		for range mindLines + 5 {
			s.post(link+"/done", "tank", "harbour", "do", "look")
		}
	})
	if len(lines) != mindLines {
		t.Errorf("%d lines in a day, want %d at most", len(lines), mindLines)
	}
}

func TestCalendarFeed(t *testing.T) {
	clock := now
	s := guardedWith(t, &clock)
	made := s.post("/calendar/link")
	m := regexp.MustCompile(`/calendar/feed/[A-Za-z0-9_-]{43}/driftline\.ics`).FindString(made.body)
	if m == "" {
		t.Fatalf("no address: %s", words200(made.body))
	}
	keeper := s.cookies
	s.cookies = nil
	got := s.get(m)
	if got.status != http.StatusOK || !strings.HasPrefix(got.body, "BEGIN:VCALENDAR\r\n") || !strings.HasPrefix(got.header.Get("Content-Type"), "text/calendar") {
		t.Errorf("the feed answers %d %s", got.status, words200(got.body))
	}
	if got := s.get("/calendar/feed/" + strings.Repeat("A", 43) + "/driftline.ics"); got.status != http.StatusNotFound {
		t.Errorf("a guessed address answers %d", got.status)
	}
	s.cookies = keeper
	s.post("/calendar/link")
	s.cookies = nil
	if got := s.get(m); got.status != http.StatusNotFound {
		t.Errorf("the address before the new one answers %d", got.status)
	}
}

// shoebox keeps pictures in memory.
type shoebox map[string][]byte

func (b shoebox) Put(r io.Reader, ext string) (string, error) {
	raw, err := io.ReadAll(r)
	name := fmt.Sprintf("sha256-%x.%s", sha256.Sum256(raw), ext)
	b[name] = raw
	return name, err
}

func (b shoebox) Open(name string) (io.ReadCloser, error) {
	raw, ok := b[name]
	if !ok {
		return nil, fs.ErrNotExist
	}
	return io.NopCloser(bytes.NewReader(raw)), nil
}

func withPhotos(*testing.T) func(*Config) { return func(c *Config) { c.Photos = shoebox{} } }

// guardedWith is a book with a passphrase, its keeper inside.
func guardedWith(t *testing.T, clock *time.Time) *site {
	t.Helper()
	hash, err := gate.Hash("seven quiet clams", rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	s := newSite(t, harbour, withPhotos(t), func(c *Config) {
		c.PassphraseHash, c.Listen = hash, "0.0.0.0:8090"
		c.Now = func() time.Time { return *clock }
	})
	if got := s.post("/enter", "passphrase", "seven quiet clams"); got.status != http.StatusSeeOther {
		t.Fatalf("the passphrase answers %d", got.status)
	}
	return s
}

// Whatever bytes come as a picture, they are a JPEG or PNG of a size that is known, or
// refused in a sentence.
func FuzzPictureKind(f *testing.F) {
	f.Add([]byte("\x89PNG\r\n\x1a\n"))
	f.Add([]byte("\xff\xd8\xff\xe0"))
	f.Fuzz(func(t *testing.T, raw []byte) {
		kind, err := pictureKind(raw)
		if err == nil && kind != "jpg" && kind != "png" {
			t.Errorf("kind %q", kind)
		}
		if err != nil && err.Error() == "" {
			t.Error("refused without a word")
		}
	})
}
