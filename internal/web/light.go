package web

import (
	"net/http"
	"strings"
)

const lightCookie = "driftline_light"

// lightOf is the theme the visitor chose: day, night, or as the device says.
func lightOf(r *http.Request) string {
	if c, err := r.Cookie(lightCookie); err == nil && (c.Value == "day" || c.Value == "night") {
		return c.Value
	}
	return "auto"
}

// light keeps the choice and goes back to the page it was made on.
func (s *Server) light(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	choice := r.PostFormValue("light")
	c := &http.Cookie{Name: lightCookie, Value: choice, Path: "/", MaxAge: 365 * 24 * 3600, HttpOnly: true,
		Secure: s.Secure, SameSite: http.SameSiteLaxMode}
	if choice != "day" && choice != "night" {
		c.Value, c.MaxAge = "", -1
	}
	http.SetCookie(w, c)
	http.Redirect(w, r, ownPath(r.PostFormValue("here")), http.StatusSeeOther)
	return nil
}

// ownPath is the address when it is a page of this book, else the first page: a
// redirect must not lead elsewhere.
func ownPath(p string) string {
	if !strings.HasPrefix(p, "/") || strings.HasPrefix(p, "//") || strings.ContainsAny(p, "\\\r\n\t") {
		return "/"
	}
	return p
}
