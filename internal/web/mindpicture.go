package web

import (
	"bytes"
	"errors"
	"image"
	_ "image/jpeg" // the kinds of picture that phones send
	_ "image/png"
	"io"
	"net/http"
	"slices"

	"driftline/internal/away"
	"driftline/internal/book"
)

// Limits of a picture sent through a minder's link.
const (
	mindPictureBytes = 16 << 20
	mindPixels       = 50_000_000
)

// mindNormal shows a picture of when all is well, one of those on the page and no other.
func (s *Server) mindNormal(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	a, err := s.minded(w, r, f)
	if err != nil {
		return err
	}
	for _, all := range away.Normal(f, a, normalOfATank) {
		if slices.ContainsFunc(all, func(p book.Photo) bool { return p.File == r.PathValue("name") }) {
			return s.photo(w, r)
		}
	}
	return missing("There is no such page, or its time is over.")
}

// mindPicture keeps a picture that was sent.
func (s *Server) mindPicture(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	a, err := s.minded(w, r, f)
	if err != nil {
		return err
	}
	problem, err := s.takePicture(r, f, a)
	if err != nil {
		return err
	}
	if problem != "" {
		return s.showMind(w, r, http.StatusUnprocessableEntity, f, a, problem)
	}
	http.Redirect(w, r, mindPrefix+r.PathValue("secret")+"?thanks=picture", http.StatusSeeOther)
	return nil
}

func (s *Server) takePicture(r *http.Request, f *book.Facts, a away.Absence) (problem string, err error) {
	if s.Photos == nil {
		return "This book keeps no pictures. Nothing was stored.", nil
	}
	raw, fields, err := pictureSent(r)
	if err != nil {
		return sentence(err.Error()) + " Nothing was stored.", nil
	}
	kind, err := pictureKind(raw)
	if err != nil {
		return sentence(err.Error()) + " Nothing was stored.", nil
	}
	if _, ok := f.Tank(fields["tank"]); !ok {
		return "There is no such tank. Nothing was stored.", nil
	}
	if fields["id"] != "" && s.known(fields["id"]) {
		return "", nil
	}
	if !s.pictures.Take(a.Link) {
		return "Too many pictures were sent by this link today. Nothing was stored; call.", nil
	}
	name, err := s.Photos.Put(bytes.NewReader(raw), kind)
	if err != nil {
		return "", err
	}
	return s.mindKeep(r, f, a, book.KindPhoto, &book.Photo{Viewpoint: "visit", File: name}, fields)
}

// pictureSent reads the fields and the picture of a form, none of it to disk.
func pictureSent(r *http.Request) (raw []byte, fields map[string]string, err error) {
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, nil, errors.New("the picture did not arrive; send it again")
	}
	fields = map[string]string{}
	for range 10 {
		p, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, nil, errors.New("the picture did not arrive whole, or is larger than 16 MB")
		}
		limit := int64(1000)
		if p.FormName() == "picture" {
			limit = mindPictureBytes
		}
		all, err := io.ReadAll(io.LimitReader(p, limit+1))
		if err != nil || int64(len(all)) > limit {
			return nil, nil, errors.New("the picture is larger than 16 MB, or did not arrive whole")
		}
		if p.FormName() == "picture" {
			raw = all
		} else {
			fields[p.FormName()] = string(all)
		}
	}
	if len(raw) == 0 {
		return nil, nil, errors.New("no picture was chosen")
	}
	return raw, fields, nil
}

// pictureKind is the type of a picture by what is in it, never by its name.
func pictureKind(raw []byte) (string, error) {
	c, kind, err := image.DecodeConfig(bytes.NewReader(raw))
	if err != nil {
		return "", errors.New("that is not a picture of a kind that is known here; expected JPEG or PNG")
	}
	if c.Width < 2 || c.Height < 2 || c.Width*c.Height > mindPixels {
		return "", errors.New("the picture is too large or too small; expected 50 megapixels at most")
	}
	return map[string]string{"jpeg": "jpg", "png": "png"}[kind], nil
}
