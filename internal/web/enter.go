package web

import (
	"fmt"
	"math"
	"net/http"
	"strconv"
	"strings"

	"driftline/internal/web/assets"
	"driftline/internal/web/gate"
)

// enterView is the page that asks for the passphrase.
type enterView struct {
	frame
	To    string
	Error string
}

var enterScreen = screen[enterView]{"enter.html"}

// guarded tells whether the request must first give the passphrase.
func (s *Server) guarded(r *http.Request) bool {
	return s.PassphraseHash != "" && !s.sessions.Holds(r)
}

// admit lets only visitors with a session past, except to the login page, to
// what it is dressed with, and to addresses that are a secret themselves.
func (s *Server) admit(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		open := r.URL.Path == "/enter" || r.URL.Path == "/light" || strings.HasPrefix(r.URL.Path, assets.Prefix) || secretAddress(r.URL.Path)
		if open || !s.guarded(r) {
			next.ServeHTTP(w, r)
			return
		}
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			http.Error(w, "Give the passphrase first. Nothing was stored.", http.StatusUnauthorized)
			return
		}
		http.Redirect(w, r, "/enter?to="+urlQuery(r.URL.RequestURI()), http.StatusSeeOther)
	})
}

func (s *Server) enter(w http.ResponseWriter, r *http.Request) error {
	to := ownPath(r.URL.Query().Get("to"))
	if !s.guarded(r) {
		http.Redirect(w, r, to, http.StatusSeeOther)
		return nil
	}
	return enterScreen.show(s, w, http.StatusOK, enterView{frame: s.frame(r, "Passphrase", ""), To: to})
}

// enterCheck tries one passphrase at a time, so that many at once cannot slip
// past the wait or fill the memory.
func (s *Server) enterCheck(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	to := ownPath(r.PostFormValue("to"))
	s.login.Lock()
	defer s.login.Unlock()
	if left := s.waits.Left(r.RemoteAddr); left > 0 {
		secs := int(math.Ceil(left.Seconds()))
		w.Header().Set("Retry-After", strconv.Itoa(secs))
		return s.refuseEntry(w, r, to, http.StatusTooManyRequests,
			fmt.Sprintf("Too many wrong passphrases from this address. Try again in %d s.", secs))
	}
	if s.PassphraseHash == "" || !gate.Matches(s.PassphraseHash, r.PostFormValue("passphrase")) {
		s.waits.Wrong(r.RemoteAddr)
		return s.refuseEntry(w, r, to, http.StatusUnauthorized, "That is not the passphrase of this book.")
	}
	s.waits.Right(r.RemoteAddr)
	c, err := s.sessions.Begin(s.Secure)
	if err != nil {
		return err
	}
	http.SetCookie(w, c)
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

func (s *Server) refuseEntry(w http.ResponseWriter, r *http.Request, to string, status int, sentence string) error {
	v := enterView{frame: s.frame(r, "Passphrase", ""), To: to, Error: sentence}
	return enterScreen.show(s, w, status, v)
}

func (s *Server) leave(w http.ResponseWriter, r *http.Request) error {
	http.SetCookie(w, s.sessions.End(r, s.Secure))
	http.Redirect(w, r, "/enter", http.StatusSeeOther)
	return nil
}
