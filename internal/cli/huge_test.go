package cli_test

import (
	"bytes"
	"io"
	"path/filepath"
	"strings"
	"testing"
)

// repeated gives so many bytes of one letter, without holding them.
type repeated struct{ left int64 }

func (r *repeated) Read(p []byte) (int, error) {
	if r.left == 0 {
		return 0, io.EOF
	}
	n := min(int64(len(p)), r.left)
	copy(p, bytes.Repeat([]byte("a"), int(n)))
	r.left -= n
	return int(n), nil
}

// TestAHugeLineIsRefusedAndTheNextTaken feeds a line of 64 MB: it must be named
// by number and not held in memory, and the good line behind it must go in.
func TestAHugeLineIsRefusedAndTheNextTaken(t *testing.T) {
	size := int64(64 << 20)
	if testing.Short() {
		size = 8 << 20
	}
	in := io.MultiReader(
		strings.NewReader(`{"kind":"note","at":"2026-03-01T08:00:00Z","note":"`), &repeated{size}, strings.NewReader("\"}\n"),
		strings.NewReader(`{"kind":"note","at":"2026-03-01T08:00:00Z","note":"short"}`+"\n"))
	var out, errs bytes.Buffer
	err := program().Run(t.Context(), []string{"import", "--book", filepath.Join(t.TempDir(), "b"), "-"}, in, &out, &errs)
	if err == nil || !strings.HasPrefix(errs.String(), "line 1: ") {
		t.Errorf("got %v, %s", err, errs.String())
	}
	if !strings.Contains(out.String(), "1 line taken in, 0 already there, 1 refused.") {
		t.Errorf("printed %s", out.String())
	}
}
