package book

import (
	"errors"
	"unicode/utf16"
	"unicode/utf8"
)

var errLoneSurrogate = errors.New("holds half of a surrogate pair, which is no character")

// unquote resolves the escapes of a string that the scanner has passed, quotes
// included. Half a surrogate pair is refused, since it could not be given back.
func unquote(raw []byte) ([]byte, error) {
	body := raw[1 : len(raw)-1]
	out := make([]byte, 0, len(body))
	for i := 0; i < len(body); {
		if body[i] != '\\' {
			out = append(out, body[i])
			i++
			continue
		}
		if body[i+1] != 'u' {
			out = append(out, plainEscape(body[i+1]))
			i += 2
			continue
		}
		r, n, err := unicodeEscape(body[i:])
		if err != nil {
			return nil, err
		}
		out = utf8.AppendRune(out, r)
		i += n
	}
	return out, nil
}

func plainEscape(c byte) byte {
	switch c {
	case 'b':
		return '\b'
	case 'f':
		return '\f'
	case 'n':
		return '\n'
	case 'r':
		return '\r'
	case 't':
		return '\t'
	}
	return c
}

// unicodeEscape reads \uXXXX, or two of them for a surrogate pair, and says how many bytes it took.
func unicodeEscape(b []byte) (rune, int, error) {
	r := hexRune(b)
	if !utf16.IsSurrogate(r) {
		return r, 6, nil
	}
	if len(b) < 12 || b[6] != '\\' || b[7] != 'u' {
		return 0, 0, errLoneSurrogate
	}
	pair := utf16.DecodeRune(r, hexRune(b[6:]))
	if pair == utf8.RuneError {
		return 0, 0, errLoneSurrogate
	}
	return pair, 12, nil
}

func hexRune(b []byte) rune {
	r := rune(0)
	for _, c := range b[2:6] {
		r = r<<4 | rune(hexValue(c))
	}
	return r
}

// appendText writes s as a JSON string, escaping only what must be.
func appendText(dst []byte, s string) []byte {
	const hex = "0123456789abcdef"
	dst = append(dst, '"')
	for i := range len(s) {
		switch c := s[i]; {
		case c == '"' || c == '\\':
			dst = append(dst, '\\', c)
		case c == '\n':
			dst = append(dst, `\n`...)
		case c == '\t':
			dst = append(dst, `\t`...)
		case c == '\r':
			dst = append(dst, `\r`...)
		case c < 0x20:
			dst = append(dst, `\u00`...)
			dst = append(dst, hex[c>>4], hex[c&15])
		default:
			dst = append(dst, c)
		}
	}
	return append(dst, '"')
}

// appendCompact writes a checked raw value without the white space between its tokens.
func appendCompact(dst, raw []byte) []byte {
	inText := false
	for i := 0; i < len(raw); i++ {
		c := raw[i]
		switch {
		case inText && c == '\\':
			dst = append(dst, c)
			i++
			c = raw[i]
		case c == '"':
			inText = !inText
		case !inText && (c == ' ' || c == '\t' || c == '\n' || c == '\r'):
			continue
		}
		dst = append(dst, c)
	}
	return dst
}
