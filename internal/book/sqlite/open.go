package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"sync/atomic"
	"time"
)

const (
	bookFile    = "book.db"
	photoFolder = "photos"
	defaultWait = 5 * time.Second
)

// Options says how a book is opened. The zero value reads and writes.
type Options struct {
	ReadOnly bool          // refuse to write; works on a read-only folder
	Wait     time.Duration // how long to wait for another process that writes; 5 s when zero
}

// Store is an open book.
type Store struct {
	dir    string
	writer *sql.DB // one connection; nil when read-only
	reader *sql.DB
	closed atomic.Bool
}

// Create makes a book in a folder, which it makes if need be, and opens it.
// When it fails it leaves no book behind.
func Create(dir string) (*Store, error) {
	if _, err := os.Lstat(filepath.Join(dir, bookFile)); err == nil {
		return nil, ErrExists
	}
	_, missing := os.Lstat(dir)
	err := os.MkdirAll(filepath.Join(dir, photoFolder), 0o700)
	if err == nil {
		err = lay(dir)
	}
	if err != nil && !errors.Is(err, ErrExists) {
		os.Remove(filepath.Join(dir, photoFolder)) // only when empty
		if missing != nil {
			os.Remove(dir)
		}
	}
	if err != nil {
		return nil, fault("making the book", err)
	}
	return Open(dir, Options{})
}

// lay builds the database beside its place and moves it there when it is whole.
func lay(dir string) error {
	work, err := os.MkdirTemp(dir, ".new-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	path := filepath.Join(work, bookFile)
	db, err := connect(path, "mode=rwc&"+writing, defaultWait)
	if err != nil {
		return err
	}
	db.SetMaxOpenConns(1)
	if err := errors.Join(migrate(context.Background(), db), db.Close()); err != nil {
		return err
	}
	return moveNew(path, filepath.Join(dir, bookFile))
}

// moveNew moves a file to a place that must be free: a link fails where a rename
// would overwrite what another process has just made.
func moveNew(from, to string) error {
	err := os.Link(from, to)
	if errors.Is(err, fs.ErrExist) {
		return ErrExists
	}
	if err != nil { // a file system without links
		err = os.Rename(from, to)
	}
	if err != nil {
		return err
	}
	return syncFolder(filepath.Dir(to))
}

// Open opens the book in a folder and brings its schema up to date.
func Open(dir string, opt Options) (*Store, error) {
	if opt.Wait <= 0 {
		opt.Wait = defaultWait
	}
	path := filepath.Join(dir, bookFile)
	if err := present(path); err != nil {
		return nil, err
	}
	s := &Store{dir: dir}
	if err := s.connect(path, opt); err != nil {
		s.Close()
		return nil, fault("opening the book", err)
	}
	return s, nil
}

func present(path string) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return ErrNoBook
	case err != nil:
		return fault("opening the book", err)
	case !info.Mode().IsRegular():
		return ErrNotBook
	case info.Size() == 0:
		return ErrDamaged
	}
	return nil
}

// connect looks first, through a connection that changes nothing, whether the
// file is a book at all: another program's database must stay as it is.
func (s *Store) connect(path string, opt Options) (err error) {
	if s.reader, err = connect(path, readMode(path), opt.Wait); err != nil {
		return err
	}
	s.reader.SetMaxOpenConns(4)
	ctx := context.Background()
	version, err := identify(ctx, s.reader)
	if err != nil {
		return err
	}
	if opt.ReadOnly && version == newest() {
		return nil
	}
	writer, err := connectWriter(ctx, path, version, opt.Wait)
	if err != nil {
		return err
	}
	if opt.ReadOnly { // it was opened to bring the schema up to date
		return writer.Close()
	}
	s.writer = writer
	return nil
}

// connectWriter takes no lock unless the schema must be changed: a book can be
// opened while another process is writing a long import.
func connectWriter(ctx context.Context, path string, version int, wait time.Duration) (*sql.DB, error) {
	if err := canWrite(path); err != nil {
		return nil, err
	}
	writer, err := connect(path, "mode=rw&"+writing, wait)
	if err != nil {
		return nil, err
	}
	writer.SetMaxOpenConns(1)
	if version < newest() {
		err = migrate(ctx, writer)
	} else {
		err = writer.PingContext(ctx)
	}
	if err != nil {
		return nil, errors.Join(err, writer.Close())
	}
	return writer, nil
}

// canWrite says now, not at the first line, that a book is read-only.
func canWrite(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	if !writable(filepath.Dir(path)) {
		return ErrReadOnly
	}
	return nil
}

// Close waits for what is under way and closes the book.
func (s *Store) Close() error {
	s.closed.Store(true)
	var errs []error
	for _, db := range []*sql.DB{s.reader, s.writer} { // the writer last: it tidies the write-ahead file
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	return fault("closing the book", errors.Join(errs...))
}
