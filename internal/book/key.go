package book

import "strings"

// Key is the form under which names are matched: case-folded, trimmed, runs of
// white space taken as one space.
func Key(name string) string {
	if isKey(name) {
		return name
	}
	return strings.ToLower(strings.Join(strings.Fields(name), " "))
}

// isKey spares an allocation for the common plain lower-case name.
func isKey(name string) bool {
	last := byte(' ')
	for i := range len(name) {
		c := name[i]
		if c >= 0x80 || c >= 'A' && c <= 'Z' || c < ' ' || c == ' ' && last == ' ' {
			return false
		}
		last = c
	}
	return name == "" || last != ' '
}

// clip shortens a value quoted back to a person.
func clip(s string) string {
	const most = 48
	if len(s) <= most {
		return s
	}
	cut := most
	for cut > 0 && s[cut]&0xC0 == 0x80 {
		cut--
	}
	return s[:cut] + "…"
}
