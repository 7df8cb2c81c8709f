package stoichiometry

import "strings"

// Pure is a chemical of the trade in pure form.
type Pure struct {
	Name     string
	Formula  Formula
	Synonyms []string
	Cautions []string
}

// Salts lists the built-in chemicals.
func Salts() []Pure {
	out := make([]Pure, len(salts))
	for i, s := range salts {
		s.Synonyms = append([]string(nil), s.Synonyms...)
		s.Cautions = append([]string(nil), s.Cautions...)
		out[i] = s
	}
	return out
}

// Salt finds a built-in chemical by its name, a synonym or its formula.
func Salt(name string) (Pure, bool) {
	i, ok := saltByName[plainName(name)]
	if !ok {
		return Pure{}, false
	}
	s := salts[i]
	s.Synonyms = append([]string(nil), s.Synonyms...)
	s.Cautions = append([]string(nil), s.Cautions...)
	return s, true
}

// plainName folds case, spaces, dashes, dots and subscripts.
func plainName(s string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(s) {
		switch {
		case r >= '₀' && r <= '₉':
			b.WriteRune('0' + (r - '₀'))
		case strings.ContainsRune(" \u00a0\t-–_,.·•⋅∙*'’", r):
		default:
			b.WriteRune(r)
		}
	}
	return strings.ReplaceAll(b.String(), "sulph", "sulf")
}

var saltByName = func() map[string]int {
	m := make(map[string]int)
	for i, s := range salts {
		m[plainName(s.Formula.String())] = i
		for _, n := range s.Synonyms {
			m[plainName(n)] = i
		}
		m[plainName(s.Name)] = i
	}
	return m
}()

// salt makes an entry. A formula that does not parse leaves an empty one, which
// the package's test refuses.
func salt(name, formula string, cautions []string, synonyms ...string) Pure {
	f, err := Parse(formula)
	if err != nil {
		f = Formula{}
	}
	all := append([]string{LabelFirst}, cautions...)
	return Pure{Name: name, Formula: f, Synonyms: synonyms, Cautions: append(all, Slowly)}
}
