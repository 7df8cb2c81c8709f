package browsertest

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	cdplog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// patience is how long one step in the browser may take on a busy machine.
const patience = 60 * time.Second

// browser is the one browser of all tests; each test gets a window whose
// storage and cookies are its own.
var browser struct {
	sync.Mutex
	ctx  context.Context
	stop func()
}

func TestMain(m *testing.M) {
	code := m.Run()
	if browser.stop != nil {
		browser.stop()
	}
	os.Exit(code)
}

// need skips the test, or fails it where a browser is required.
func need(t *testing.T, missing string) {
	t.Helper()
	if os.Getenv("DRIFTLINE_REQUIRE_BROWSER") != "" {
		t.Fatalf("%s, and DRIFTLINE_REQUIRE_BROWSER asks for it", missing)
	}
	t.Skipf("%s: the browser tests are skipped", missing)
}

func browserPath(t *testing.T) string {
	t.Helper()
	if p := os.Getenv("DRIFTLINE_CHROMIUM"); p != "" {
		return p
	}
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			return p
		}
	}
	need(t, "no Chromium is found (DRIFTLINE_CHROMIUM may name one)")
	return ""
}

// started gives the running browser, and starts it the first time.
func started(t *testing.T) context.Context {
	t.Helper()
	if testing.Short() {
		t.Skip("browser tests are long")
	}
	path := browserPath(t)
	browser.Lock()
	defer browser.Unlock()
	if browser.ctx != nil {
		return browser.ctx
	}
	options := append([]chromedp.ExecAllocatorOption{chromedp.ExecPath(path), chromedp.WSURLReadTimeout(patience)}, flags()...)
	alloc, stopAlloc := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, stop := chromedp.NewContext(alloc, chromedp.WithErrorf(func(string, ...any) {}))
	if err := chromedp.Do(ctx); err != nil {
		stopAlloc()
		t.Fatalf("the browser %s does not start: %v", path, err)
	}
	browser.ctx, browser.stop = ctx, func() { stop(); stopAlloc() }
	return ctx
}

func flags() []chromedp.ExecAllocatorOption {
	var out []chromedp.ExecAllocatorOption
	for _, name := range []string{"headless", "no-sandbox", "disable-gpu", "disable-quic", "no-first-run",
		"disable-background-networking", "disable-component-update", "disable-sync", "disable-dev-shm-usage",
		"no-default-browser-check", "hide-scrollbars"} {
		out = append(out, chromedp.Flag(name, true))
	}
	return out
}

// tab is a window of the browser on a book that is served for the test.
type tab struct {
	*testing.T
	ctx  context.Context
	home string // address of the pages, without the slash

	mu         sync.Mutex
	complaints []string // what the console said
	allowed    []string // complaints that the test provokes
}

// open gives a fresh window; the console is checked when the test ends.
func open(t *testing.T, home string, size screen) *tab {
	t.Helper()
	ctx, cancel := chromedp.NewContext(started(t), chromedp.WithNewBrowserContext())
	b := &tab{T: t, ctx: ctx, home: strings.TrimSuffix(home, "/"), allowed: []string{"422 (Unprocessable"}}
	t.Cleanup(func() {
		b.checkConsole()
		cancel()
	})
	if err := chromedp.Listen(ctx, b.listen); err != nil {
		t.Fatalf("no window opens: %v", err)
	}
	b.do("set the screen", size.set())
	return b
}

// do runs actions within the time a step may take.
func (b *tab) do(what string, actions ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, actions...); err != nil {
		b.Fatalf("%s: %v\n%s", what, err, b.where())
	}
}

// where says which page the browser is on and how it begins, for a failure.
func (b *tab) where() string {
	ctx, cancel := context.WithTimeout(b.ctx, 5*time.Second)
	defer cancel()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](
		`"on " + location.href + ":\n" + (document.body ? document.body.innerText.slice(0, 1500) : "")`))
	if err != nil {
		return fmt.Sprintf("(the page cannot be read: %v)", err)
	}
	return text
}

// visit opens a path of the pages.
func (b *tab) visit(path string) {
	b.Helper()
	b.do("open "+path, chromedp.Navigate(b.home+path), chromedp.WaitReady(chromedp.CSS("main")))
}

// js evaluates an expression and gives its value; a promise is waited for.
func js[T any](b *tab, expression string) T {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.Fatalf("evaluate %.200s: %v\n%s", expression, err, b.where())
	}
	return v
}

// text is what a person reads on the page.
func (b *tab) text() string {
	b.Helper()
	return js[string](b, `document.body.innerText`)
}

// until waits for an expression to become true, whatever page comes meanwhile.
func (b *tab) until(what, expression string) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	for {
		yes, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`!!(`+expression+`)`))
		if err == nil && yes {
			return
		}
		if ctx.Err() != nil {
			b.Fatalf("waited in vain for %s (%v)\n%s", what, err, b.where())
		}
		_ = chromedp.Do(ctx, chromedp.Sleep(40*time.Millisecond)) // until the time is up
	}
}

// listen collects what the console says.
func (b *tab) listen(event any) {
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		b.complain("exception: " + thrown(e.ExceptionDetails))
	case *runtime.EventConsoleAPICalled:
		if t := string(e.Type); t == "error" || t == "warning" || t == "assert" {
			b.complain(fmt.Sprintf("console %s: %s", t, arguments(e.Args)))
		}
	case *cdplog.EventEntryAdded:
		if l := string(e.Entry.Level); l == "error" || l == "warning" {
			b.complain(fmt.Sprintf("%s: %s %s", e.Entry.Source, e.Entry.Text, e.Entry.URL))
		}
	}
}

func thrown(d *runtime.ExceptionDetails) string {
	if d.Exception != nil {
		return d.Text + " " + d.Exception.Description
	}
	return d.Text
}

func arguments(args []*runtime.RemoteObject) string {
	var out []string
	for _, a := range args {
		out = append(out, string(a.Value)+a.Description)
	}
	return strings.Join(out, " ")
}

func (b *tab) complain(s string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, a := range b.allowed {
		if strings.Contains(s, a) {
			return
		}
	}
	b.complaints = append(b.complaints, s)
}

// allow lets complaints with these words pass: those a test provokes. The browser
// notes every answer from 400 on, so a form with a mistake in it is allowed always.
func (b *tab) allow(words string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.allowed = append(b.allowed, words)
}

func (b *tab) checkConsole() {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, c := range b.complaints {
		b.Errorf("the browser's console: %s", c)
	}
}
