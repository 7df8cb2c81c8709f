package browsertest

import (
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestWaterBenchFollowsTheTyping: what follows appears while figures are typed,
// the address keeps them, and what is wrong is marked without losing the rest.
func TestWaterBenchFollowsTheTyping(t *testing.T) {
	b := open(t, serve(t, demo(t)).home, phone)
	b.visit("/water")
	b.enter("#a-ph", "7.9")
	b.enter("#a-alkalinity", "8.1")
	b.says("Carbon dioxide")
	b.until("the address of these figures", `location.search.includes("a.ph=7.9") && location.search.includes("a.alkalinity=8.1")`)
	if q := b.query(); strings.Contains(q, "calcium") || strings.Contains(q, "doubt") {
		t.Errorf("the address holds what was left empty: %s", q)
	}
	b.enter("#a-calcium", "blue")
	b.until("the mark on the figure that is none", `document.querySelector("#a-calcium").getAttribute("aria-invalid") === "true"`)
	b.says("Carbon dioxide")
	b.fits(phone, "water bench, typed")
	b.done()
	b.judged("water bench, typed")
	js[int](b, `document.querySelector("#a-calcium").value = "", 0`)
	b.enter("#a-calcium", "420")
	b.until("the mark gone", `!document.querySelector("#a-calcium").hasAttribute("aria-invalid")`)
	kept := b.query()
	b.visit("/water" + kept)
	if got := b.value("#a-calcium"); got != "420" {
		t.Errorf("the address brings back calcium %q", got)
	}
	b.says("Carbon dioxide")
}

// TestWaterBenchSideBySide: a tank's newest readings beside a declared mix, on a
// wide screen by night; the sample's temperature is asked only where it matters.
func TestWaterBenchSideBySide(t *testing.T) {
	b := open(t, serve(t, demo(t)).home, deskNight)
	b.visit("/water/" + url.PathEscape(testTank) + "?mix=bench+salt")
	b.says("Where they differ")
	b.judged("water bench, two waters")
	left, right := b.box(".water-sheet"), b.box(".water-sheet ~ .water-sheet")
	if right[0] < left[0]+left[2] {
		t.Errorf("the waters do not stand side by side: %v and %v", left, right)
	}
	if js[bool](b, `document.querySelector("#b-salinity-sample").offsetParent !== null`) {
		t.Error("a salinity in PSU is asked for its sample's temperature")
	}
	b.do("choose a unit", chromedp.SetValue(chromedp.CSS("select[name='b.salinity.unit']"), "SG 20/20"))
	b.until("the question", `document.querySelector("#b-salinity-sample").offsetParent !== null`)
}

// TestPHAndAirByNight: the picture and its table, on a phone by night and on paper.
func TestPHAndAirByNight(t *testing.T) {
	b := open(t, serve(t, demo(t)).home, phoneNight)
	b.visit("/tank/" + url.PathEscape(testTank) + "/ph-and-air")
	b.until("one drawing in sight", `[...document.querySelectorAll("svg.plane")].filter(e => e.getBoundingClientRect().width > 0).length === 1`)
	b.tap(".chart-table summary")
	b.until("the table", `document.querySelector(".chart-table table tbody tr").getBoundingClientRect().height > 0`)
	b.fits(phoneNight, "pH and the air, with the table")
	b.judged("pH and the air, with the table")
}
