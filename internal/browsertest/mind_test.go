package browsertest

import (
	"io"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// post sends a form as a page of the book would, and gives what came of it.
func post(t *testing.T, home, path string, fields url.Values) (body, at string) {
	t.Helper()
	r, err := http.NewRequest(http.MethodPost, strings.TrimSuffix(home, "/")+path, strings.NewReader(fields.Encode()))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	res, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	raw, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw), res.Request.URL.Path
}

// Whoever minds the tanks has a page of their own, which no link leads to.
func TestMindersPageIsUsableByEveryone(t *testing.T) {
	source := axe(t)
	site := serve(t, demo(t))
	_, page := post(t, site.home, "/away", url.Values{"from": {"2026-03-16"}, "until": {"2026-03-30"}, "every": {"2"}, "minder": {"Ilse"}, "call": {"the library desk"}})
	if !strings.HasPrefix(page, "/away/") {
		t.Fatalf("the absence is not kept: at %s", page)
	}
	made, _ := post(t, site.home, page+"/link", nil)
	link := regexp.MustCompile(`/mind/[A-Za-z0-9_-]{43}`).FindString(made)
	if link == "" {
		t.Fatal("no link was made")
	}
	for _, size := range []screen{phone, phoneNight, desk, deskNight} {
		b := open(t, site.home, size)
		b.visit(link)
		b.audit(source, "the minder's page")
		b.fits(size, "the minder's page")
	}
}
