package assets_test

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"driftline/internal/chart"
)

// policy is as strict as the one the pages are served with.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; base-uri 'none'"

var today = time.Date(2026, time.March, 12, 19, 30, 0, 0, time.UTC)

// picture is 200 days of an invented tank, tested every third day.
func picture() chart.Picture {
	p := chart.Picture{Name: "alkalinity, north window", Unit: "dKH", Decimals: 1, Zone: time.UTC, Today: today,
		State: "drifting", Now: chart.Doubted{Mean: 7.8, SD: .2}, Band: chart.Band{Low: 7.5, Aim: 8.2, High: 9}, Leaves: today.AddDate(0, 0, 12)}
	for d := -200; d <= 0; d++ {
		at := today.AddDate(0, 0, d)
		level := 7.8 - .004*float64(d)
		p.Levels = append(p.Levels, chart.Level{At: at, Mean: level, SD: .2})
		if d%3 == 0 {
			p.Readings = append(p.Readings, chart.Reading{At: at, Value: level + .3*math.Sin(float64(d)), SD: .25, Kit: "drop kit", Misread: d == -30})
		}
		if d%10 == 0 {
			p.Deeds = append(p.Deeds, chart.Deed{At: at, Kind: chart.WaterChange, Label: "water change, 40 L"})
		}
	}
	for d := range 61 {
		m, s := 7.8-.03*float64(d), .2+.01*float64(d)
		p.Fan = append(p.Fan, chart.Day{At: today.AddDate(0, 0, d), P05: m - 1.6*s, P10: m - 1.3*s, P25: m - .7*s, P50: m, P75: m + .7*s, P90: m + 1.3*s, P95: m + 1.6*s})
	}
	return p
}

// site serves one page with the chart, its drawings and nothing else.
func site(t *testing.T) string {
	t.Helper()
	at := chart.Place{ID: "picture", Src: "/drawing", Page: "/"}
	mux := http.NewServeMux()
	asked := func(r *http.Request) (chart.Picture, error) {
		span, err := chart.ParseSpan(r.URL.Query().Get("from"), r.URL.Query().Get("to"))
		if err != nil || span.From.IsZero() {
			return picture(), err
		}
		return picture().Between(span), nil
	}
	mux.HandleFunc("GET /drawing", func(w http.ResponseWriter, r *http.Request) {
		p, err := asked(r)
		if err != nil || r.URL.Query().Get("to") > "2026-05-01" {
			http.Error(w, "no drawing", http.StatusBadRequest)
			return
		}
		fmt.Fprint(w, chart.Inner(p, at))
	})
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) {
		p, _ := asked(r)
		w.Header().Set("Content-Security-Policy", policy)
		fmt.Fprint(w, `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>t</title>`,
			`<link rel="stylesheet" href="/chart.css"><script type="module" src="/built/chart.js"></script><main>`, chart.Figure(p, at), `</main></html>`)
	})
	mux.Handle("GET /", http.FileServer(http.Dir(".")))
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	return server.URL
}

// window is a browser window on the site.
type window struct {
	*testing.T
	ctx context.Context
}

func open(t *testing.T) *window {
	t.Helper()
	path := os.Getenv("DRIFTLINE_CHROMIUM")
	if path == "" {
		path, _ = exec.LookPath("chromium")
	}
	if path == "" || testing.Short() {
		if os.Getenv("DRIFTLINE_REQUIRE_BROWSER") != "" {
			t.Fatal("no Chromium is found, and DRIFTLINE_REQUIRE_BROWSER asks for it")
		}
		t.Skip("no Chromium is found (DRIFTLINE_CHROMIUM may name one), or -short: the browser test is skipped")
	}
	options := []chromedp.ExecAllocatorOption{chromedp.ExecPath(path), chromedp.WSURLReadTimeout(time.Minute)}
	for _, name := range []string{"headless", "no-sandbox", "disable-gpu", "no-first-run", "disable-background-networking", "disable-dev-shm-usage"} {
		options = append(options, chromedp.Flag(name, true))
	}
	ctx, stop := context.WithTimeout(context.Background(), 2*time.Minute)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewExecAllocator(ctx, options...)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewContext(ctx, chromedp.WithErrorf(func(string, ...any) {}))
	t.Cleanup(stop)
	return &window{t, ctx}
}

func (w *window) do(actions ...chromedp.Action[chromedp.Void]) {
	w.Helper()
	if err := chromedp.Do(w.ctx, actions...); err != nil {
		w.Fatal(err)
	}
}

func (w *window) size(width int64) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetDeviceMetricsOverride,
			emulation.SetDeviceMetricsOverrideParams{Width: width, Height: 900, DeviceScaleFactor: 1})
		return err
	})
}

func evaluate[T any](w *window, expression string) T {
	w.Helper()
	v, err := chromedp.Run(w.ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		w.Fatalf("%s: %v", expression, err)
	}
	return v
}

func (w *window) until(expression string) {
	w.Helper()
	if _, err := chromedp.Run(w.ctx, chromedp.Poll[bool](expression)); err != nil {
		w.Fatalf("waiting for %s: %v (the line says %q)", expression, err, w.line())
	}
}

func (w *window) line() string {
	return evaluate[string](w, `document.querySelector(".chart-reading").textContent`)
}

func (w *window) says(parts ...string) {
	w.Helper()
	got := w.line()
	for _, part := range parts {
		if !strings.Contains(got, part) {
			w.Errorf("the line says %q, want %q in it", got, part)
		}
	}
}

