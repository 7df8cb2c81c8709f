package web

import (
	"bytes"
	"embed"
	"errors"
	"html/template"
	"net/http"
)

//go:embed pages/*.html
var pageFiles embed.FS

// screen binds a template file to the one struct it is filled with.
type screen[T any] struct{ file string }

func (p screen[T]) name() string { return p.file }
func (p screen[T]) zero() any    { var v T; return v }

// anyScreen lets the test go through all screens.
type anyScreen interface {
	name() string
	zero() any
}

// screens are the parsed templates by file.
type screens map[string]*template.Template

// loadScreens parses every page with the layout and the shared parts.
func loadScreens() (screens, error) {
	base, err := template.New("layout.html").Funcs(words).ParseFS(pageFiles, "pages/layout.html", "pages/parts.html")
	if err != nil {
		return nil, err
	}
	all := screens{}
	for _, p := range allScreens {
		t, err := base.Clone()
		if err != nil {
			return nil, err
		}
		if all[p.name()], err = t.ParseFS(pageFiles, "pages/"+p.name()); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// show renders the page whole, then sends it.
func (p screen[T]) show(s *Server, w http.ResponseWriter, status int, v T) error {
	return p.render(s, w, status, "layout.html", v)
}

// part sends one template of the page alone, for a script that puts it in.
func (p screen[T]) part(s *Server, w http.ResponseWriter, name string, v any) error {
	return p.render(s, w, http.StatusOK, name, v)
}

func (p screen[T]) render(s *Server, w http.ResponseWriter, status int, name string, v any) error {
	t, ok := s.screens[p.file]
	if !ok {
		return errors.New("no page " + p.file)
	}
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, name, v); err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "no-store") // the book is private
	w.WriteHeader(status)
	_, _ = b.WriteTo(w) // the browser may have gone
	return nil
}
