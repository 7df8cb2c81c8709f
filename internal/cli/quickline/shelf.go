package quickline

import (
	"fmt"
	"strings"

	"driftline/internal/book"
	"driftline/internal/substance"
	"driftline/units"
)

// stock reads "[added] AMOUNT UNIT SUBSTANCE [for PRICE CURRENCY]"; the substance
// may as well come before its amount.
func (l *line) stock() (book.Body, string, error) {
	s := &book.Stock{}
	if len(l.words) > 0 && strings.EqualFold(l.words[0], "added") {
		s.Added, l.words = true, l.words[1:]
	}
	paid, err := l.paid(s)
	if err != nil {
		return nil, "", err
	}
	if s.Substance, s.Amount, s.Unit, err = l.kept(); err != nil {
		return nil, "", err
	}
	said := fmt.Sprintf("%s %s of %s stands on the shelf, all there is%s", s.Amount, s.Unit, s.Substance, paid)
	if s.Added {
		said = fmt.Sprintf("%s %s of %s came on the shelf%s", s.Amount, s.Unit, s.Substance, paid)
	}
	return s, said, nil
}

// paid takes "for PRICE CURRENCY" off the end.
func (l *line) paid(s *book.Stock) (said string, err error) {
	for i := len(l.words) - 2; i > 0 && i >= len(l.words)-4; i-- {
		if !strings.EqualFold(l.words[i], "for") {
			continue
		}
		tail := line{words: append([]string(nil), l.words[i+1:]...)}
		if s.Price, err = tail.number("price"); err != nil {
			return "", err
		}
		if s.Currency = strings.ToUpper(tail.takeAll()); s.Currency == "" {
			return "", fmt.Errorf("say in which currency %s was paid, such as %s EUR", s.Price, s.Price)
		}
		l.words = l.words[:i]
		return fmt.Sprintf(", for %s %s", s.Price, s.Currency), nil
	}
	return "", nil
}

// kept reads what is on the shelf and how much, in either order.
func (l *line) kept() (name string, amount book.Number, unit string, err error) {
	if len(l.words) == 0 {
		return "", "", "", fmt.Errorf("say what is on the shelf and how much, such as 2 kg calcium chloride dihydrate")
	}
	if digits, _ := cutFigure(l.words[0]); digits != "" {
		if amount, err = l.number("amount"); err == nil {
			unit, err = l.measure()
		}
		l.drop("of")
		name = l.takeAll()
	} else {
		at := l.lastFigure()
		if at < 1 {
			return "", "", "", fmt.Errorf("say how much of %s there is, such as 2 kg", l.takeAll())
		}
		tail := line{words: append([]string(nil), l.words[at:]...)}
		name = strings.Join(l.words[:at], " ")
		if amount, err = tail.number("amount"); err == nil {
			unit, err = tail.measure()
		}
		l.words = nil
	}
	if err != nil {
		return "", "", "", err
	}
	if name == "" {
		return "", "", "", fmt.Errorf("say what the %s %s on the shelf are of", amount, unit)
	}
	return l.shelved(name), amount, unit, nil
}

// lastFigure is the last word that begins with a figure; -1 without one.
func (l *line) lastFigure() int {
	for i := len(l.words) - 1; i > 0; i-- {
		if digits, _ := cutFigure(l.words[i]); digits != "" {
			return i
		}
	}
	return -1
}

// measure takes a unit of mass or volume of one or more words.
func (l *line) measure() (string, error) {
	for n := min(3, len(l.words)); n > 0; n-- {
		text := strings.Join(l.words[:n], " ")
		unit, err := units.ParseMassUnit(text)
		if err != nil {
			unit, err = units.ParseVolumeUnit(text)
		}
		if err == nil {
			l.words = l.words[n:]
			return unit, nil
		}
	}
	return "", fmt.Errorf("unit %q is not a mass or a volume; expected such as g, kg, mL or L", l.take())
}

// shelved is the name a thing is known by in the book: of a substance, of what
// is on the shelf, of the salt of a mix; else as typed.
func (l *line) shelved(name string) string {
	if s, err := substance.Find(l.facts, name, l.at); err == nil && s.Form != "" {
		name = s.Name
	}
	for _, known := range l.things() {
		if book.Key(known) == book.Key(name) {
			return strings.TrimSpace(known)
		}
	}
	return name
}

// things are the names on the shelf and of salts and mixes.
func (l *line) things() []string {
	var out []string
	for i := range l.facts.Stock {
		if b, ok := l.facts.Stock[i].Body.(*book.Stock); ok {
			out = append(out, b.Substance)
		}
	}
	for _, d := range l.facts.Mixes {
		out = append(out, d.Body.Salt, d.Body.Name)
	}
	return out
}
