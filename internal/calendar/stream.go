package calendar

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"strings"
	"time"

	ical "github.com/arran4/golang-ical"
)

// refresh is how often a subscriber is asked to look again.
const refresh = "PT6H"

// Write writes the calendar as an iCalendar stream: an all-day event for each entry,
// whose identity is the same at the next reading, so that nothing doubles.
func (c Calendar) Write(to io.Writer, stamp time.Time) error {
	out := ical.NewCalendarFor("driftline")
	out.SetProductId("-//Driftline//Tanks//EN")
	out.SetMethod(ical.MethodPublish)
	out.SetName("Tanks")
	out.SetXWRCalName("Tanks")
	out.SetRefreshInterval(refresh)
	for _, e := range c.Entries {
		sum := sha256.Sum256([]byte(e.Key))
		v := out.AddEvent(hex.EncodeToString(sum[:16]) + "@driftline")
		v.SetDtStampTime(stamp)
		v.SetAllDayStartAt(e.Day)
		v.SetAllDayEndAt(e.Day.AddDate(0, 0, 1))
		title := e.Title
		if e.Tank != "" && !strings.Contains(title, e.Tank) {
			title = e.Tank + ": " + title
		}
		v.SetSummary(title)
		if e.Why != "" {
			v.SetDescription(e.Why)
		}
		v.SetTimeTransparency(ical.TransparencyTransparent)
	}
	return out.SerializeTo(to, ical.WithNewLineWindows) // CRLF, as RFC 5545 asks
}
