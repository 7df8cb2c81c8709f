package sqlite

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"syscall"

	driver "modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"
)

// What can be wrong with a book; match with errors.Is.
var (
	ErrNoBook   = errors.New("the folder holds no book")
	ErrExists   = errors.New("the folder holds a book already")
	ErrNotBook  = errors.New("book.db is not a book")
	ErrDamaged  = errors.New("book.db is damaged or cut short")
	ErrNoFolder = errors.New("a file stands where the book's folder, or one above it, should be")
	ErrNewer    = errors.New("the book was written by a newer version of this program")
	ErrLocked   = errors.New("another process is writing to the book and did not finish in time")
	ErrFull     = errors.New("the disk is full; nothing was stored")
	ErrReadOnly = error(readOnly{})
	ErrNoEntry  = errors.New("the book cannot be opened; look at the permissions of its folder")
	ErrDisk     = errors.New("the disk could not be read or written")
	ErrClosed   = errors.New("the book is closed")
)

// readOnly is also found by errors.Is(err, fs.ErrPermission).
type readOnly struct{}

func (readOnly) Error() string {
	return "the book cannot be written to: it, or its folder, is read-only"
}

func (readOnly) Is(target error) bool { return target == fs.ErrPermission }

// fault turns an error of the driver into one of the above, with a word of what
// was being done. The driver's text stays out of it.
func fault(doing string, err error) error {
	if err == nil || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	var d *driver.Error
	if !errors.As(err, &d) {
		return fmt.Errorf("%s: %w", doing, filed(err))
	}
	return fmt.Errorf("%s: %w", doing, byCode(d.Code()))
}

// byCode goes by SQLite's primary result code, the low byte.
func byCode(code int) error {
	switch code & 0xff {
	case lib.SQLITE_BUSY, lib.SQLITE_LOCKED:
		return ErrLocked
	case lib.SQLITE_CORRUPT:
		return ErrDamaged
	case lib.SQLITE_NOTADB:
		return ErrNotBook
	case lib.SQLITE_FULL:
		return ErrFull
	case lib.SQLITE_READONLY, lib.SQLITE_PERM:
		return ErrReadOnly
	case lib.SQLITE_CANTOPEN:
		return ErrNoEntry
	case lib.SQLITE_IOERR:
		return ErrDisk
	case lib.SQLITE_INTERRUPT:
		return context.Canceled
	}
	return fmt.Errorf("the store failed with code %d", code)
}

// filed sorts errors of the file system.
func filed(err error) error {
	switch {
	case errors.Is(err, syscall.ENOSPC):
		return ErrFull
	case errors.Is(err, syscall.EROFS), errors.Is(err, fs.ErrPermission):
		return ErrReadOnly
	case errors.Is(err, syscall.ENOTDIR):
		return ErrNoFolder
	}
	var p *fs.PathError
	if errors.As(err, &p) { // the sentence around it names the folder
		return p.Err
	}
	return err
}
