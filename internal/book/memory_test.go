package book_test

import (
	"testing"

	"driftline/internal/book"
	"driftline/internal/book/booktest"
)

func TestMemory(t *testing.T) {
	booktest.Run(t, func(*testing.T) book.Store { return book.NewMemory() })
}
