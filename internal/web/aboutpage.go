package web

import "net/http"

// aboutView says what the program does, what it cannot, and the usual cautions.
type aboutView struct {
	frame
	Label, Mains string
}

var aboutScreen = screen[aboutView]{"about.html"}

func (s *Server) about(w http.ResponseWriter, r *http.Request) error {
	v := aboutView{frame: s.frame(r, "About and cautions", "settings"), Label: labelFirst, Mains: mainsFirst}
	return aboutScreen.show(s, w, http.StatusOK, v)
}
