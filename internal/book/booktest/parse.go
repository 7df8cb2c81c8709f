package booktest

import (
	"fmt"
	"testing"

	"driftline/internal/book"
)

// Parse reads lines that every rule accepts, and names them line-0, line-1, and so on.
func Parse(t testing.TB, texts ...string) []book.Line {
	t.Helper()
	var lines []book.Line
	for i, text := range texts {
		l, err := book.ParseLine([]byte(text))
		if err == nil {
			err = book.Validate(l)
		}
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		l.ID = fmt.Sprint("line-", i)
		lines = append(lines, l)
	}
	return lines
}
