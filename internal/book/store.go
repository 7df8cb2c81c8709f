package book

import (
	"context"
	"io"
)

// Store keeps the lines of one book. An implementation must pass the suite in
// package booktest.
//
// Append writes all the lines in one transaction and returns only when they
// are durable; a line whose ID is already stored is skipped and counted, so
// importing a file twice adds nothing. It returns how many were added.
//
// Lines returns every line, voided ones included, oldest At first (ties in
// the order they were appended). Since returns lines appended after the given
// sequence number with the newest sequence number, so that a reader can keep up
// without reading the book anew.
type Store interface {
	Append(ctx context.Context, lines []Line) (added int, err error)
	Lines(ctx context.Context) ([]Line, error)
	Since(ctx context.Context, seq int64) (lines []Line, newest int64, err error)
	Check(ctx context.Context) ([]string, error) // problems found, none when the book is sound
	Close() error
}

// Photos keeps pictures by content hash.
type Photos interface {
	// Put stores the picture and returns its name, "sha256-<hex>.<ext>".
	Put(r io.Reader, ext string) (name string, err error)
	Open(name string) (io.ReadCloser, error)
}
