package book

import (
	"fmt"
	"unicode/utf8"
)

// depthLimit bounds nesting, so that a line of brackets cannot exhaust the stack.
const depthLimit = 64

// scanner walks JSON text once, checks its grammar (RFC 8259) and finds where
// values begin and end. Written here because the standard decoder neither
// keeps numbers and unknown fields as typed nor refuses doubled names.
type scanner struct {
	buf []byte
	pos int
}

func (s *scanner) fail(want string) error {
	if s.pos >= len(s.buf) {
		return fmt.Errorf("the text ends where %s is expected", want)
	}
	column := utf8.RuneCount(s.buf[:s.pos]) + 1
	return fmt.Errorf("character %d: expected %s", column, want)
}

func (s *scanner) space() {
	for s.pos < len(s.buf) {
		switch s.buf[s.pos] {
		case ' ', '\t', '\n', '\r':
			s.pos++
		default:
			return
		}
	}
}

// peek is the next byte after white space, 0 at the end.
func (s *scanner) peek() byte {
	s.space()
	if s.pos >= len(s.buf) {
		return 0
	}
	return s.buf[s.pos]
}

func (s *scanner) expect(c byte) error {
	if s.peek() != c {
		return s.fail(fmt.Sprintf("%q", string(c)))
	}
	s.pos++
	return nil
}

// value steps over one value.
func (s *scanner) value(depth int) error {
	if depth > depthLimit {
		return fmt.Errorf("more than %d levels of brackets", depthLimit)
	}
	switch c := s.peek(); {
	case c == '"':
		_, err := s.text()
		return err
	case c == '{':
		return s.object(depth, nil)
	case c == '[':
		return s.array(depth, nil)
	case c == '-' || c >= '0' && c <= '9':
		return s.number()
	case c == 't':
		return s.word("true")
	case c == 'f':
		return s.word("false")
	case c == 'n':
		return s.word("null")
	}
	return s.fail("a value")
}

func (s *scanner) word(w string) error {
	if len(s.buf)-s.pos < len(w) || string(s.buf[s.pos:s.pos+len(w)]) != w {
		return s.fail(w)
	}
	s.pos += len(w)
	return nil
}

// object steps over an object and hands each member's name (with its quotes)
// and raw value to each.
func (s *scanner) object(depth int, each func(name, raw []byte) error) error {
	return s.list('{', '}', func() error {
		s.space()
		start := s.pos
		if _, err := s.text(); err != nil {
			return err
		}
		name := s.buf[start:s.pos]
		if err := s.expect(':'); err != nil {
			return err
		}
		raw, err := s.raw(depth + 1)
		if err != nil || each == nil {
			return err
		}
		return each(name, raw)
	})
}

// array steps over an array and hands each raw element to each.
func (s *scanner) array(depth int, each func(raw []byte) error) error {
	return s.list('[', ']', func() error {
		raw, err := s.raw(depth + 1)
		if err != nil || each == nil {
			return err
		}
		return each(raw)
	})
}

// raw steps over one value and returns its text.
func (s *scanner) raw(depth int) ([]byte, error) {
	s.space()
	start := s.pos
	err := s.value(depth)
	return s.buf[start:s.pos], err
}

// list steps over a bracketed list of items parted by commas.
func (s *scanner) list(open, shut byte, item func() error) error {
	if err := s.expect(open); err != nil {
		return err
	}
	if s.peek() == shut {
		s.pos++
		return nil
	}
	for {
		if err := item(); err != nil {
			return err
		}
		switch s.peek() {
		case ',':
			s.pos++
		case shut:
			s.pos++
			return nil
		default:
			return s.fail(fmt.Sprintf("\",\" or %q", string(shut)))
		}
	}
}

// number steps over a number by the grammar of RFC 8259 section 6.
func (s *scanner) number() error {
	if s.at('-') {
		s.pos++
	}
	if s.at('0') {
		s.pos++
	} else if !s.digits() {
		return s.fail("a digit")
	}
	if s.at('.') {
		s.pos++
		if !s.digits() {
			return s.fail("a digit after the decimal point")
		}
	}
	if s.at('e') || s.at('E') {
		s.pos++
		if s.at('+') || s.at('-') {
			s.pos++
		}
		if !s.digits() {
			return s.fail("a digit in the exponent")
		}
	}
	return nil
}

func (s *scanner) at(c byte) bool { return s.pos < len(s.buf) && s.buf[s.pos] == c }

func (s *scanner) digits() bool {
	start := s.pos
	for s.pos < len(s.buf) && s.buf[s.pos] >= '0' && s.buf[s.pos] <= '9' {
		s.pos++
	}
	return s.pos > start
}

// text steps over a string and says whether it holds escapes.
func (s *scanner) text() (escaped bool, err error) {
	if !s.at('"') {
		return false, s.fail("a name or text in quotes")
	}
	s.pos++
	for s.pos < len(s.buf) {
		switch c := s.buf[s.pos]; {
		case c == '"':
			s.pos++
			return escaped, nil
		case c < 0x20:
			return escaped, s.fail("the text to go on (a control character must be escaped)")
		case c == '\\':
			escaped = true
			if err := s.escape(); err != nil {
				return escaped, err
			}
		default:
			s.pos++
		}
	}
	return escaped, s.fail("the closing quote")
}

func (s *scanner) escape() error {
	s.pos++
	if s.pos >= len(s.buf) {
		return s.fail("an escape")
	}
	switch s.buf[s.pos] {
	case '"', '\\', '/', 'b', 'f', 'n', 'r', 't':
		s.pos++
		return nil
	case 'u':
		s.pos++
		for range 4 {
			if s.pos >= len(s.buf) || hexValue(s.buf[s.pos]) < 0 {
				return s.fail("four hexadecimal digits")
			}
			s.pos++
		}
		return nil
	}
	return s.fail("an escape such as \\n or \\u00b5")
}

func hexValue(c byte) int {
	switch {
	case c >= '0' && c <= '9':
		return int(c - '0')
	case c >= 'a' && c <= 'f':
		return int(c-'a') + 10
	case c >= 'A' && c <= 'F':
		return int(c-'A') + 10
	}
	return -1
}
