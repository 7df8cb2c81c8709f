package stoichiometry

import (
	"regexp"
	"strings"
)

var (
	anySpace    = regexp.MustCompile(`[\s\x{00a0}\x{2009}\x{202f}]+`)
	aroundDot   = regexp.MustCompile(` ?([·.]) ?`)
	afterFactor = regexp.MustCompile(`(^|[·.])([0-9.]+|½) `)
	// beforeWater is a space, or an x between spaces, where the dot should be.
	beforeWater = regexp.MustCompile(` (?:x ?)?([0-9.½]* ?H2O)`)
	// looseNumber is any other space before a number, which may belong to either side.
	looseNumber = regexp.MustCompile(` [0-9½]`)
)

// plainText gives a formula without spaces, with plain digits for subscripts and
// "·" before hydrate water. ok is false when a space leaves the reading open.
func plainText(s string) (text string, ok bool) {
	s = strings.TrimSpace(anySpace.ReplaceAllString(plainSigns(s), " "))
	s = aroundDot.ReplaceAllString(s, "$1")
	s = afterFactor.ReplaceAllString(s, "$1$2")
	s = beforeWater.ReplaceAllString(s, "·$1")
	s = afterFactor.ReplaceAllString(s, "$1$2")
	if looseNumber.MatchString(s) {
		return "", false
	}
	return stops(strings.ReplaceAll(s, " ", "")), true
}

// plainSigns turns subscripts into digits and the usual dots into "·".
func plainSigns(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= '₀' && r <= '₉':
			return '0' + (r - '₀')
		case strings.ContainsRune("•⋅∙*×‧・", r):
			return '·'
		}
		return r
	}, s)
}

// stops turns each full stop into "·" unless it is the decimal point of the
// factor that begins a part.
func stops(s string) string {
	out := []rune(s)
	start := true
	for i, r := range out {
		switch {
		case r == '.' && start && i > 0 && i+1 < len(out) && isDigit(out[i-1]) && isDigit(out[i+1]):
			start = false
		case r == '.', r == '·':
			out[i] = '·'
			start = true
		case !isDigit(r):
			start = false
		}
	}
	return string(out)
}
