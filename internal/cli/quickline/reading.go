package quickline

import (
	"fmt"
	"strings"

	"driftline/internal/book"
	"driftline/units"
)

// reading reads "QUANTITY VALUE [UNIT] [kit NAME]".
func (l *line) reading() (book.Body, string, error) {
	q, err := l.quantity()
	if err != nil {
		return nil, "", err
	}
	r := &book.Reading{Quantity: string(q), Below: l.takeBelow()}
	if r.Value, err = l.number("value"); err != nil {
		return nil, "", err
	}
	unit, named := l.takeUntil("kit", "with", "using")
	if err := l.chooseKit(r, q, named); err != nil {
		return nil, "", err
	}
	if r.Unit, err = l.unitOf(q, unit, r.Instrument); err != nil {
		return nil, "", err
	}
	return r, readingSaid(r), nil
}

// takeBelow hears "<0.02", "below 0.02" and "under 0.02".
func (l *line) takeBelow() bool {
	if len(l.words) == 0 {
		return false
	}
	switch first := l.words[0]; {
	case strings.EqualFold(first, "below"), strings.EqualFold(first, "under"), first == "<":
		l.words = l.words[1:]
	case strings.HasPrefix(first, "<"):
		l.words = append([]string{first[1:]}, l.words[1:]...)
	default:
		return false
	}
	return true
}

// chooseKit sets the named kit, or the only one there is for the quantity.
func (l *line) chooseKit(r *book.Reading, q units.Quantity, named bool) error {
	if named {
		name := l.takeAll()
		if name == "" {
			return fmt.Errorf("a name is missing after kit; declared for %s: %s", q, list(l.kitsOf(q)))
		}
		kit, err := l.instrument(q, name)
		r.Instrument = kit
		return err
	}
	if kits := l.kitsOf(q); len(kits) == 1 {
		r.Instrument = kits[0]
	}
	return nil
}

// unitOf settles the unit: as typed, else of the last reading, else of the kit.
func (l *line) unitOf(q units.Quantity, typed, kit string) (string, error) {
	if typed != "" {
		return units.ParseUnit(q, typed)
	}
	if last := l.lastReading(q, kit); last != nil {
		return units.ParseUnit(q, last.Unit)
	}
	if last := l.lastReading(q, ""); last != nil {
		return units.ParseUnit(q, last.Unit)
	}
	if ins, ok := l.facts.InstrumentAt(kit, string(q), l.at); ok && ins.Unit != "" {
		return units.ParseUnit(q, ins.Unit)
	}
	return "", fmt.Errorf("%s has no earlier reading to take the unit from; say one of %s", q, list(q.Units()))
}

func readingSaid(r *book.Reading) string {
	below, with := "", ""
	if r.Below {
		below = "below "
	}
	if r.Instrument != "" {
		with = ", read with the " + r.Instrument
	}
	return fmt.Sprintf("%s %s%s %s%s", r.Quantity, below, r.Value, r.Unit, with)
}
