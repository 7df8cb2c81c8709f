package sqlite_test

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/book/sqlite"
)

func TestCheckFinds(t *testing.T) {
	tests := []struct{ name, statement, says string }{
		{"half a line", `UPDATE lines SET line = substr(line, 1, 40) WHERE seq = 7`, "row 7 cannot be read"},
		{"an id that does not match", `UPDATE lines SET id = 'other' WHERE seq = 7`, "row 7"},
		{"a time that does not match", `UPDATE lines SET at_ns = at_ns + 1 WHERE seq = 7`, "row 7"},
		{"a tank that does not match", `UPDATE lines SET tank = 'south' WHERE seq = 7`, "row 7"},
		{"a tank nobody declared", `UPDATE lines SET kind = 'note' WHERE seq = 0`, "not declared"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s, err := sqlite.Open(altered(t, test.statement), sqlite.Options{})
			if err != nil {
				t.Fatal(err)
			}
			defer s.Close()
			found, err := s.Check(t.Context())
			if err != nil || !slices.ContainsFunc(found, func(f string) bool { return strings.Contains(f, test.says) }) {
				t.Errorf("found %q, %v; want %q", found, err, test.says)
			}
		})
	}
}

func TestCheckFindsPictures(t *testing.T) {
	dir := t.TempDir()
	s, err := sqlite.Create(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	name, err := s.Put(strings.NewReader("a picture"), "jpg")
	if err != nil {
		t.Fatal(err)
	}
	missing := "sha256-" + strings.Repeat("0", 64) + ".png"
	at := time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)
	if _, err := s.Append(t.Context(), []book.Line{
		{ID: "t", Kind: book.KindTank, At: at, Body: &book.Tank{Name: "N", NetVolume: "1", Unit: "L"}},
		{ID: "p", Kind: book.KindPhoto, At: at, Tank: "N", Body: &book.Photo{File: missing}},
		{ID: "q", Kind: book.KindPhoto, At: at, Tank: "N", Body: &book.Photo{File: name}}}); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "photos", name), []byte("another picture"), 0o600); err != nil {
		t.Fatal(err)
	}
	found, err := s.Check(t.Context())
	if err != nil || len(found) != 1 || !strings.Contains(found[0], name) {
		t.Errorf("found %q, %v", found, err)
	}
	lines, err := s.Lines(t.Context())
	if lacks := s.MissingPictures(lines); err != nil || len(lacks) != 1 || !strings.Contains(lacks[0], missing) {
		t.Errorf("lacks %q, %v", lacks, err)
	}
}

// A page of the database that was overwritten is found, and said in a sentence.
func TestCheckFindsDamage(t *testing.T) {
	dir := filled(t, 2000)
	path := filepath.Join(dir, "book.db")
	content, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for i := 5 * 4096; i < 9*4096; i++ {
		content[i] = 0xAA
	}
	if err := os.WriteFile(path, content, 0o600); err != nil {
		t.Fatal(err)
	}
	s, err := sqlite.Open(dir, sqlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if found, err := s.Check(t.Context()); err != nil || len(found) == 0 || !strings.Contains(found[0], "damaged") {
		t.Errorf("found %q, %v", found, err)
	}
	if _, err := s.Lines(t.Context()); !errors.Is(err, sqlite.ErrDamaged) {
		t.Errorf("reading: %v", err)
	} else {
		plain(t, err)
	}
}
