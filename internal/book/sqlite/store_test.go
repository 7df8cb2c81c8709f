package sqlite_test

import (
	"testing"

	"driftline/internal/book"
	"driftline/internal/book/booktest"
	"driftline/internal/book/sqlite"
)

func TestStore(t *testing.T) {
	booktest.Run(t, func(t *testing.T) book.Store { return created(t) })
}

// created makes an empty book that is closed when the test ends.
func created(t testing.TB) *sqlite.Store {
	t.Helper()
	s, err := sqlite.Create(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}
