package browsertest

import (
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// TestEveryPageIsUsableByEveryone walks over all pages that links lead to, on
// each screen, and judges each by axe-core, its width and the console.
func TestEveryPageIsUsableByEveryone(t *testing.T) {
	source := axe(t)
	for _, book := range []struct {
		name string
		site func(*testing.T) *site
	}{
		{"a full book", func(t *testing.T) *site { return serve(t, append(demo(t), planned(t)...)) }},
		{"an empty book", func(t *testing.T) *site { return serve(t, nil) }},
	} {
		t.Run(book.name, func(t *testing.T) {
			site := book.site(t)
			for _, size := range []screen{phone, phoneNight, desk, deskNight} {
				t.Run(size.name, func(t *testing.T) { walk(t, site, size, source) })
			}
		})
	}
}

// walk opens one page of each kind, breadth first from the first page.
func walk(t *testing.T, s *site, size screen, source string) {
	b := open(t, s.home, size)
	queue, seen := []string{"/"}, map[string]bool{kindOf("/"): true}
	for len(queue) > 0 {
		path := queue[0]
		queue = queue[1:]
		b.visit(path)
		b.audit(source, path)
		b.fits(size, path)
		for _, link := range js[[]string](b, `[...document.querySelectorAll("a[href]")].filter(a => a.origin === location.origin && !a.hasAttribute("download")).map(a => a.pathname + a.search)`) {
			if kind := kindOf(link); !seen[kind] && !isFile(link) {
				seen[kind] = true
				queue = append(queue, link)
			}
		}
	}
	t.Logf("%d kinds of page", len(seen))
	if len(seen) < 3 {
		t.Errorf("only %d kinds of page were found", len(seen))
	}
}

var names = regexp.MustCompile(`^/(tank|read|write|log|water|follows|correct|course|trial|whatif|feeding|away|animals|settings/bands)/[^/]+`)

// kindOf makes all pages of one template the same: names of tanks and ids of
// lines are left out, the quantity and the query too.
func kindOf(path string) string {
	u, err := url.Parse(path)
	if err != nil {
		return path
	}
	kind := names.ReplaceAllString(u.Path, "/$1/x")
	if rest, ok := strings.CutPrefix(kind, "/tank/x/"); ok && !strings.Contains(rest, "/") {
		if rest != "ph-and-air" {
			kind = "/tank/x/quantity"
		}
	}
	if strings.HasPrefix(kind, "/correct/x/") {
		kind = "/correct/x/quantity"
	}
	if strings.HasPrefix(kind, "/course/x/") {
		kind = "/course/x/line"
	}
	if strings.HasPrefix(kind, "/follows/x/") {
		kind = "/follows/x/figure"
	}
	return kind
}

// isFile tells the addresses that answer with something other than a page.
func isFile(path string) bool {
	return strings.Contains(path, "/settings/book/driftline.") || strings.Contains(path, "/drawing") ||
		strings.HasPrefix(path, "/photo/") || strings.HasPrefix(path, "/assets/")
}

// TestNightByChoice: a keeper may choose the night page on a device that is set to
// light, and the choice stays.
func TestNightByChoice(t *testing.T) {
	b := open(t, serve(t, demo(t)).home, phone)
	b.visit(waterPath())
	b.tap(`form.light button[value="night"]`)
	b.until("the night page", `document.documentElement.dataset.theme === "night" && document.readyState === "complete"`)
	b.judged("a chart by night, chosen")
	b.visit("/")
	if theme := js[string](b, `document.documentElement.dataset.theme`); theme != "night" {
		t.Errorf("the next page is of theme %q", theme)
	}
	b.judged("rounds by night, chosen")
}
