package quickline

import (
	"fmt"
	"strings"
	"unicode"
)

// Split cuts a text into words at white space. Double quotes hold a name of
// several words together.
func Split(text string) ([]string, error) {
	var words []string
	var word strings.Builder
	inQuotes, started := false, false
	flush := func() {
		if started {
			words = append(words, word.String())
		}
		word.Reset()
		started = false
	}
	for _, r := range text {
		switch {
		case r == '"' || r == '“' || r == '”':
			inQuotes, started = !inQuotes, true
		case unicode.IsSpace(r) && !inQuotes:
			flush()
		default:
			word.WriteRune(r)
			started = true
		}
	}
	if inQuotes {
		return nil, fmt.Errorf("a quotation mark is opened and not closed")
	}
	flush()
	return words, nil
}

// clean trims the words and drops the empty ones.
func clean(words []string) []string {
	var out []string
	for _, w := range words {
		if w = strings.Join(strings.Fields(w), " "); w != "" {
			out = append(out, w)
		}
	}
	return out
}

// take removes and returns the first word, "" when there is none.
func (l *line) take() string {
	if len(l.words) == 0 {
		return ""
	}
	w := l.words[0]
	l.words = l.words[1:]
	return w
}

// takeAll removes and returns all the words that are left.
func (l *line) takeAll() string {
	text := strings.Join(l.words, " ")
	l.words = nil
	return text
}

// takeUntil removes and returns the words before the first of the keywords.
// The keyword itself goes too; found says whether there was one.
func (l *line) takeUntil(keywords ...string) (before string, found bool) {
	for i, w := range l.words {
		for _, k := range keywords {
			if strings.EqualFold(w, k) {
				before = strings.Join(l.words[:i], " ")
				l.words = l.words[i+1:]
				return before, true
			}
		}
	}
	return l.takeAll(), false
}

// drop removes the first word if it is one of those that carry no meaning.
func (l *line) drop(fillers ...string) {
	for _, f := range fillers {
		if len(l.words) > 1 && strings.EqualFold(l.words[0], f) {
			l.words = l.words[1:]
			return
		}
	}
}

// list joins names for a sentence: "a, b and c".
func list(names []string) string {
	switch len(names) {
	case 0:
		return "none"
	case 1:
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}
