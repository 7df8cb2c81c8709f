package quickline

import (
	"fmt"
	"strings"

	"driftline/internal/book"
	"driftline/units"
)

// findTank takes the tank's name off the words: the whole name, or the start of
// exactly one tank's name, or nothing when the book has one tank.
func (l *line) findTank() error {
	if l.wholeName() {
		return nil
	}
	if strings.EqualFold(l.words[0], "note") && len(l.words) > 1 {
		return nil
	}
	if l.ofShelf() {
		return nil
	}
	if hits := l.startsOf(l.words[0]); len(hits) == 1 {
		l.tank, l.words = hits[0], l.words[1:]
		return nil
	} else if len(hits) > 1 {
		return fmt.Errorf("%q could be %s; write more of the name", l.words[0], list(names(hits)))
	}
	if len(l.facts.Tanks) == 1 && l.opensAnEntry() {
		l.tank = &l.facts.Tanks[0]
		return nil
	}
	if len(l.facts.Tanks) == 0 {
		return fmt.Errorf("no tank is declared yet, so nothing can be logged for %q", l.words[0])
	}
	return fmt.Errorf("no tank is called %q; there is %s", l.words[0], list(names(all(l.facts))))
}

// ofShelf tells a line about the shelf, which is no tank's.
func (l *line) ofShelf() bool {
	if !strings.EqualFold(l.words[0], "shelf") || len(l.words) < 2 {
		return false
	}
	digits, _ := cutFigure(l.words[1])
	return digits != "" || strings.EqualFold(l.words[1], "added") || len(l.startsOf(l.words[0])) == 0
}

// longestName is how many words a tank's name is tried with.
const longestName = 40

// wholeName matches the longest run of first words that is a tank's name, or
// was one before a correction.
func (l *line) wholeName() bool {
	for n := min(len(l.words), longestName); n > 0; n-- {
		if t, ok := l.facts.Tank(strings.Join(l.words[:n], " ")); ok {
			l.tank, l.words = t, l.words[n:]
			return true
		}
	}
	return false
}

func (l *line) startsOf(word string) []*book.TankFacts {
	var hits []*book.TankFacts
	for _, t := range all(l.facts) {
		if strings.HasPrefix(book.Key(t.Tank.Name), book.Key(word)) {
			hits = append(hits, t)
		}
	}
	return hits
}

// opensAnEntry reports whether the first word is a verb or a quantity, which
// says that the tank's name was left out.
func (l *line) opensAnEntry() bool {
	trial := *l
	if trial.verb(); len(trial.words) < len(l.words) {
		return true
	}
	_, err := trial.quantity()
	return err == nil
}

func all(f *book.Facts) []*book.TankFacts {
	out := make([]*book.TankFacts, len(f.Tanks))
	for i := range f.Tanks {
		out[i] = &f.Tanks[i]
	}
	return out
}

func names(tanks []*book.TankFacts) []string {
	out := make([]string, len(tanks))
	for i, t := range tanks {
		out[i] = t.Tank.Name
	}
	return out
}

// quantity takes the longest run of up to five first words that names one.
func (l *line) quantity() (units.Quantity, error) {
	for n := min(5, len(l.words)); n > 0; n-- {
		if q, err := units.ParseQuantity(strings.Join(l.words[:n], " ")); err == nil {
			l.words = l.words[n:]
			return q, nil
		}
	}
	if len(l.words) == 0 {
		return "", fmt.Errorf("nothing follows the tank's name; say what was measured or done")
	}
	_, err := units.ParseQuantity(l.words[0])
	return "", err
}

// instrument finds the kit of a quantity by its name or the start of its name.
func (l *line) instrument(q units.Quantity, name string) (string, error) {
	if ins, ok := l.facts.InstrumentAt(name, string(q), l.at); ok {
		return ins.Name, nil
	}
	kits := l.kitsOf(q)
	var hits []string
	for _, k := range kits {
		if strings.HasPrefix(book.Key(k), book.Key(name)) {
			hits = append(hits, k)
		}
	}
	if len(hits) == 1 {
		return hits[0], nil
	}
	return "", fmt.Errorf("no kit for %s is called %q; declared: %s", q, name, list(kits))
}

// kitsOf lists the names of the instruments declared for a quantity, each once.
func (l *line) kitsOf(q units.Quantity) []string {
	var out []string
	seen := map[string]bool{}
	for _, d := range l.facts.Instruments {
		got, err := units.ParseQuantity(d.Body.Quantity)
		if err != nil || got != q || seen[book.Key(d.Body.Name)] {
			continue
		}
		seen[book.Key(d.Body.Name)] = true
		out = append(out, d.Body.Name)
	}
	return out
}

// lastReading is the newest reading of a quantity, of the kit when one is named.
func (l *line) lastReading(q units.Quantity, kit string) *book.Reading {
	for i := len(l.tank.Events) - 1; i >= 0; i-- {
		r, ok := l.tank.Events[i].Body.(*book.Reading)
		if !ok {
			continue
		}
		got, err := units.ParseQuantity(r.Quantity)
		if err != nil || got != q || (kit != "" && book.Key(kit) != book.Key(r.Instrument)) {
			continue
		}
		return r
	}
	return nil
}
