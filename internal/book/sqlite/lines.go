package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"slices"
	"strings"

	"driftline/internal/book"
)

var (
	_ book.Store  = (*Store)(nil)
	_ book.Photos = (*Store)(nil)
)

// rowsAtOnce is how many lines one statement adds: fewer round trips into
// SQLite make an import faster.
const rowsAtOnce = 64

// Append is described at book.Store.
func (s *Store) Append(ctx context.Context, lines []book.Line) (int, error) {
	if s.closed.Load() {
		return 0, ErrClosed
	}
	if s.writer == nil {
		return 0, ErrReadOnly
	}
	if len(lines) == 0 {
		return 0, nil
	}
	args, err := arguments(lines)
	if err != nil {
		return 0, err
	}
	added, err := s.insert(ctx, args)
	if err != nil {
		return 0, fault("storing", err)
	}
	return added, nil
}

const columns = 5

// arguments lists the columns of every line.
func arguments(lines []book.Line) ([]any, error) {
	args := make([]any, 0, len(lines)*columns)
	for _, l := range lines {
		text, err := book.StoredText(l)
		if err != nil {
			return nil, err
		}
		args = append(args, l.ID, l.At.UnixNano(), string(l.Kind), book.Key(l.Tank), string(text))
	}
	return args, nil
}

func (s *Store) insert(ctx context.Context, args []any) (added int, err error) {
	tx, err := s.writer.BeginTx(ctx, nil)
	if err != nil {
		return 0, err
	}
	defer tx.Rollback() // nothing is left to undo after the commit
	many, err := tx.PrepareContext(ctx, insertOf(rowsAtOnce))
	if err != nil {
		return 0, err
	}
	defer many.Close()
	for batch := range slices.Chunk(args, rowsAtOnce*columns) {
		var result sql.Result
		if len(batch) == rowsAtOnce*columns {
			result, err = many.ExecContext(ctx, batch...)
		} else {
			result, err = tx.ExecContext(ctx, insertOf(len(batch)/columns), batch...)
		}
		if err != nil {
			return 0, err
		}
		n, err := result.RowsAffected()
		if err != nil {
			return 0, err
		}
		added += int(n)
	}
	return added, tx.Commit()
}

func insertOf(rows int) string {
	return insertLines + strings.Repeat(insertRow+", ", rows-1) + insertRow + insertSkip
}

// Lines is described at book.Store.
func (s *Store) Lines(ctx context.Context) ([]book.Line, error) {
	lines, _, err := s.Since(ctx, 0)
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(lines, func(a, b book.Line) int { return a.At.Compare(b.At) })
	return lines, nil
}

// Since is described at book.Store.
func (s *Store) Since(ctx context.Context, seq int64) (lines []book.Line, newest int64, err error) {
	if s.closed.Load() {
		return nil, 0, ErrClosed
	}
	if seq == 0 { // the whole book: laid out once
		lines = s.roomForAll(ctx)
	}
	rows, err := s.reader.QueryContext(ctx, selectSince, seq)
	if err != nil {
		return nil, 0, fault("reading the book", err)
	}
	defer rows.Close()
	newest = seq
	parser := new(book.Parser)
	var text sql.RawBytes
	for rows.Next() {
		if err := rows.Scan(&newest, &text); err != nil {
			return nil, 0, fault("reading the book", err)
		}
		l, err := parser.Parse(text)
		if err != nil {
			return nil, 0, errors.Join(ErrDamaged, err)
		}
		lines = append(lines, l)
	}
	return lines, newest, fault("reading the book", rows.Err())
}

// roomForAll is room for every line of the book, by its newest number: numbers
// are hardly ever left out.
func (s *Store) roomForAll(ctx context.Context) []book.Line {
	var newest int
	if err := s.reader.QueryRowContext(ctx, selectNewest).Scan(&newest); err != nil {
		return nil // the reading of the lines will say why
	}
	return make([]book.Line, 0, min(newest, mostRoom)+spareLines)
}

// mostRoom keeps a damaged number from asking for all memory; spareLines is room
// for those to come.
const (
	mostRoom   = 1 << 20
	spareLines = 512
)
