package web

import (
	"compress/gzip"
	"net/http"
	"strings"
	"sync"

	"driftline/internal/web/assets"
)

var packers = sync.Pool{New: func() any { return gzip.NewWriter(nil) }}

// compress sends text packed to a browser that can read it. Assets bring
// their own packed form and photos are packed already.
func compress(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !assets.AcceptsGzip(r) || r.Method == http.MethodHead ||
			strings.HasPrefix(r.URL.Path, assets.Prefix) || strings.HasPrefix(r.URL.Path, "/photo/") {
			next.ServeHTTP(w, r)
			return
		}
		p := &packing{ResponseWriter: w}
		defer p.close()
		next.ServeHTTP(p, r)
	})
}

// packing decides at the first byte: redirects and empty answers stay as they are.
type packing struct {
	http.ResponseWriter
	z       *gzip.Writer
	started bool
}

func (p *packing) WriteHeader(status int) {
	if !p.started {
		p.started = true
		h := p.Header()
		h.Add("Vary", "Accept-Encoding")
		if status == http.StatusOK || status >= 400 {
			h.Set("Content-Encoding", "gzip")
			h.Del("Content-Length")
			p.z = packers.Get().(*gzip.Writer)
			p.z.Reset(p.ResponseWriter)
		}
	}
	p.ResponseWriter.WriteHeader(status)
}

func (p *packing) Write(b []byte) (int, error) {
	if !p.started {
		p.WriteHeader(http.StatusOK)
	}
	if p.z == nil {
		return p.ResponseWriter.Write(b)
	}
	return p.z.Write(b)
}

func (p *packing) Unwrap() http.ResponseWriter { return p.ResponseWriter }

func (p *packing) close() {
	if p.z == nil {
		return
	}
	_ = p.z.Close() // the browser may have gone
	p.z.Reset(nil)
	packers.Put(p.z)
}
