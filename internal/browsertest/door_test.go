package browsertest

import (
	"crypto/rand"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"driftline/internal/web/gate"
)

// TestTheDoor: behind a passphrase nothing shows before it is given.
func TestTheDoor(t *testing.T) {
	hash, err := gate.Hash("four brown shrimps", rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, serveBehind(t, hash, demo(t)).home, phone)
	b.allow("401 (Unauthorized)")
	b.visit("/log")
	b.on("/enter")
	b.judged("the door")
	if text := b.text(); strings.Contains(text, testTank) {
		t.Errorf("the door shows the name of a tank:\n%s", text)
	}
	b.enter("#passphrase", "four brown shrimp")
	b.do("open", chromedp.KeyEvent(kb.Enter))
	b.says("That is not the passphrase")
	b.judged("the door, closed")
	b.until("the page to settle", `document.readyState === "complete"`)
	b.enter("#passphrase", "four brown shrimps")
	b.do("open", chromedp.KeyEvent(kb.Enter))
	b.on("/log")
}

// TestAReadingByKeysAlone: no pointer is needed from the rounds to the reading.
func TestAReadingByKeysAlone(t *testing.T) {
	s := serve(t, demo(t))
	b := open(t, s.home, desk)
	before := s.ids()
	b.visit(readPath())
	b.do("the skip link comes first", chromedp.KeyEvent(kb.Tab))
	b.until("the skip link", `document.activeElement.classList.contains("skip")`)
	b.do("follow it", chromedp.KeyEvent(kb.Enter))
	b.until("the main part", `document.activeElement.id === "main"`)
	for range 12 {
		if js[bool](b, `document.activeElement.matches("input[data-value]")`) {
			break
		}
		b.do("next", chromedp.KeyEvent(kb.Tab))
	}
	b.do("type and send", chromedp.KeyEvent("1303"), chromedp.KeyEvent(kb.Enter))
	b.until("a word on what was kept", `document.querySelector("[data-test=kept]") !== null`)
	if added := s.added(t, before); len(added) != 1 {
		t.Errorf("%d lines were kept, want 1", len(added))
	}
}
