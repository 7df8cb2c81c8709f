package web

import (
	"net/http"

	"driftline/internal/book"
	"driftline/internal/standing"
)

// kept names what was just written, with the way to put it right.
type kept struct {
	Lines   []link
	Words   string
	Remarks []string // what of it cannot be counted, and how to put that right
}

// justKept reads the ids a redirect carried; only lines of the book are named.
func (s *Server) justKept(r *http.Request) *kept {
	ids := r.URL.Query()["kept"]
	if len(ids) == 0 || len(ids) > 30 {
		return nil
	}
	t := s.thread()
	k := &kept{Words: "Kept"}
	for _, id := range ids {
		l, ok := t.line(id)
		if !ok {
			continue
		}
		name := describe(l)
		if l.Kind == book.KindVoid {
			k.Words = "Retracted"
			if old, ok := t.line(l.Replaces); ok {
				name = describe(old)
			}
		}
		k.Lines = append(k.Lines, link{Name: name, Href: linePath(id)})
		if remark := standing.Unaccounted(s.Journal.Facts(s.Now()), l); remark != "" {
			k.Remarks = append(k.Remarks, remark)
		}
	}
	if len(k.Lines) == 0 {
		return nil
	}
	return k
}
