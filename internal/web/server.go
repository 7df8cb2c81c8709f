package web

import (
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"strings"
	"sync"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/internal/waterbench"
	"driftline/internal/web/assets"
	"driftline/internal/web/gate"
)

// Server is the pages of one book.
type Server struct {
	Config
	assets    *assets.Set
	screens   screens
	sessions  *gate.Sessions
	waits     *gate.Waits
	knocks    *gate.Waits // of wrong secret addresses
	strokes   *gate.Quota // lines by minders' links
	pictures  *gate.Quota // pictures by them
	login     sync.Mutex  // one guess at a time: each costs memory and time
	moments   moments
	threads   threadCache
	past      remembered[[]waterbench.Series]
	diagnoses remembered[waterbench.PHDiagnosis]
	whole     http.Handler
}

// New makes the pages ready to serve.
func New(c Config) (*Server, error) {
	if c.Log == nil {
		c.Log = slog.New(slog.NewTextHandler(io.Discard, nil))
	}
	if c.Desk == nil {
		c.Desk = standing.NewDesk()
	}
	if c.Store == nil {
		c.Store, _ = c.Photos.(book.Store)
	}
	c.Journal.Now = c.Now
	if c.PassphraseHash == "" && c.Listen != "" {
		if err := gate.CheckListen(c.Listen, ""); err != nil {
			return nil, err
		}
	}
	set, err := assets.Load()
	if err != nil {
		return nil, fmt.Errorf("the pages' assets cannot be read: %w", err)
	}
	views, err := loadScreens()
	if err != nil {
		return nil, fmt.Errorf("the pages cannot be read: %w", err)
	}
	s := &Server{Config: c, assets: set, screens: views,
		sessions: gate.NewSessions(c.Now, c.Random), waits: gate.NewWaits(c.Now),
		knocks: gate.NewWaits(c.Now), strokes: gate.NewQuota(c.Now, mindLines), pictures: gate.NewQuota(c.Now, mindPictures)}
	s.whole = s.chain(s.routes())
	return s, nil
}

// chain puts the guards in front of the pages, outermost first: headers, the
// machine's own name, other sites' requests, size, compression, login.
func (s *Server) chain(pages http.Handler) http.Handler {
	h := s.admit(pages)
	h = limitBody(h)
	h = compress(h)
	h = http.NewCrossOriginProtection().Handler(h)
	if s.Listen == "" || gate.Loopback(s.Listen) {
		h = gate.OwnHost(h)
	}
	return gate.Headers(s.calm(h))
}

func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.whole.ServeHTTP(w, r) }

// HTTP wraps the pages in a server whose time limits keep a slow visitor from
// holding it.
func (s *Server) HTTP() *http.Server {
	return &http.Server{
		Handler:           s,
		ReadHeaderTimeout: 10 * time.Second,
		ReadTimeout:       10 * time.Minute, // a large import over a slow line
		WriteTimeout:      10 * time.Minute,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    64 << 10,
		ErrorLog:          slog.NewLogLogger(s.Log.Handler(), slog.LevelDebug),
	}
}

// calm turns a fault of ours into a plain page instead of a broken connection.
func (s *Server) calm(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			if fault := recover(); fault != nil {
				s.Log.Error("a page failed", "path", r.URL.Path, "fault", fmt.Sprint(fault))
				http.Error(w, "This page failed; the book is untouched. The program's log says more.", http.StatusInternalServerError)
			}
		}()
		next.ServeHTTP(w, r)
	})
}

// limitBody refuses more than a form needs; the import page alone takes files.
func limitBody(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		limit := int64(formBytes)
		if r.URL.Path == importPath {
			limit = importBytes
		} else if strings.HasPrefix(r.URL.Path, mindPrefix) {
			limit = mindPictureBytes + formBytes
		}
		r.Body = http.MaxBytesReader(w, r.Body, limit)
		next.ServeHTTP(w, r)
	})
}
