package standing

import (
	"math"
	"time"

	"driftline/internal/book"
	"driftline/units"
)

// An equivalent of alkalinity goes with each mole of nitrate that is made from food,
// and comes back with each that is taken up or denitrified (charge balance, Wolf-
// Gladrow and others 2007, Mar. Chem. 106:287). 1 dKH is 0.35664 meq/L by definition.
const (
	nitrateMass = 62.004
	meqPerDKH   = 0.35664
)

// nitrogen sets apart, in a ledger of alkalinity, what making and taking up nitrate
// did to it: what the ledger of nitrate does not put down to doses and changes. It
// is taken out of the demand. Without readings of nitrate the ledger stays as it is.
func (d *Desk) nitrogen(f *book.Facts, l *Ledger, from, to time.Time) {
	n, err := d.Ledger(f, l.Tank, string(units.Nitrate), from, to)
	if err != nil || n.Start.After(from) {
		return
	}
	made, variance := n.To.Mean-n.From.Mean, sq(n.From.SD)+sq(n.To.SD)
	for _, e := range n.Entries {
		switch e.Name {
		case "food", "demand", "unexplained":
		default:
			made -= e.Change.Mean
			variance += sq(e.Change.SD)
		}
	}
	toNO3, err := units.Convert(units.Nitrate, 1, n.Unit, units.Nitrate.Default())
	if err != nil {
		return
	}
	per, err := units.Convert(units.Alkalinity, toNO3/nitrateMass/meqPerDKH, "dKH", l.Unit)
	if err != nil {
		return
	}
	for i := range l.Entries {
		if e := &l.Entries[i]; e.Name == "demand" {
			e.Change.Mean += made * per
			if e.Grams != nil {
				return // alkalinity is not told in grams
			}
			entry := Entry{Name: "nitrogen", Detail: "nitrate made and taken up", Change: Estimate{-made * per, math.Sqrt(variance) * per}}
			l.Entries = append(l.Entries[:i], append([]Entry{entry}, l.Entries[i:]...)...)
			break
		}
	}
	l.Sentence = sentence(*l)
}
