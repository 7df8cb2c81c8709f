package sqlite

import (
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"time"

	_ "modernc.org/sqlite" // registers the driver
)

// writing are the settings of the connection that writes. Every transaction
// takes the write lock when it begins, so that it never fails half-way for
// another's sake, and is on the disk when it has ended. The cache (24 MB at most)
// holds the index of ids during a long import, whose new ids fall all over it.
const writing = "_pragma=journal_mode(wal)&_pragma=synchronous(full)&_pragma=cache_size(-24000)&_txlock=immediate"

// reading are those of the connections that read.
const reading = "mode=rw&_pragma=query_only(1)"

// connect prepares connections to a database file; the wait for locks is set
// before anything that may need one.
func connect(path, settings string, wait time.Duration) (*sql.DB, error) {
	full, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	place := url.URL{Scheme: "file", Path: filepath.ToSlash(full),
		RawQuery: fmt.Sprintf("_pragma=busy_timeout(%d)&%s", wait.Milliseconds(), settings)}
	return sql.Open("sqlite", place.String())
}

// readMode is how to open for reading. Where the folder cannot be written to
// and nobody has the book open, SQLite must be told that nothing changes under
// it, for it cannot make the files it keeps watch with.
func readMode(path string) string {
	if _, err := os.Stat(path + "-wal"); err == nil || writable(filepath.Dir(path)) {
		return reading
	}
	return "mode=ro&immutable=1"
}

// writable tries it out: permissions alone do not tell of a read-only medium. A
// full disk is not read-only.
func writable(dir string) bool {
	f, err := os.CreateTemp(dir, ".probe-")
	if err != nil {
		return !errors.Is(filed(err), ErrReadOnly)
	}
	f.Close()
	return os.Remove(f.Name()) == nil
}

// syncFolder makes a new name in a folder last through a power cut, where the
// system can do that.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return fault("keeping the folder", err)
	}
	defer d.Close()
	_ = d.Sync() // not every system lets a folder be synced; the file itself was
	return nil
}
