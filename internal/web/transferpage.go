package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"

	"driftline/internal/book"
	"driftline/internal/prose"
)

// transferView is the way out of and into the book.
type transferView struct {
	frame
	Lines   string
	Done    string
	Refused []book.Refusal
	Error   string
	Offered bool
}

var transferScreen = screen[transferView]{"transfer.html"}

func (s *Server) transferView(r *http.Request) transferView {
	return transferView{frame: s.frame(r, "Export and import", "settings"), Lines: thousands(len(s.Journal.Lines())), Offered: s.Store != nil}
}

func (s *Server) transfer(w http.ResponseWriter, r *http.Request) error {
	return transferScreen.show(s, w, http.StatusOK, s.transferView(r))
}

func (s *Server) exportJSONL(w http.ResponseWriter, r *http.Request) error {
	return s.export(w, r, "driftline.jsonl", "application/x-ndjson", book.ExportJSONL)
}

func (s *Server) exportCSV(w http.ResponseWriter, r *http.Request) error {
	return s.export(w, r, "driftline-readings.csv", "text/csv; charset=utf-8", book.ExportCSV)
}

func (s *Server) export(w http.ResponseWriter, r *http.Request, name, kind string, write func(ctx context.Context, st book.Store, w io.Writer) error) error {
	if s.Store == nil {
		return missing("This book cannot be exported from here.")
	}
	h := w.Header()
	h.Set("Content-Type", kind)
	h.Set("Content-Disposition", `attachment; filename="`+name+`"`)
	h.Set("Cache-Control", "no-store")
	return write(r.Context(), s.Store, w)
}

// importFile reads the upload as it comes, never whole into memory.
func (s *Server) importFile(w http.ResponseWriter, r *http.Request) error {
	if s.Store == nil {
		return missing("This book takes no import from here.")
	}
	rep, err := s.readUpload(r)
	v := transferView{}
	status := http.StatusOK
	var no *refusal
	switch {
	case errors.As(err, &no):
		status = no.status
		v.Error = no.sentence
	case err != nil:
		return err
	default:
		v.Done, v.Refused = reportWords(rep), rep.Refused
		if len(v.Refused) > 200 {
			v.Refused = v.Refused[:200]
		}
		if len(rep.Refused) > 0 {
			status = http.StatusUnprocessableEntity
		}
	}
	full := s.transferView(r)
	full.Done, full.Refused, full.Error = v.Done, v.Refused, v.Error
	return transferScreen.show(s, w, status, full)
}

func (s *Server) readUpload(r *http.Request) (book.Report, error) {
	parts, err := r.MultipartReader()
	if err != nil {
		return book.Report{}, badForm(err)
	}
	opt := book.ImportOptions{Now: s.Now()}
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			return book.Report{}, &refusal{http.StatusUnprocessableEntity, "No file was chosen. Nothing was stored."}
		}
		if err != nil {
			return book.Report{}, badForm(err)
		}
		switch part.FormName() {
		case "strict":
			opt.Strict = true
		case "file":
			return s.takeFile(r, part, opt)
		}
	}
}

func (s *Server) takeFile(r *http.Request, part *multipart.Part, opt book.ImportOptions) (book.Report, error) {
	name := part.FileName()
	if name == "" {
		return book.Report{}, &refusal{http.StatusUnprocessableEntity, "No file was chosen. Nothing was stored."}
	}
	rep, err := book.Import(r.Context(), name, part, s.Store, opt)
	var fault *book.Fault
	if errors.As(err, &fault) {
		return rep, &refusal{http.StatusUnprocessableEntity, prose.Capital(fault.Reason) + "."}
	}
	if err != nil {
		return rep, err
	}
	_, err = s.Journal.Refresh(r.Context())
	return rep, err
}

func reportWords(rep book.Report) string {
	lines, were := "lines", "were"
	if rep.Added == 1 {
		lines = "line"
	}
	if rep.Skipped == 1 {
		were = "was"
	}
	out := fmt.Sprintf("%s %s added, %s %s in the book already", thousands(rep.Added), lines, thousands(rep.Skipped), were)
	if n := len(rep.Refused) + rep.Unlisted; n > 0 {
		return out + ", " + thousands(n) + " refused."
	}
	return out + ", none refused."
}
