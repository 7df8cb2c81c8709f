package book

import (
	"encoding/hex"
	"time"
)

// Absence says that the keeper is away, and who minds the tanks meanwhile.
type Absence struct {
	From  *time.Time `json:"from"`
	Until *time.Time `json:"until"`
	// EveryDays is how often somebody comes; nobody does when it is missing.
	EveryDays Number `json:"every_days,omitempty"`
	Minder    string `json:"minder,omitempty"`
	Call      string `json:"call,omitempty"` // whom to call, one a line
	// Link is the SHA-256, in hexadecimal, of the secret of the minder's link; nobody
	// gets the secret back out of it. Without one there is no link.
	Link string `json:"link,omitempty"`
}

func (*Absence) kind() Kind { return KindAbsence }
func (b *Absence) fields(c codec) {
	c.moment("from", &b.From)
	c.moment("until", &b.Until)
	c.number("every_days", &b.EveryDays)
	c.text("minder", &b.Minder)
	c.text("call", &b.Call)
	c.text("link", &b.Link)
}

// longestAbsence is in days.
const longestAbsence = 366

func (v *validator) absence(b *Absence) {
	v.name("minder", b.Minder)
	v.prose("call", b.Call)
	if b.EveryDays != "" {
		v.between("every_days", b.EveryDays, 0.25, longestAbsence, "0.25 to 366 days")
	}
	if b.Link != "" {
		if raw, err := hex.DecodeString(b.Link); err != nil || len(raw) != 32 {
			v.fail("link", "link is not a SHA-256; expected 64 hexadecimal figures")
		}
	}
	for _, m := range []struct {
		field string
		at    *time.Time
	}{{"from", b.From}, {"until", b.Until}} {
		if m.at == nil {
			v.fail(m.field, "%s is missing; expected a moment such as 2026-06-01T12:00:00+02:00", m.field)
			return
		}
		v.time(m.field, *m.at)
	}
	if days := b.Until.Sub(*b.From).Hours() / 24; !(days > 0) || days > longestAbsence {
		v.fail("until", "until is %s, from %s; expected an end after the beginning, %d days later at most",
			b.Until.Format(time.RFC3339), b.From.Format(time.RFC3339), longestAbsence)
	}
}
