package sqlite_test

import (
	"bytes"
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/book/sqlite"
)

func one(id string) []book.Line {
	return []book.Line{{ID: id, Kind: book.KindNote, At: time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC), Note: "x"}}
}

// filled makes a closed book of some size and returns its folder.
func filled(t *testing.T, lines int) string {
	t.Helper()
	dir := t.TempDir()
	s, err := sqlite.Create(dir)
	if err != nil {
		t.Fatal(err)
	}
	var batch []book.Line
	for i := range lines {
		batch = append(batch, written(i))
	}
	if _, err := s.Append(t.Context(), batch); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return dir
}

// plain makes sure that a person gets a sentence, not the driver's words.
func plain(t *testing.T, err error) {
	t.Helper()
	for _, word := range []string{"SQL", "sqlite", "SQLITE", "database disk", "malformed", "(", "\n", "!"} {
		if strings.Contains(err.Error(), word) {
			t.Errorf("%q holds %q", err, word)
		}
	}
}

func TestOpenRefuses(t *testing.T) {
	damaged := func(change func(path string, content []byte) []byte) func(t *testing.T) string {
		return func(t *testing.T) string {
			dir := filled(t, 500)
			path := filepath.Join(dir, "book.db")
			content, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(path, change(path, content), 0o600); err != nil {
				t.Fatal(err)
			}
			return dir
		}
	}
	tests := []struct {
		name string
		make func(t *testing.T) string
		want error
	}{
		{"no such folder", func(t *testing.T) string { return filepath.Join(t.TempDir(), "none") }, sqlite.ErrNoBook},
		{"a folder without a book", func(t *testing.T) string { return t.TempDir() }, sqlite.ErrNoBook},
		{"a folder in its place", func(t *testing.T) string {
			dir := t.TempDir()
			if err := os.Mkdir(filepath.Join(dir, "book.db"), 0o700); err != nil {
				t.Fatal(err)
			}
			return dir
		}, sqlite.ErrNotBook},
		{"an empty file", damaged(func(string, []byte) []byte { return nil }), sqlite.ErrDamaged},
		{"a text", damaged(func(string, []byte) []byte { return bytes.Repeat([]byte("not a book\n"), 1000) }), sqlite.ErrNotBook},
		{"cut in half", damaged(func(_ string, c []byte) []byte { return c[:len(c)/2] }), sqlite.ErrDamaged},
		{"cut within its head", damaged(func(_ string, c []byte) []byte { return c[:50] }), nil},
		{"another program's database", foreign, sqlite.ErrNotBook},
		{"a newer version's book", func(t *testing.T) string { return altered(t, `PRAGMA user_version = 999`) }, sqlite.ErrNewer},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := test.make(t)
			for _, opt := range []sqlite.Options{{}, {ReadOnly: true}} {
				s, err := sqlite.Open(dir, opt)
				if err == nil {
					s.Close()
					t.Fatal("it opened")
				}
				if test.want != nil && !errors.Is(err, test.want) {
					t.Errorf("error %v, want %v", err, test.want)
				}
				plain(t, err)
			}
		})
	}
}

// foreign is a folder whose book.db is a database of something else.
func foreign(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	execute(t, dir, `CREATE TABLE stamps (country TEXT)`)
	return dir
}

func altered(t *testing.T, statements ...string) string {
	t.Helper()
	dir := filled(t, 20)
	execute(t, dir, statements...)
	return dir
}

