package browsertest

import (
	"context"
	"encoding/json"
	"os"
	"strings"

	"github.com/chromedp/chromedp"
)

// The hands of a keeper: what a person does on a page.

// tap touches the middle of an element with a finger.
func (b *tab) tap(css string) {
	b.Helper()
	b.reach(css)
	b.do("tap "+css, chromedp.Tap(chromedp.CSS(css), chromedp.NodeVisible))
}

// reach waits for an element and brings it to the middle of the screen, where no
// bar lies over it.
func (b *tab) reach(css string) {
	b.Helper()
	b.do("find "+css, chromedp.WaitVisible(chromedp.CSS(css)))
	js[int](b, `document.querySelector(`+quoted(css)+`).scrollIntoView({block: "center", behavior: "instant"}), 0`)
}

// done puts the number keys away, if they are there.
func (b *tab) done() {
	b.Helper()
	if js[bool](b, `!!document.querySelector(".keys:not([hidden])")`) {
		b.press("Done")
	}
}

// enter puts a text in place of what a field holds, key by key.
func (b *tab) enter(css, text string) {
	b.Helper()
	b.reach(css)
	b.do("empty "+css, chromedp.Focus(chromedp.CSS(css)), chromedp.Clear(chromedp.CSS(css)))
	b.do("type into "+css, chromedp.SendKeys(chromedp.CSS(css), text))
}

// value is what a field holds.
func (b *tab) value(css string) string {
	b.Helper()
	return js[string](b, `document.querySelector(`+quoted(css)+`).value`)
}

// says waits until the page shows the words.
func (b *tab) says(words string) {
	b.Helper()
	b.until("the words "+words, `document.body && document.body.innerText.replace(/\s+/g, " ").includes(`+quoted(words)+`)`)
}

// on waits until the browser stands at a path.
func (b *tab) on(path string) {
	b.Helper()
	b.until("the page "+path, `document.readyState === "complete" && decodeURIComponent(location.pathname) === `+quoted(path))
}

// box is where an element stands on the screen: left, top, width and height.
func (b *tab) box(css string) [4]float64 {
	b.Helper()
	return [4]float64(js[[]float64](b, `(() => { const e = [...document.querySelectorAll(`+quoted(css)+`)].find(e => e.getBoundingClientRect().width > 0);
		e.scrollIntoView({block: "center"}); const r = e.getBoundingClientRect(); return [r.left, r.top, r.width, r.height] })()`))
}

// judged audits the page that is open, where axe-core is to be had.
func (b *tab) judged(where string) {
	b.Helper()
	file := os.Getenv("DRIFTLINE_AXE")
	text, err := os.ReadFile(file)
	if err != nil {
		if os.Getenv("DRIFTLINE_REQUIRE_BROWSER") != "" {
			b.Fatalf("axe-core is required and cannot be read: %v", err)
		}
		return
	}
	b.audit(string(text), where)
}

func quoted(s string) string {
	text, err := json.Marshal(s)
	if err != nil {
		return `""`
	}
	return string(text)
}

// tidy folds white space, for comparing what a person reads.
func tidy(s string) string { return strings.Join(strings.Fields(s), " ") }

// act makes a step of chromedp out of a function.
func act(f func(ctx context.Context, t *chromedp.Target) error) chromedp.Action[chromedp.Void] {
	return chromedp.Func(f)
}
