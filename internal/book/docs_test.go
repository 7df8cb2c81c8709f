package book_test

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"driftline/internal/book"
)

// The examples of docs/log-format.md are taken as they stand.
func TestDocumentedExamples(t *testing.T) {
	text, err := os.ReadFile("../../docs/log-format.md")
	if err != nil {
		t.Fatal(err)
	}
	s := book.NewMemory()
	for _, form := range []string{"json", "csv"} {
		block := regexp.MustCompile("(?s)```" + form + "\n(.*?)```").FindSubmatch(text)
		if block == nil {
			t.Fatalf("no example of %s", form)
		}
		r, err := book.Import(t.Context(), "", strings.NewReader(string(block[1])), s, book.ImportOptions{Now: now})
		if err != nil || len(r.Refused) > 0 || r.Added == 0 {
			t.Errorf("%s: %+v, %v", form, r, err)
		}
	}
	for _, k := range book.Kinds() {
		if !strings.Contains(string(text), "`"+string(k)+"`") {
			t.Errorf("kind %s is not described", k)
		}
	}
}
