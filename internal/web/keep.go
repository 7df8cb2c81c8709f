package web

import (
	"errors"
	"net/http"
	"strings"

	"driftline/internal/book"
)

// keep writes lines to the book. What the book refuses is marked on the form
// and nothing of it is stored; an error is a fault of ours or of the disk.
func (s *Server) keep(r *http.Request, f *form, lines ...book.Line) (bool, error) {
	now := s.Now()
	for i := range lines {
		if lines[i].ID == "" {
			lines[i].ID = book.NewID(now)
		}
		if err := book.ValidateAt(lines[i], now); err != nil {
			f.fault(err)
			return false, nil
		}
		if t := strings.TrimSpace(lines[i].Tank); t != "" {
			if _, ok := s.facts().Tank(t); !ok {
				f.Error = "No tank called " + shorten(t) + " is declared. Nothing was stored."
				return false, nil
			}
		}
	}
	err := s.Journal.Append(r.Context(), lines...)
	var fault *book.Fault
	if errors.As(err, &fault) {
		f.fault(err)
		return false, nil
	}
	return err == nil, err
}

// keepOrRefuse stores a line that no form with fields stands behind.
func (s *Server) keepOrRefuse(r *http.Request, l book.Line) error {
	fm := &form{}
	ok, err := s.keep(r, fm, l)
	if err != nil || ok {
		return err
	}
	return &refusal{http.StatusUnprocessableEntity, fm.Error}
}

// known tells whether the line was stored before: the visitor sent it twice.
func (s *Server) known(id string) bool {
	_, ok := s.thread().line(id)
	return ok
}
