package animals

import (
	"slices"
	"strings"

	"driftline/internal/book"
)

// OwnRule is the preference under which a keeper's own rule is kept: "rule of company:
// ABOUT". A value of OverRule takes it back.
const (
	OwnRule  = "rule of company: "
	OverRule = "no longer"
)

// OwnRules are the keeper's own rules, in order of what they are about.
func OwnRules(f *book.Facts) []Rule {
	var out []Rule
	for key, says := range f.Preferences {
		if about, ok := strings.CutPrefix(key, book.Key(OwnRule)+" "); ok && !strings.EqualFold(strings.TrimSpace(says), OverRule) {
			out = append(out, Rule{about, says})
		}
	}
	slices.SortFunc(out, func(a, b Rule) int { return strings.Compare(a.About, b.About) })
	return out
}
