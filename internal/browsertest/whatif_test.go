package browsertest

import (
	"net/url"
	"testing"
)

// TestPlansFollowWhatIsTyped: the fans follow the form, and the address keeps the
// question.
func TestPlansFollowWhatIsTyped(t *testing.T) {
	site := serve(t, demo(t))
	b := open(t, site.home, phone)
	b.visit("/whatif/" + url.PathEscape(testTank))
	b.judged("what if, as it stands")
	b.enter("#away", "24")
	b.says("Away 24 days")
	b.done()
	b.enter("#share", "10")
	b.enter("#every", "7")
	b.says("10 % changed every 7 days")
	b.done()
	b.judged("what if, three plans")
}
