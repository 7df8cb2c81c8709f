package sqlite_test

import (
	"bufio"
	"context"
	"io"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/book/sqlite"
)

const kills = 50

// A writer is killed again and again in the middle of its writing. Every line
// it had acknowledged must be in the book, and every line in the book be whole.
func TestKilledWriterLosesNothing(t *testing.T) {
	dir := t.TempDir()
	s, err := sqlite.Create(dir)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Append(t.Context(), []book.Line{{ID: "t", Kind: book.KindTank, At: time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC),
		Body: &book.Tank{Name: "North", NetVolume: "100", Unit: "L"}}}); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	k := &killing{acknowledged: map[string]bool{}}
	for i := range kills {
		k.once(t, dir, i)
		k.verify(t, dir, i == kills-1)
	}
	if len(k.acknowledged) < kills {
		t.Errorf("only %d lines were acknowledged in %d lives", len(k.acknowledged), kills)
	}
}

type killing struct {
	acknowledged map[string]bool
	seq          int64
	stored       map[string]bool
}

// once lets a writer live for a few acknowledgements, and a moment more so that
// it dies at a different point of its work each time.
func (k *killing) once(t *testing.T, dir string, i int) {
	t.Helper()
	w := startWriter(t, dir, "0")
	for n := 0; n <= 1+i%12; n++ {
		id, err := w.out.ReadString('\n')
		if err != nil || strings.HasPrefix(id, "error") {
			t.Fatalf("the writer said %q, %v", id, err)
		}
		k.note(id)
	}
	time.Sleep(time.Duration(i*37%23) * 100 * time.Microsecond)
	if err := w.cmd.Process.Kill(); err != nil { // SIGKILL
		t.Fatal(err)
	}
	rest, _ := io.ReadAll(w.out)
	w.cmd.Wait() // its error is the kill
	for line := range strings.Lines(string(rest)) {
		k.note(line)
	}
}

// note remembers an acknowledged id; one that was cut short is not acknowledged.
func (k *killing) note(line string) {
	if id, whole := strings.CutSuffix(line, "\n"); whole && id != "open" {
		k.acknowledged[id] = true
	}
}

func (k *killing) verify(t *testing.T, dir string, last bool) {
	t.Helper()
	s, err := sqlite.Open(dir, sqlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	lines, newest, err := s.Since(t.Context(), k.seq) // parses every line
	if err != nil {
		t.Fatal(err)
	}
	k.seq = newest
	if k.stored == nil {
		k.stored = map[string]bool{}
	}
	for _, l := range lines {
		k.stored[l.ID] = true
	}
	for id := range k.acknowledged {
		if !k.stored[id] {
			t.Fatalf("line %s was acknowledged and is lost", id)
		}
	}
	if found, err := s.Check(context.Background()); last && (err != nil || len(found) > 0) {
		t.Errorf("the book is not sound: %v, %q", err, found)
	}
}

type writer struct {
	cmd *exec.Cmd
	out *bufio.Reader
}

func startWriter(t *testing.T, dir, share string) *writer {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), self)
	cmd.Env = append(os.Environ(), roleVariable+"="+dir, roleVariable+"_SHARE="+share)
	pipe, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	cmd.Stderr = os.Stderr
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	return &writer{cmd: cmd, out: bufio.NewReader(pipe)}
}

// Several processes write to one book while another follows it: all lines
// arrive, each once, and the follower sees them.
func TestProcessesShareABook(t *testing.T) {
	dir := t.TempDir()
	s, err := sqlite.Create(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	j, err := book.OpenJournal(t.Context(), s)
	if err != nil {
		t.Fatal(err)
	}
	if err := j.Append(t.Context(), book.Line{Kind: book.KindTank, At: time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC),
		Body: &book.Tank{Name: "North", NetVolume: "100", Unit: "L"}}); err != nil {
		t.Fatal(err)
	}
	const writers, share = 3, 15
	var all []*writer
	for range writers {
		all = append(all, startWriter(t, dir, "15"))
	}
	for i := range share { // this process writes too
		if err := j.Append(t.Context(), written(i)); err != nil {
			t.Error(err)
		}
	}
	acknowledged := map[string]bool{}
	for _, w := range all {
		said, _ := io.ReadAll(w.out)
		if err := w.cmd.Wait(); err != nil {
			t.Errorf("a writer failed: %v, %s", err, said)
		}
		for id := range strings.Lines(string(said)) {
			acknowledged[strings.TrimSpace(id)] = true
		}
	}
	delete(acknowledged, "open")
	for _, l := range j.Lines() {
		delete(acknowledged, l.ID)
	}
	if n, want := len(j.Lines()), 1+share+writers*(share+200); n != want || len(acknowledged) > 0 {
		t.Errorf("the journal has %d lines, want %d; %d acknowledged ones are missing", n, want, len(acknowledged))
	}
	if found, err := s.Check(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("the book is not sound: %v, %q", err, found)
	}
}
