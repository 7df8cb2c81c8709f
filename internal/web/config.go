package web

import (
	"io"
	"log/slog"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
)

// Config is what the pages need to serve one book.
type Config struct {
	Journal *book.Journal
	Photos  book.Photos // may be nil: no pictures
	Store   book.Store  // for export and import; when nil, Photos is used where it is one too
	Desk    *standing.Desk
	Now     func() time.Time
	Random  io.Reader // for session tokens
	// PassphraseHash is what gate.ReadHash returned; empty when none is set.
	PassphraseHash string
	// Listen is the address served on, "HOST:PORT". On loopback only requests
	// that name this machine are answered.
	Listen string
	// Secure marks the cookies for encrypted connections only; set it when TLS ends here or in front.
	Secure bool
	// Zone is the time zone offered for the first tank when the browser does not say.
	Zone string
	// Remark stands on every page, such as "A rehearsed book: its tanks are made up."
	Remark string
	Log    *slog.Logger // may be nil
}

// Limits of what a visitor may send.
const (
	formBytes   = 256 << 10
	importBytes = 512 << 20
)