// place is where a share of the plot's width is on the screen.
func (w *window) place(share float64) (x, y float64) {
	at := evaluate[[]float64](w, fmt.Sprintf(`(() => {
		const svg = [...document.querySelectorAll("svg[data-plot]")].find((s) => s.getBoundingClientRect().width)
		const r = svg.getBoundingClientRect(), k = r.width / svg.viewBox.baseVal.width
		const [x, y, w, h] = svg.dataset.plot.split(" ").map(Number)
		return [r.left + (x + w * %g) * k, r.top + (y + h / 2) * k]
	})()`, share))
	return at[0], at[1]
}

const ready = `document.querySelector(".chart-plot").tabIndex === 0`

func TestChartInABrowser(t *testing.T) {
	home, w := site(t), open(t)
	w.do(w.size(1100), chromedp.Navigate(home+"/"))
	w.until(ready)
	w.says("arrow keys")
	t.Run("labels stand clear", func(t *testing.T) { w.labelsStandClear(t, home) })
	w.do(w.size(1100), chromedp.Navigate(home+"/"))
	w.until(ready)
	w.pointer()
	w.keys()
	w.spans()
	w.do(w.size(360), chromedp.Navigate(home+"/"))
	w.until(ready)
	w.finger()
}

// labelsStandClear measures every label as the browser sets it.
func (w *window) labelsStandClear(t *testing.T, home string) {
	for _, width := range []int64{320, 360, 500, 660, 900, 1100} {
		for _, span := range []string{"", "?from=2026-03-08&to=2026-03-14", "?from=2026-03-11&to=2026-03-12", "?from=2025-08-24&to=2026-05-11", "?from=2016-01-01&to=2026-05-11"} {
			w.do(w.size(width), chromedp.Navigate(home+"/"+span))
			w.until(ready)
			touching := evaluate[string](w, `(() => {
				const boxes = [...document.querySelectorAll(".chart-plot text")].map((e) => [e.textContent, e.getBoundingClientRect(), e.closest("svg").getBoundingClientRect()]).filter(([, b]) => b.width)
				const bad = []
				for (const [s, a, svg] of boxes) {
					if (a.left < svg.left - 1 || a.right > svg.right + 1 || a.bottom > svg.bottom + 1) bad.push(s + " leaves the drawing")
					for (const [u, b] of boxes) if (s < u && a.left < b.right && b.left < a.right && a.top + 3 < b.bottom && b.top + 3 < a.bottom) bad.push(s + " touches " + u)
				}
				return bad.join("; ") || (boxes.length < 6 ? "too few labels" : "") || (document.documentElement.scrollWidth > innerWidth ? "the page scrolls sideways" : "")
			})()`)
			if touching != "" {
				t.Errorf("at %d px, span %q: %s", width, span, touching)
			}
		}
	}
}

func (w *window) pointer() {
	x, y := w.place(0.5)
	w.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x, y))
	w.says("level ", "dKH", "± 0.2", "band 7.5 to 9.0")
	if n := evaluate[int](w, `document.querySelectorAll(".crosshair").length`); n != 1 {
		w.Errorf("%d cross hairs, want one", n)
	}
	x, y = w.place(0.95)
	w.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x, y))
	w.says("forecast ", "nine chances in ten")
}

// finger taps, and the cross stays when the finger is lifted.
func (w *window) finger() {
	x, y := w.place(0.5)
	w.do(chromedp.TapXY(x, y))
	w.says("level ", "band 7.5 to 9.0")
	if n := evaluate[int](w, `document.querySelectorAll(".phone .crosshair").length`); n != 1 {
		w.Errorf("%d cross hairs after a tap, want one", n)
	}
}

func (w *window) keys() {
	evaluate[bool](w, `(document.querySelector(".chart-plot").focus(), true)`)
	w.do(chromedp.KeyEvent(kb.Escape), chromedp.KeyEvent(kb.ArrowLeft))
	w.says("9 Mar, 19:30 · ", "by drop kit")
	if live := evaluate[string](w, `document.querySelector(".chart-reading").getAttribute("aria-live")`); live != "polite" {
		w.Errorf("the line is %q to a screen reader", live)
	}
	w.do(chromedp.KeyEvent("+"))
	w.until(`JSON.parse(document.querySelector(".chart-data").textContent).from > 1766000000 && document.activeElement.className === "chart-plot"`)
	w.says("9 Mar, 19:30")
	if at := evaluate[string](w, `location.search`); !strings.Contains(at, "from=2026-") {
		w.Errorf("the address does not keep the span: %s", at)
	}
}

func (w *window) spans() {
	evaluate[bool](w, `([...document.querySelectorAll(".chart-spans a")].find((a) => a.textContent === "30 days").click(), true)`)
	w.until(`document.activeElement.textContent === "30 days" && document.activeElement.getAttribute("aria-current") === "true"`)
	before := evaluate[int](w, `JSON.parse(document.querySelector(".chart-data").textContent).to`)
	x1, y := w.place(0.3)
	x2, _ := w.place(0.6)
	w.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMousePressed, x1, y, chromedp.ButtonLeft),
		chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x2, y, chromedp.ButtonLeft),
		chromedp.MouseEvent(input.DispatchMouseEventTypeMouseReleased, x2, y, chromedp.ButtonLeft))
	w.until(fmt.Sprintf(`JSON.parse(document.querySelector(".chart-data").textContent).to < %d`, before))
	evaluate[bool](w, `([...document.querySelectorAll(".chart-spans a")].find((a) => a.textContent === "All").click(), true)`)
	w.until(`document.querySelector(".chart-reading").textContent.startsWith("The drawing for that span could not be fetched")`)
	if n := evaluate[int](w, `document.querySelectorAll("svg[data-plot]").length`); n != 2 {
		w.Errorf("%d drawings are left after a failed request, want the two that were there", n)
	}
}
