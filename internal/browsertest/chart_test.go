package browsertest

import (
	"context"
	"net/url"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

func waterPath() string { return "/tank/" + url.PathEscape(testTank) + "/" + testQuantity }

// spoken is what the chart says of the value under the cross.
func (b *tab) spoken() string {
	b.Helper()
	return js[string](b, `document.querySelector(".chart-reading").innerText`)
}

// hears waits until the chart says something other than before.
func (b *tab) hears(before string) {
	b.Helper()
	b.until("another word of the chart", `document.querySelector(".chart-reading").innerText !== `+quoted(before))
}

// spanned waits until the address carries a span other than before, and the
// drawing is there.
func (b *tab) spanned(before string) {
	b.Helper()
	b.until("another span", `location.search !== `+quoted(before)+` && location.search.includes("from=") && !document.querySelector("figure.chart[aria-busy]")`)
}

func (b *tab) query() string { return js[string](b, `location.search`) }

// TestChartByPointer: hovering reads values, dragging chooses a span.
func TestChartByPointer(t *testing.T) {
	b := open(t, serve(t, demo(t)).home, desk)
	b.visit(waterPath())
	hint := b.spoken()
	r := b.box(".chart-plot svg")
	x, y := r[0]+r[2]*0.5, r[1]+r[3]*0.5
	b.do("hover", chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x, y))
	b.hears(hint)
	first := b.spoken()
	b.do("hover elsewhere", chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x-r[2]*0.3, y))
	b.hears(first)
	before := b.query()
	b.do("drag across", chromedp.DragAndDropXY(x-r[2]*0.2, y, x+r[2]*0.2, y))
	b.spanned(before)
	b.judged("a chart, closer")
}

// TestChartByKeys: the same without a pointer.
func TestChartByKeys(t *testing.T) {
	b := open(t, serve(t, demo(t)).home, deskNight)
	b.visit(waterPath())
	hint := b.spoken()
	b.do("focus", chromedp.Focus(chromedp.CSS(".chart-plot")), chromedp.KeyEvent(kb.ArrowLeft))
	b.hears(hint)
	first := b.spoken()
	b.do("go back", chromedp.KeyEvent(kb.ArrowLeft))
	b.hears(first)
	before := b.query()
	b.do("come closer", chromedp.KeyEvent("+"))
	b.spanned(before)
	b.until("the focus to stay", `document.activeElement.classList.contains("chart-plot")`)
	b.do("put the cross away", chromedp.KeyEvent(kb.Escape))
	b.until("the hint", `document.querySelector(".chart-reading").innerText === `+quoted(hint))
}

// TestChartByFinger: a finger drawn across reads values on a phone, and the table
// beside says the same for those who can't see the drawing.
func TestChartByFinger(t *testing.T) {
	b := open(t, serve(t, demo(t)).home, phone)
	b.visit(waterPath())
	hint := b.spoken()
	r := b.box(".chart-plot svg")
	y := r[1] + r[3]*0.5
	b.do("draw a finger across", finger(input.DispatchTouchEventTypeTouchStart, r[0]+r[2]*0.7, y),
		finger(input.DispatchTouchEventTypeTouchMove, r[0]+r[2]*0.5, y))
	b.hears(hint)
	// The browser swallows a tap that follows a stroke at once, as part of it.
	b.do("lift it", finger(input.DispatchTouchEventTypeTouchEnd, 0, 0), chromedp.Sleep(time.Second))
	b.tap("figure.chart details summary")
	if rows := js[int](b, `document.querySelectorAll("figure.chart details table tbody tr").length`); rows < 10 {
		t.Errorf("the table beside the chart has %d rows", rows)
	}
	b.judged("a chart with its table")
	b.fits(phone, "a chart with its table")
	before := b.query()
	b.tap("nav.chart-spans a:not([aria-current])")
	b.spanned(before)
}

func finger(kind input.DispatchTouchEventType, x, y float64) chromedp.Action[chromedp.Void] {
	points := []*input.TouchPoint{{X: x, Y: y}}
	if kind == input.DispatchTouchEventTypeTouchEnd {
		points = []*input.TouchPoint{}
	}
	return act(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
		return err
	})
}
