package cli

import (
	"errors"
	"io/fs"
	"time"

	"driftline/internal/book"
	"driftline/internal/book/sqlite"
)

// openWriting opens a book to write to it.
func (j *job) openWriting(dir string) (*sqlite.Store, error) {
	return j.open(dir, sqlite.Options{})
}

// openReading opens a book to look at it.
func (j *job) openReading(dir string) (*sqlite.Store, error) {
	return j.open(dir, sqlite.Options{ReadOnly: true})
}

func (j *job) open(dir string, opt sqlite.Options) (*sqlite.Store, error) {
	if !hasBook(dir) {
		return nil, badBook("driftline init --book DIR makes one", "there is no book in %s", dir)
	}
	s, err := sqlite.Open(dir, opt)
	if err != nil {
		return nil, bookFault(dir, err)
	}
	return s, nil
}

// openOrCreate opens the book, or makes it where there is none.
func (j *job) openOrCreate(dir string) (s *sqlite.Store, created bool, err error) {
	if hasBook(dir) {
		s, err = j.openWriting(dir)
		return s, false, err
	}
	if s, err = sqlite.Create(dir); err != nil {
		return nil, false, bookFault(dir, err)
	}
	return s, true, nil
}

// bookFault gives an error of the store its code and a hint.
func bookFault(dir string, err error) error {
	hint := ""
	switch {
	case errors.Is(err, sqlite.ErrLocked):
		hint = "wait until the other process is done, and try again"
	case errors.Is(err, sqlite.ErrDamaged), errors.Is(err, sqlite.ErrNotBook):
		hint = "keep the folder as it is, and import the newest export into a new book"
	case errors.Is(err, sqlite.ErrNewer):
		hint = "use the newer version of driftline"
	case errors.Is(err, sqlite.ErrReadOnly), errors.Is(err, fs.ErrPermission):
		hint = "name another folder with --book DIR, or give yourself the right to write there"
	case errors.Is(err, sqlite.ErrFull):
		hint = "make room on the disk and try again"
	}
	return badBook(hint, "the book in %s: %w", dir, err)
}

// ofBook says whether the book itself is at fault, rather than what is done with it.
func ofBook(err error) bool {
	for _, kind := range []error{sqlite.ErrLocked, sqlite.ErrDamaged, sqlite.ErrNotBook, sqlite.ErrNewer} {
		if errors.Is(err, kind) {
			return true
		}
	}
	return false
}

// lines reads the whole book.
func (j *job) lines(dir string) ([]book.Line, error) {
	s, err := j.openReading(dir)
	if err != nil {
		return nil, err
	}
	lines, err := s.Lines(j.ctx)
	if cerr := s.Close(); err == nil {
		err = cerr
	}
	if err != nil {
		return nil, bookFault(dir, err)
	}
	return lines, nil
}

// journal keeps the book's lines in memory, under the clock of the job.
func (j *job) journal(dir string, s *sqlite.Store) (*book.Journal, error) {
	journal, err := book.OpenJournal(j.ctx, s)
	if err != nil {
		return nil, bookFault(dir, err)
	}
	journal.Now = j.Now
	return journal, nil
}

// factsAt replays the book as of a moment typed by a person. A moment without
// an offset is in the zone of the tank that is meant, or of the first tank.
func (j *job) factsAt(dir, tank, flag, moment string) (*book.Facts, time.Time, error) {
	lines, err := j.lines(dir)
	if err != nil {
		return nil, time.Time{}, err
	}
	at, err := j.moment(flag, moment, zoneOf(book.Replay(lines, farFuture), tank))
	if err != nil {
		return nil, time.Time{}, err
	}
	facts := book.Replay(lines, at)
	return facts, at, notYet(lines, facts, tank)
}

// notYet tells a tank that is declared later than the moment from one that is
// not declared at all.
func notYet(lines []book.Line, then *book.Facts, name string) error {
	if _, ok := then.Tank(name); ok || name == "" {
		return nil
	}
	t, ok := book.Replay(lines, farFuture).Tank(name)
	if !ok || len(t.Declared) == 0 {
		return nil
	}
	return usage("look from a later moment, or declare the tank anew with an earlier one",
		"%s is declared from %s on, later than %s", t.Tank.Name, longMoment(t.Declared[0].From.In(t.Location)), longMoment(then.AsOf.In(t.Location)))
}

// farFuture is later than any line a book accepts, and still a time that
// nanoseconds since 1970 can count.
var farFuture = time.Date(2262, 1, 1, 0, 0, 0, 0, time.UTC)

func zoneOf(f *book.Facts, tank string) *time.Location {
	if t, ok := f.Tank(tank); ok {
		return t.Location
	}
	if len(f.Tanks) > 0 {
		return f.Tanks[0].Location
	}
	return time.UTC
}
