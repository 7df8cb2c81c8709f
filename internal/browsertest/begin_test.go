package browsertest

import (
	"testing"

	"driftline/internal/book"
)

// TestFirstUse: a newcomer with an empty book comes to the first tank, kit and
// reading without reading a manual, on a phone.
func TestFirstUse(t *testing.T) {
	s := serve(t, nil)
	b := open(t, s.home, phone)
	b.visit("/")
	b.on("/begin")
	b.judged("first tank")

	b.tap("form.sheet button.main") // with nothing filled in
	b.until("a word on what is missing", `document.querySelector("[aria-invalid=true]") !== null`)
	b.judged("first tank, refused")
	b.enter("#f-name", "Harbour tank")
	b.enter("#f-net_volume", "420")
	b.done()
	b.tap("form.sheet button.main")
	b.until("the step of the kit", `document.querySelector("[aria-current=step]").innerText === "Kit"`)
	b.judged("first kit")
	b.fits(phone, "first kit")

	b.enter("#f-name", "drop kit")
	b.tap("form.sheet button.main")
	b.until("the step of the reading", `document.querySelector("[aria-current=step]").innerText === "Reading"`)
	b.judged("first reading")
	b.enter("#f-value", "7,9")
	b.done()
	b.tap("form.sheet button.main")

	b.on("/")
	b.says("Harbour tank")
	b.says("Alkalinity")
	b.judged("first rounds")
	want := []book.Kind{book.KindTank, book.KindInstrument, book.KindReading}
	lines := s.journal.Lines()
	if len(lines) != len(want) {
		t.Fatalf("the book holds %d lines, want %d", len(lines), len(want))
	}
	for i, l := range lines {
		if l.Kind != want[i] {
			t.Errorf("line %d is a %s, want a %s", i+1, l.Kind, want[i])
		}
	}
	r := lines[2].Body.(*book.Reading)
	if r.Quantity != "alkalinity" || r.Value != "7.9" || r.Instrument != "drop kit" {
		t.Errorf("the reading kept is %+v", *r)
	}
}
