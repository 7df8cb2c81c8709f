package web

import (
	"errors"
	"net/http"
)

// refusal is an answer that is not the page asked for, in one sentence for the visitor.
type refusal struct {
	status   int
	sentence string
}

func (r *refusal) Error() string { return r.sentence }

func missing(sentence string) error { return &refusal{http.StatusNotFound, sentence} }

// refusalView is the page that says no.
type refusalView struct {
	frame
	Sentence string
}

var refusalScreen = screen[refusalView]{"refusal.html"}

// answer runs a handler and shows what went wrong, if anything, as a page. The
// detail of a fault goes to the program's log, not to the visitor.
func (s *Server) answer(h handler) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		err := h(w, r)
		if err == nil {
			return
		}
		var no *refusal
		var large *http.MaxBytesError
		switch {
		case errors.As(err, &no):
		case errors.As(err, &large):
			no = &refusal{http.StatusRequestEntityTooLarge, "That is more than this page takes at once. Nothing was stored."}
		default:
			s.Log.Error("a page failed", "path", r.URL.Path, "error", err)
			no = &refusal{http.StatusInternalServerError, "The book could not be read or written just now. Nothing of this was stored; try again."}
		}
		title := "Not done"
		if no.status == http.StatusNotFound {
			title = "Not found"
		}
		v := refusalView{frame: s.frame(r, title, ""), Sentence: no.sentence}
		if err := refusalScreen.show(s, w, no.status, v); err != nil {
			http.Error(w, no.sentence, no.status)
		}
	}
}
