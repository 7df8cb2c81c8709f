package sqlite

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
)

var (
	photoType = regexp.MustCompile(`^[a-z0-9]{1,8}$`)
	photoName = regexp.MustCompile(`^sha256-([0-9a-f]{64})\.[a-z0-9]{1,8}$`)
)

// Put is described at book.Photos. A picture that is there already is kept once.
func (s *Store) Put(r io.Reader, ext string) (name string, err error) {
	switch ext = strings.ToLower(strings.TrimPrefix(ext, ".")); {
	case s.closed.Load():
		return "", ErrClosed
	case s.writer == nil:
		return "", ErrReadOnly
	case !photoType.MatchString(ext):
		return "", fmt.Errorf("%q is not a type of picture; expected such as jpg or png", ext)
	}
	folder := filepath.Join(s.dir, photoFolder)
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return "", fault("keeping the picture", err)
	}
	f, err := os.CreateTemp(folder, ".new-")
	if err != nil {
		return "", fault("keeping the picture", err)
	}
	defer os.Remove(f.Name()) // fails once it has its name
	sum := sha256.New()
	_, err = io.Copy(io.MultiWriter(f, sum), r)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return "", fault("keeping the picture", err)
	}
	name = "sha256-" + hex.EncodeToString(sum.Sum(nil)) + "." + ext
	if err := os.Rename(f.Name(), filepath.Join(folder, name)); err != nil {
		return "", fault("keeping the picture", err)
	}
	return name, syncFolder(folder)
}

// Open is described at book.Photos. The error is fs.ErrNotExist when the book
// has no picture of that name.
func (s *Store) Open(name string) (io.ReadCloser, error) {
	if !photoName.MatchString(name) {
		return nil, fs.ErrNotExist
	}
	f, err := os.Open(filepath.Join(s.dir, photoFolder, name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fs.ErrNotExist
	}
	if err != nil {
		return nil, fault("reading the picture", err)
	}
	return f, nil
}
