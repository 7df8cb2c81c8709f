package web

import (
	"io"
	"net/http"
	"path"
	"regexp"
)

// photoName is the only form a stored picture's name has; anything else,
// such as a path out of the folder, never reaches the store.
var photoName = regexp.MustCompile(`^sha256-[0-9a-f]{64}\.(jpg|jpeg|png|gif|webp|avif|heic)$`)

var photoKinds = map[string]string{".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".png": "image/png", ".gif": "image/gif",
	".webp": "image/webp", ".avif": "image/avif", ".heic": "image/heic"}

func (s *Server) photo(w http.ResponseWriter, r *http.Request) error {
	name := r.PathValue("name")
	if s.Photos == nil || !photoName.MatchString(name) {
		return missing("The book holds no such picture.")
	}
	f, err := s.Photos.Open(name)
	if err != nil {
		s.Log.Info("no picture", "name", name, "error", err)
		return missing("The book holds no such picture.")
	}
	defer f.Close()
	w.Header().Set("Content-Type", photoKinds[path.Ext(name)])
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	_, _ = io.Copy(w, f) // the browser may have gone
	return nil
}
