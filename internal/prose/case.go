package prose

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Capital begins a sentence with a phrase, leaving pH as it is.
func Capital(s string) string { return first(s, unicode.ToUpper) }

// Lower puts a sentence behind a colon or in the middle of another.
func Lower(s string) string { return first(s, unicode.ToLower) }

func first(s string, change func(rune) rune) string {
	r, n := utf8.DecodeRuneInString(s)
	if r == utf8.RuneError || strings.HasPrefix(s, "pH") {
		return s
	}
	return string(change(r)) + s[n:]
}
