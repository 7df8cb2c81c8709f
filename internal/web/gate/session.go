package gate

import (
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"io"
	"net/http"
	"sync"
	"time"
)

const (
	cookieName   = "driftline_session"
	sessionDays  = 30
	mostSessions = 256
)

// Sessions are the logins in force. Only the hash of a token is kept, so a
// look at the memory does not hand out logins.
type Sessions struct {
	mu     sync.Mutex
	now    func() time.Time
	random io.Reader
	until  map[[32]byte]time.Time
}

// NewSessions keeps sessions by the given clock and draws tokens from random.
func NewSessions(now func() time.Time, random io.Reader) *Sessions {
	return &Sessions{now: now, random: random, until: map[[32]byte]time.Time{}}
}

// Begin starts a session and returns its cookie.
func (s *Sessions) Begin(secure bool) (*http.Cookie, error) {
	raw := make([]byte, 32)
	s.mu.Lock()
	defer s.mu.Unlock()
	if _, err := io.ReadFull(s.random, raw); err != nil {
		return nil, fmt.Errorf("no random session token: %w", err)
	}
	s.makeRoom()
	token := base64.RawURLEncoding.EncodeToString(raw)
	s.until[sha256.Sum256([]byte(token))] = s.now().AddDate(0, 0, sessionDays)
	c := cookie(token, secure)
	c.MaxAge = sessionDays * 24 * 3600
	return c, nil
}

// Holds tells whether the request carries a session in force.
func (s *Sessions) Holds(r *http.Request) bool {
	c, err := r.Cookie(cookieName)
	if err != nil {
		return false
	}
	key := sha256.Sum256([]byte(c.Value))
	s.mu.Lock()
	defer s.mu.Unlock()
	until, ok := s.until[key]
	return ok && s.now().Before(until)
}

// End closes the session of the request and returns the cookie that clears it.
func (s *Sessions) End(r *http.Request, secure bool) *http.Cookie {
	if c, err := r.Cookie(cookieName); err == nil {
		s.mu.Lock()
		delete(s.until, sha256.Sum256([]byte(c.Value)))
		s.mu.Unlock()
	}
	gone := cookie("", secure)
	gone.MaxAge = -1
	return gone
}

// makeRoom drops what has run out, then the session nearest its end.
func (s *Sessions) makeRoom() {
	var oldest [32]byte
	var end time.Time
	for k, until := range s.until {
		if !s.now().Before(until) {
			delete(s.until, k)
		} else if end.IsZero() || until.Before(end) {
			oldest, end = k, until
		}
	}
	if len(s.until) >= mostSessions {
		delete(s.until, oldest)
	}
}

func cookie(value string, secure bool) *http.Cookie {
	return &http.Cookie{Name: cookieName, Value: value, Path: "/", HttpOnly: true, Secure: secure, SameSite: http.SameSiteLaxMode}
}
