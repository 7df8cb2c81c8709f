package sqlite

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"driftline/internal/book"
)

// Check is described at book.Store. It looks at the database's own structure,
// at every line, and at every picture that is there.
func (s *Store) Check(ctx context.Context) ([]string, error) {
	if s.closed.Load() {
		return nil, ErrClosed
	}
	found, err := s.structure(ctx)
	if err != nil || len(found) > 0 {
		return found, err // what the lines say means little then
	}
	lines, found, err := s.rows(ctx)
	if err != nil {
		return nil, err
	}
	found = append(found, book.CheckLines(lines)...)
	found = append(found, s.pictures()...)
	return found, nil
}

func (s *Store) structure(ctx context.Context) ([]string, error) {
	rows, err := s.reader.QueryContext(ctx, integrity)
	if err != nil {
		return damage(err)
	}
	defer rows.Close()
	places := 0
	for rows.Next() {
		var word string
		if err := rows.Scan(&word); err != nil {
			return damage(err)
		}
		if word != "ok" {
			places++
		}
	}
	if err := rows.Err(); err != nil || places == 0 {
		return damage(err)
	}
	return []string{fmt.Sprintf("book.db is damaged: its structure does not hold together, in %d places at least", places)}, nil
}

// damage makes a finding of an error that says what Check was asked to find.
func damage(err error) ([]string, error) {
	if err == nil {
		return nil, nil
	}
	err = fault("checking the book", err)
	if errors.Is(err, ErrDamaged) || errors.Is(err, ErrNotBook) {
		return []string{ErrDamaged.Error()}, nil
	}
	return nil, err
}

// rows reads every line and compares it with the columns beside it.
func (s *Store) rows(ctx context.Context) (lines []book.Line, found []string, err error) {
	rows, err := s.reader.QueryContext(ctx, selectCheck)
	if err != nil {
		return nil, nil, fault("checking the book", err)
	}
	defer rows.Close()
	parser := new(book.Parser)
	for rows.Next() {
		var seq, atNS int64
		var id, kind, tank, text string
		if err := rows.Scan(&seq, &id, &atNS, &kind, &tank, &text); err != nil {
			return nil, nil, fault("checking the book", err)
		}
		l, err := parser.Parse([]byte(text))
		if err != nil {
			found = append(found, fmt.Sprintf("row %d cannot be read: %v", seq, err))
			continue
		}
		if l.ID != id || l.At.UnixNano() != atNS || string(l.Kind) != kind || book.Key(l.Tank) != tank {
			found = append(found, fmt.Sprintf("row %d: its columns do not say what its line says", seq))
		}
		lines = append(lines, l)
	}
	return lines, found, fault("checking the book", rows.Err())
}

// MissingPictures lists the pictures that lines name and the folder lacks. That
// is no damage: lines that were imported come without their pictures.
func (s *Store) MissingPictures(lines []book.Line) []string {
	var found []string
	folder := filepath.Join(s.dir, photoFolder)
	named := map[string]bool{}
	for _, l := range lines {
		p, ok := l.Body.(*book.Photo)
		if !ok || !photoName.MatchString(p.File) || named[p.File] {
			continue
		}
		named[p.File] = true
		if _, err := os.Stat(filepath.Join(folder, p.File)); errors.Is(err, fs.ErrNotExist) {
			found = append(found, fmt.Sprintf("line %s: the picture %s is missing", l.ID, p.File))
		}
	}
	return found
}

// pictures checks every picture that the folder holds.
func (s *Store) pictures() []string {
	var found []string
	folder := filepath.Join(s.dir, photoFolder)
	entries, err := os.ReadDir(folder)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		found = append(found, "the folder of pictures cannot be read")
	}
	for _, e := range entries {
		if m := photoName.FindStringSubmatch(e.Name()); m != nil && !hashIs(filepath.Join(folder, e.Name()), m[1]) {
			found = append(found, fmt.Sprintf("the picture %s is not what its name says", e.Name()))
		}
	}
	return found
}

func hashIs(path, want string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil {
		return false
	}
	return hex.EncodeToString(sum.Sum(nil)) == want
}
