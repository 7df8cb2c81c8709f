package browsertest

import (
	"net/url"
	"strings"
	"testing"

	"driftline/internal/book"
)

// The tank and quantity of the made-up book that the tests read.
const (
	testTank     = "raising bench"
	testQuantity = "magnesium"
)

func readPath() string { return "/read/" + url.PathEscape(testTank) + "?quantity=" + testQuantity }

// added are the lines of the book that are newer than the first so many.
func (s *site) added(t *testing.T, before map[string]bool) []book.Line {
	t.Helper()
	var out []book.Line
	for _, l := range s.journal.Lines() {
		if !before[l.ID] {
			out = append(out, l)
		}
	}
	return out
}

func (s *site) ids() map[string]bool {
	all := map[string]bool{}
	for _, l := range s.journal.Lines() {
		all[l.ID] = true
	}
	return all
}

// TestRoundsInOneTap: the first row that can be done from the list is done by
// one tap, and the page says what was kept.
func TestRoundsInOneTap(t *testing.T) {
	s := serve(t, demo(t))
	b := open(t, s.home, phone)
	before := s.ids()
	b.visit("/")
	b.says("Rounds")
	b.tap("[data-test=round] button.deed")
	b.until("a word on what was kept", `document.querySelector("[data-test=kept]") !== null`)
	b.judged("rounds, after a deed")
	if added := s.added(t, before); len(added) != 1 {
		t.Errorf("%d lines were kept, want 1", len(added))
	}
}

// TestAReadingWithWetFingers: big keys, a live word before saving, a far value
// kept only when confirmed, and the correction of it.
func TestAReadingWithWetFingers(t *testing.T) {
	s := serve(t, demo(t))
	b := open(t, s.home, phone)
	before := s.ids()
	field := "#value-" + testQuantity
	b.visit(readPath())
	b.tap(field)
	b.until("the number keys", `document.querySelector(".keys") && !document.querySelector(".keys").hidden`)
	b.judged("readings, with the keys")
	b.fits(phone, "readings, with the keys")
	for _, key := range "130" {
		b.press(string(key))
	}
	b.until("a live word that it is far off", `document.querySelector("#word-`+testQuantity+`").innerText.includes("Far from")`)
	b.press("Done")
	b.tap("form.bench button.main")
	b.until("the question whether it was read again", `document.querySelector("input[name='sure.`+testQuantity+`']") !== null`)
	if n := len(s.added(t, before)); n != 0 {
		t.Fatalf("%d lines were kept before the doubt was settled", n)
	}
	b.judged("readings, in doubt")
	b.tap("input[name='sure." + testQuantity + "']")
	b.tap("form.bench button.main")
	b.until("a word on what was kept", `document.querySelector("[data-test=kept]") !== null`)

	added := s.added(t, before)
	if len(added) != 1 {
		t.Fatalf("%d lines were kept, want 1", len(added))
	}
	if r, ok := added[0].Body.(*book.Reading); !ok || r.Value != "130" || r.Quantity != testQuantity {
		t.Errorf("kept is %+v", added[0].Body)
	}
	correct(t, s, b, added[0])
}

// press taps one of the number keys.
func (b *tab) press(key string) {
	b.Helper()
	js[int](b, `document.querySelectorAll(".keys button").forEach(e => e.toggleAttribute("data-pressed", e.textContent === `+quoted(key)+`)), 0`)
	b.tap(".keys button[data-pressed]")
}

// correct goes from what was kept to its line and corrects it.
func correct(t *testing.T, s *site, b *tab, wrong book.Line) {
	before := s.ids()
	b.tap("[data-test=kept] a")
	b.on("/log/" + wrong.ID)
	b.judged("a line of the log")
	b.enter("section[aria-labelledby=correct] #f-value", "1305")
	b.tap("section[aria-labelledby=correct] button.main")
	b.until("the correction", `!location.pathname.endsWith(`+quoted(wrong.ID)+`) || document.querySelector("[data-test=kept]") !== null`)
	added := s.added(t, before)
	if len(added) != 1 || added[0].Replaces != wrong.ID {
		t.Fatalf("the correction kept %d lines: %+v", len(added), added)
	}
	if r, ok := added[0].Body.(*book.Reading); !ok || r.Value != "1305" {
		t.Errorf("corrected to %+v", added[0].Body)
	}
	b.visit("/log")
	if text := tidy(b.text()); !strings.Contains(text, "1305") && !strings.Contains(text, "1,305") {
		t.Error("the log does not show the correction")
	}
}

// TestALostConnectionLosesNothing: what was typed stays on the page, survives a
// reload, and reaches the book once when the connection is back.
func TestALostConnectionLosesNothing(t *testing.T) {
	s := serve(t, demo(t))
	b := open(t, s.home, phone)
	before := s.ids()
	field := "#value-" + testQuantity
	b.visit(readPath())
	b.enter(field, "1304")
	b.done()
	b.visit(readPath())
	if got := b.value(field); got != "1304" {
		t.Errorf("after a reload the field holds %q", got)
	}
	b.allow("ERR_")
	s.cut.Store(true)
	b.tap("form.bench button.main")
	b.until("a word on what waits", `document.querySelector("[data-outbox] button") !== null`)
	b.judged("readings, without a connection")
	if got := b.value(field); got != "1304" {
		t.Errorf("without a connection the field holds %q", got)
	}
	s.cut.Store(false)
	b.tap("[data-outbox] button")
	b.until("an empty outbox", `document.querySelector("[data-outbox]").innerText === ""`)
	if added := s.added(t, before); len(added) != 1 {
		t.Errorf("%d lines were kept, want 1", len(added))
	}
}
