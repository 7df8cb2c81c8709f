package sqlite_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"driftline/internal/book"
	"driftline/internal/book/booktest"
	"driftline/internal/book/sqlite"
)

// A database of every schema that was ever released opens, and nothing of it is
// lost. Each testdata/schema-N.db holds the sample lines of its day; once it is
// there it is never written again.
func TestEverySchemaOpens(t *testing.T) {
	fixtures, err := filepath.Glob("testdata/schema-*.db")
	if err != nil || len(fixtures) == 0 {
		t.Fatalf("no fixtures: %v", err)
	}
	for _, fixture := range fixtures {
		t.Run(filepath.Base(fixture), func(t *testing.T) {
			content, err := os.ReadFile(fixture)
			if err != nil {
				t.Fatal(err)
			}
			dir := t.TempDir()
			if err := os.WriteFile(filepath.Join(dir, "book.db"), content, 0o600); err != nil {
				t.Fatal(err)
			}
			for _, opt := range []sqlite.Options{{ReadOnly: true}, {}} {
				s, err := sqlite.Open(dir, opt)
				if err != nil {
					t.Fatal(err)
				}
				sameSamples(t, s)
				s.Close()
			}
		})
	}
}

func sameSamples(t *testing.T, s *sqlite.Store) {
	t.Helper()
	lines, _, err := s.Since(t.Context(), 0)
	if err != nil {
		t.Fatal(err)
	}
	var texts []string
	for _, l := range lines {
		text, err := book.AppendJSON(nil, l)
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, string(text))
	}
	if diff := cmp.Diff(booktest.SampleTexts()[:len(texts)], texts); diff != "" {
		t.Error(diff)
	}
	found, err := s.Check(t.Context())
	if err != nil || len(found) > 0 {
		t.Errorf("Check = %q, %v", found, err)
	}
	if lacks := s.MissingPictures(lines); len(lacks) != 1 || !strings.Contains(lacks[0], "picture") { // the sample's is not there
		t.Errorf("lacks %q", lacks)
	}
}