func execute(t *testing.T, dir string, statements ...string) {
	t.Helper()
	db, err := sql.Open("sqlite", filepath.Join(dir, "book.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for _, s := range statements {
		if _, err := db.Exec(s); err != nil {
			t.Fatal(err)
		}
	}
}

// Another program's database must stay as it is, to the byte.
func TestForeignDatabaseIsLeftAlone(t *testing.T) {
	dir := foreign(t)
	before, err := os.ReadFile(filepath.Join(dir, "book.db"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := sqlite.Open(dir, sqlite.Options{}); err == nil {
		t.Fatal("it opened")
	}
	after, _ := os.ReadFile(filepath.Join(dir, "book.db"))
	if !bytes.Equal(before, after) {
		t.Error("the file has changed")
	}
}

func TestCreateRefusesAFolderWithABook(t *testing.T) {
	dir := filled(t, 3)
	if _, err := sqlite.Create(dir); !errors.Is(err, sqlite.ErrExists) {
		t.Errorf("error %v", err)
	}
	s, err := sqlite.Open(dir, sqlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if lines, err := s.Lines(t.Context()); err != nil || len(lines) != 3 {
		t.Errorf("%d lines, %v", len(lines), err)
	}
	entries, _ := os.ReadDir(dir)
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".new") || strings.HasPrefix(e.Name(), ".probe") {
			t.Errorf("%s is left behind", e.Name())
		}
	}
}

func TestCreateWhereAFileIs(t *testing.T) {
	path := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(path, []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := sqlite.Create(filepath.Join(path, "book")); err == nil {
		t.Error("a book was made inside a file")
	}
}

// A full disk, as SQLite itself reports it when a file may not grow: nothing of
// the batch is stored, and the book works again once there is room.
func TestFullDisk(t *testing.T) {
	dir := filled(t, 20)
	s, err := sqlite.Open(dir, sqlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	room, err := sqlite.LimitPages(s, 12)
	if err != nil {
		t.Fatal(err)
	}
	var batch []book.Line
	for i := range 2000 {
		batch = append(batch, written(1000+i))
	}
	added, err := s.Append(t.Context(), batch)
	if !errors.Is(err, sqlite.ErrFull) || added != 0 {
		t.Fatalf("Append = %d, %v; want %v", added, err, sqlite.ErrFull)
	}
	plain(t, err)
	if lines, err := s.Lines(t.Context()); err != nil || len(lines) != 20 {
		t.Errorf("%d lines, %v; want the 20 from before", len(lines), err)
	}
	if err := room(); err != nil {
		t.Fatal(err)
	}
	if added, err := s.Append(t.Context(), batch); err != nil || added != 2000 {
		t.Errorf("with room again: %d, %v", added, err)
	}
}

func TestReadOnly(t *testing.T) {
	dir := filled(t, 20)
	s, err := sqlite.Open(dir, sqlite.Options{ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if lines, err := s.Lines(t.Context()); err != nil || len(lines) != 20 {
		t.Errorf("%d lines, %v", len(lines), err)
	}
	if _, err := s.Append(t.Context(), one("a")); !errors.Is(err, sqlite.ErrReadOnly) {
		t.Errorf("Append: %v", err)
	}
	if _, err := s.Put(strings.NewReader("x"), "jpg"); !errors.Is(err, sqlite.ErrReadOnly) {
		t.Errorf("Put: %v", err)
	}
}

// A reader sees what a writer adds, while both have the book open.
func TestReaderBesideWriter(t *testing.T) {
	dir := filled(t, 1)
	w, err := sqlite.Open(dir, sqlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	r, err := sqlite.Open(dir, sqlite.Options{ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if _, err := w.Append(t.Context(), one("a")); err != nil {
		t.Fatal(err)
	}
	if lines, err := r.Lines(t.Context()); err != nil || len(lines) != 2 {
		t.Errorf("%d lines, %v; want 2", len(lines), err)
	}
}

func TestReadOnlyFolder(t *testing.T) {
	dir := filled(t, 20)
	for path, mode := range map[string]fs.FileMode{filepath.Join(dir, "book.db"): 0o400, dir: 0o500} {
		if err := os.Chmod(path, mode); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(func() { os.Chmod(dir, 0o700) })
	if f, err := os.CreateTemp(dir, "probe"); err == nil {
		f.Close()
		os.Remove(f.Name())
		t.Skip("this user may write to any folder")
	}
	s, err := sqlite.Open(dir, sqlite.Options{ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if lines, err := s.Lines(t.Context()); err != nil || len(lines) != 20 {
		t.Errorf("%d lines, %v", len(lines), err)
	}
	if w, err := sqlite.Open(dir, sqlite.Options{}); !errors.Is(err, sqlite.ErrReadOnly) {
		if err == nil {
			w.Close()
		}
		t.Errorf("opening to write: %v", err)
	} else if plain(t, err); !errors.Is(err, fs.ErrPermission) {
		t.Errorf("%v is not a matter of permission", err)
	}
}

// A book opens at once while another process is in the middle of writing.
func TestOpenDoesNotWait(t *testing.T) {
	dir := filled(t, 1)
	db, err := sql.Open("sqlite", filepath.Join(dir, "book.db")+"?_txlock=immediate")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	tx, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	defer tx.Rollback()
	s, err := sqlite.Open(dir, sqlite.Options{Wait: time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	s.Close()
}

// A process that holds the write lock makes another wait, then say so.
func TestLockedBook(t *testing.T) {
	dir := filled(t, 1)
	db, err := sql.Open("sqlite", filepath.Join(dir, "book.db")+"?_txlock=immediate")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	s, err := sqlite.Open(dir, sqlite.Options{Wait: 50 * time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	tx, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	_, err = s.Append(t.Context(), one("a"))
	if !errors.Is(err, sqlite.ErrLocked) {
		t.Fatalf("error %v, want %v", err, sqlite.ErrLocked)
	}
	plain(t, err)
	if lines, err := s.Lines(t.Context()); err != nil || len(lines) != 1 {
		t.Errorf("reading meanwhile: %d lines, %v", len(lines), err)
	}
	if err := tx.Rollback(); err != nil {
		t.Fatal(err)
	}
	if added, err := s.Append(t.Context(), one("a")); err != nil || added != 1 {
		t.Errorf("once it is free: %d, %v", added, err)
	}
}

func TestClosedBook(t *testing.T) {
	s := created(t)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	_, errAppend := s.Append(t.Context(), one("a"))
	_, errLines := s.Lines(t.Context())
	_, errCheck := s.Check(t.Context())
	_, errPut := s.Put(strings.NewReader("x"), "jpg")
	for _, err := range []error{errAppend, errLines, errCheck, errPut} {
		if !errors.Is(err, sqlite.ErrClosed) {
			t.Errorf("error %v, want %v", err, sqlite.ErrClosed)
		}
	}
	if err := s.Close(); err != nil {
		t.Errorf("closing again: %v", err)
	}
}

func TestCreateWhereAFileStands(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{file, filepath.Join(file, "below")} {
		s, err := sqlite.Create(dir)
		if err == nil {
			s.Close()
			t.Fatal("a book was made")
		}
		if runtime.GOOS != "windows" && !errors.Is(err, sqlite.ErrNoFolder) {
			t.Errorf("error %v, want %v", err, sqlite.ErrNoFolder)
		}
		plain(t, err)
	}
}
