package booktest

import (
	"bytes"
	"io"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
)

func moment(hour int) time.Time {
	return time.Date(2025, 1, 1, hour, 0, 0, 0, time.FixedZone("", 3600))
}

func note(id string, hour int) book.Line {
	return book.Line{ID: id, Kind: book.KindNote, At: moment(hour), Note: "note " + id}
}

func add(t *testing.T, s book.Store, want int, lines ...book.Line) {
	t.Helper()
	if added, err := s.Append(t.Context(), lines); err != nil || added != want {
		t.Fatalf("Append = %d, %v; want %d added", added, err, want)
	}
}

func linesOf(t *testing.T, s book.Store) []book.Line {
	t.Helper()
	lines, err := s.Lines(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return lines
}

func ids(lines []book.Line) string {
	var b []string
	for _, l := range lines {
		b = append(b, l.ID)
	}
	return strings.Join(b, " ")
}

func texts(t *testing.T, lines []book.Line) []string {
	t.Helper()
	var out []string
	for _, l := range lines {
		text, err := book.AppendJSON(nil, l)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, string(text))
	}
	return out
}

func sound(t *testing.T, s book.Store) {
	t.Helper()
	if found, err := s.Check(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("Check = %q, %v; want nothing found", found, err)
	}
}

// pictures checks a store that keeps them; others are let pass.
func pictures(t *testing.T, s book.Store) {
	p, ok := s.(book.Photos)
	if !ok {
		t.Skip("the store keeps no pictures")
	}
	content := bytes.Repeat([]byte("a picture "), 5000)
	name, err := p.Put(bytes.NewReader(content), "JPG")
	again, err2 := p.Put(bytes.NewReader(content), ".jpg")
	if err != nil || err2 != nil || name != again || !strings.HasPrefix(name, "sha256-") || !strings.HasSuffix(name, ".jpg") {
		t.Fatalf("Put = %q, %v, then %q, %v; want one name by the hash", name, err, again, err2)
	}
	r, err := p.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if got, err := io.ReadAll(r); err != nil || !bytes.Equal(got, content) {
		t.Errorf("the picture came back with %d bytes, %v; want %d", len(got), err, len(content))
	}
	for _, bad := range []string{"", "../book.db", "sha256-" + strings.Repeat("0", 64) + ".jpg", name + "/x"} {
		if r, err := p.Open(bad); err == nil {
			r.Close()
			t.Errorf("Open(%q) found something", bad)
		}
	}
	if _, err := p.Put(bytes.NewReader(content), "../jpg"); err == nil {
		t.Error("Put took a path for a type")
	}
	sound(t, s)
}
