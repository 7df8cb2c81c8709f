package quickline

import (
	"fmt"
	"strconv"
	"strings"

	"driftline/internal/book"
)

// number reads a figure as people type it, decimal comma included, and keeps its
// digits as typed. What follows the figure in the same word ("7.8dKH") is put
// back as a word of its own.
func (l *line) number(what string) (book.Number, error) {
	word := l.take()
	digits, rest := cutFigure(word)
	if digits == "" {
		if word == "" {
			return "", fmt.Errorf("%s is missing", what)
		}
		return "", fmt.Errorf("%s %q is not a number", what, word)
	}
	if rest != "" {
		l.words = append([]string{rest}, l.words...)
	}
	return plainNumber(what, digits)
}

// cutFigure parts "7.8dKH" into "7.8" and "dKH".
func cutFigure(word string) (digits, rest string) {
	word = strings.Replace(word, "−", "-", 1)
	end, seen := 0, false
	for i, r := range word {
		switch {
		case r >= '0' && r <= '9':
			seen, end = true, i+1
		case (r == '-' || r == '+') && i == 0, r == '.' || r == ',':
		default:
			return figure(word, end, seen)
		}
	}
	return figure(word, end, seen)
}

func figure(word string, end int, seen bool) (digits, rest string) {
	if !seen {
		return "", word
	}
	return word[:end], word[end:]
}

// plainNumber turns a decimal comma into a point and refuses what can be read
// two ways.
func plainNumber(what, digits string) (book.Number, error) {
	commas, points := strings.Count(digits, ","), strings.Count(digits, ".")
	plain := strings.TrimPrefix(digits, "+")
	switch {
	case commas+points > 1:
		return "", fmt.Errorf("%s %q has more than one decimal sign; write it without thousands separators", what, digits)
	case commas == 1 && couldBeThousands(plain):
		joined := strings.Replace(plain, ",", "", 1)
		return "", fmt.Errorf("%s %q can be read two ways; write %s or %s", what, digits, joined, strings.Replace(plain, ",", ".", 1))
	case commas == 1:
		plain = strings.Replace(plain, ",", ".", 1)
	}
	if strings.HasPrefix(plain, ".") {
		plain = "0" + plain
	}
	if strings.HasPrefix(plain, "-.") {
		plain = "-0" + plain[1:]
	}
	if _, err := strconv.ParseFloat(plain, 64); err != nil || len(plain) > 40 {
		return "", fmt.Errorf("%s %q is not a number", what, digits)
	}
	return book.Number(plain), nil
}

// couldBeThousands reports whether "1,236" might mean 1236: three digits after
// the comma and no leading nought before it.
func couldBeThousands(digits string) bool {
	digits = strings.TrimPrefix(digits, "-")
	before, after, _ := strings.Cut(digits, ",")
	return len(after) == 3 && before != "" && before[0] != '0'
}
