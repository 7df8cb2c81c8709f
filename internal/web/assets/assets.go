package assets

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"strconv"
	"strings"
)

//go:embed *.css *.svg built/*.js
var files embed.FS

// Prefix is where the assets are served.
const Prefix = "/assets/"

// Set is the assets, ready to serve.
type Set struct {
	byPath map[string]asset
	paths  map[string]string
}

type asset struct {
	kind      string
	raw, gzip []byte
}

// sheets are joined into one style sheet in this order.
var sheets = []string{"base.css", "parts.css", "chart.css", "print.css"}

// Load reads and compresses the embedded files.
func Load() (*Set, error) {
	s := &Set{byPath: map[string]asset{}, paths: map[string]string{}}
	css, err := Sheet()
	if err != nil {
		return nil, err
	}
	if err := s.add("driftline.css", "text/css; charset=utf-8", css); err != nil {
		return nil, err
	}
	scripts, err := fs.Glob(files, "built/*.js")
	if err != nil {
		return nil, err
	}
	pictures, err := fs.Glob(files, "*.svg")
	if err != nil {
		return nil, err
	}
	for _, name := range append(scripts, pictures...) {
		b, err := files.ReadFile(name)
		if err != nil {
			return nil, err
		}
		kind := "text/javascript; charset=utf-8"
		if path.Ext(name) == ".svg" {
			kind = "image/svg+xml"
		}
		if err := s.add(path.Base(name), kind, b); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// Sheet is the style sheet of all pages.
func Sheet() ([]byte, error) {
	var css []byte
	for _, name := range sheets {
		b, err := files.ReadFile(name)
		if err != nil {
			return nil, fmt.Errorf("style sheet %s: %w", name, err)
		}
		css = append(css, b...)
	}
	return css, nil
}

func (s *Set) add(name, kind string, raw []byte) error {
	var packed bytes.Buffer
	z, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return err
	}
	if _, err := z.Write(raw); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return err
	}
	sum := sha256.Sum256(raw)
	p := Prefix + hex.EncodeToString(sum[:6]) + "/" + name
	s.paths[name], s.byPath[p] = p, asset{kind: kind, raw: raw, gzip: packed.Bytes()}
	return nil
}

// Path is the address of the named asset, empty when there is none.
func (s *Set) Path(name string) string { return s.paths[name] }

func (s *Set) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	a, ok := s.byPath[r.URL.Path]
	if !ok {
		http.NotFound(w, r)
		return
	}
	h := w.Header()
	h.Set("Content-Type", a.kind)
	h.Set("Cache-Control", "public, max-age=31536000, immutable")
	h.Set("Vary", "Accept-Encoding")
	body := a.raw
	if AcceptsGzip(r) {
		h.Set("Content-Encoding", "gzip")
		body = a.gzip
	}
	h.Set("Content-Length", strconv.Itoa(len(body)))
	if r.Method != http.MethodHead {
		_, _ = w.Write(body) // the browser may have gone
	}
}

// AcceptsGzip tells whether the browser reads gzip.
func AcceptsGzip(r *http.Request) bool {
	for _, part := range strings.Split(r.Header.Get("Accept-Encoding"), ",") {
		name, params, _ := strings.Cut(strings.TrimSpace(part), ";")
		if strings.EqualFold(name, "gzip") {
			return strings.ReplaceAll(params, " ", "") != "q=0"
		}
	}
	return false
}
