package stoichiometry

import (
	"fmt"
	"strconv"
	"strings"
)

// Limits that no formula of a real chemical reaches.
const (
	maxLength = 120
	maxDepth  = 8
	maxCount  = 999
)

// Parse reads a formula such as "MgCl2·6H2O", "Ca(OH)2" or "CaCl2 * 2 H2O".
// Brackets may nest; a middle dot, asterisk or full stop stands before hydrate
// water; subscripts may be Unicode. Case matters: Co is cobalt, CO carbon monoxide.
func Parse(formula string) (Formula, error) {
	p := &parser{typed: formula}
	if len(formula) > maxLength {
		return Formula{}, fmt.Errorf("formula is %d characters long, expected at most %d", len(formula), maxLength)
	}
	text, ok := plainText(formula)
	if !ok {
		return Formula{}, p.fail("a space stands before a number, expected the number right behind its element, and a dot before hydrate water")
	}
	if text == "" {
		return Formula{}, fmt.Errorf("formula is missing, expected one such as MgCl2·6H2O")
	}
	p.in = []rune(text)
	for {
		if err := p.part(); err != nil {
			return Formula{}, err
		}
		if p.at == len(p.in) {
			break
		}
		p.at++ // the dot
	}
	return Formula{text: text, atoms: p.atoms}, nil
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

type parser struct {
	in    []rune
	typed string
	at    int
	atoms []atom
	group int
	depth int
}

func (p *parser) fail(format string, args ...any) error {
	return fmt.Errorf("formula %s: %s", short(p.typed), fmt.Sprintf(format, args...))
}

func short(s string) string {
	if r := []rune(s); len(r) > 40 {
		s = string(r[:40]) + "…"
	}
	return strconv.Quote(s)
}

// part reads an optional factor and the symbols up to a dot or the end.
func (p *parser) part() error {
	factor, err := p.factor()
	if err != nil {
		return err
	}
	first := len(p.atoms)
	if err := p.symbols(); err != nil {
		return err
	}
	if p.at < len(p.in) && p.in[p.at] != '·' {
		return p.fail("%q at place %d has no opening bracket", p.in[p.at], p.at+1)
	}
	if len(p.atoms) == first {
		return p.fail("nothing stands at place %d, expected an element", p.at+1)
	}
	own := p.atoms[first:]
	water := first > 0 && isWater(own)
	for i := range own {
		own[i].count *= factor
		own[i].water = water
	}
	return nil
}

func isWater(atoms []atom) bool {
	return len(atoms) == 2 && atoms[0].symbol == "H" && atoms[0].count == 2 && atoms[1].symbol == "O" && atoms[1].count == 1
}

// factor reads the number before a part; it may have decimals.
func (p *parser) factor() (float64, error) {
	start := p.at
	if p.at < len(p.in) && p.in[p.at] == '½' {
		p.at++
		return 0.5, nil
	}
	for p.at < len(p.in) && (isDigit(p.in[p.at]) || p.in[p.at] == '.') {
		p.at++
	}
	return p.number(start)
}

// count reads the number behind a symbol or a bracket; 1 when there is none.
func (p *parser) count() (float64, error) {
	start := p.at
	for p.at < len(p.in) && isDigit(p.in[p.at]) {
		p.at++
	}
	return p.number(start)
}

func (p *parser) number(start int) (float64, error) {
	if p.at == start {
		return 1, nil
	}
	text := string(p.in[start:p.at])
	n, err := strconv.ParseFloat(text, 64)
	if err != nil || n <= 0 || n > maxCount {
		return 0, p.fail("number %s at place %d, expected more than 0 and at most %d", text, start+1, maxCount)
	}
	return n, nil
}

// symbols reads elements and brackets until a closing bracket, a dot or the end.
func (p *parser) symbols() error {
	p.group++
	group := p.group
	for p.at < len(p.in) {
		r := p.in[p.at]
		var err error
		switch {
		case strings.ContainsRune("([{", r):
			err = p.bracket()
		case strings.ContainsRune(")]}·", r):
			return nil
		default:
			err = p.element(group)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (p *parser) bracket() error {
	open := p.at
	closing := map[rune]rune{'(': ')', '[': ']', '{': '}'}[p.in[open]]
	if p.depth++; p.depth > maxDepth {
		return p.fail("brackets nest deeper than %d", maxDepth)
	}
	p.at++
	first := len(p.atoms)
	if err := p.symbols(); err != nil {
		return err
	}
	p.depth--
	if p.at == len(p.in) || p.in[p.at] != closing {
		return p.fail("the bracket at place %d is not closed", open+1)
	}
	if len(p.atoms) == first {
		return p.fail("the bracket at place %d is empty", open+1)
	}
	p.at++
	n, err := p.count()
	if err != nil {
		return err
	}
	for i := first; i < len(p.atoms); i++ {
		p.atoms[i].count *= n
	}
	return nil
}

// element reads one symbol, the longer of two readings where both are elements.
func (p *parser) element(group int) error {
	start := p.at
	size := 1
	if start+1 < len(p.in) && p.in[start+1] >= 'a' && p.in[start+1] <= 'z' {
		size = 2
	}
	symbol := string(p.in[start : start+size])
	if _, ok := weights[symbol]; !ok {
		return p.fail("%q at place %d is not an element (capitals matter, and charges are left out)", symbol, start+1)
	}
	p.at += size
	n, err := p.count()
	if err != nil {
		return err
	}
	p.atoms = append(p.atoms, atom{symbol: symbol, own: n, count: n, group: group})
	return nil
}
