package browsertest

import (
	"strings"
	"testing"
)

// TestATrialIsPlannedByHand: what it could show follows what is typed, it is written
// down, and its first look is on the rounds.
func TestATrialIsPlannedByHand(t *testing.T) {
	site := serve(t, demo(t))
	b := open(t, site.home, phone)
	b.visit("/trials/new?tank=reading+room&watch1=score:settled+waste&every1=3")
	b.judged("a trial, to be planned")
	b.enter("#name", "less light")
	b.enter("#matters1", "2")
	b.says("of 100 such trials")
	b.done()
	b.tap("form[action] button.main:not(form.waters button)")
	b.says("It has not begun")
	b.judged("a trial, written down")
	b.visit("/")
	if text := b.text(); !strings.Contains(text, "trial less light") {
		t.Errorf("the rounds do not ask for its looks: %s", text)
	}
}
